"""The page's colours can be told apart by everybody: contrast, computed.

By the formula of WCAG 2.2 (relative luminance; success criteria 1.4.3 and 1.4.11), first held to known
points. The pairs below are those the style sheet uses.
"""

import re

import pytest

from fleetreport.pages.frame import TEMPLATES


def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance of an sRGB colour `#rrggbb`."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, contrast ratio of two colours, 1 to 21."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def palettes() -> dict[str, dict[str, str]]:
    """The colours of the style sheet by name: light, dark, and on paper."""
    css = (TEMPLATES / "_style.css").read_text(encoding="utf-8")
    blocks = re.findall(r":root \{(.*?)\}", css, re.DOTALL)
    named = [dict(re.findall(r"--([\w-]+): (#[0-9a-f]{3,6});", block)) for block in blocks]
    full = [{name: "#" + c[1] * 2 + c[2] * 2 + c[3] * 2 if len(c) == 4 else c for name, c in p.items()} for p in named]
    return dict(zip(("light", "dark", "paper"), full, strict=True))


TEXT, LARGE_OR_GRAPHIC = 4.5, 3.0  # WCAG 2.2: 1.4.3 (AA) and 1.4.11
PAIRS = [
    ("ink", "paper", TEXT), ("soft", "paper", TEXT), ("overdue", "paper", TEXT), ("due", "paper", TEXT),
    ("paper", "ink", TEXT), ("paper", "overdue", TEXT), ("ink", "band", TEXT), ("soft", "band", TEXT),
    ("strong-rule", "paper", LARGE_OR_GRAPHIC), ("strong-rule", "band", LARGE_OR_GRAPHIC),
    ("due", "band", LARGE_OR_GRAPHIC),
]  # fmt: skip
DECORATION = {"rule"}  # the hairline between rows says nothing that the rows do not


@pytest.mark.parametrize("scheme", ["light", "dark", "paper"])
@pytest.mark.parametrize(("front", "back", "least"), PAIRS)
def test_palette_has_the_contrast_that_wcag_asks_for(scheme: str, front: str, back: str, least: float) -> None:
    palette = palettes()[scheme]
    assert contrast(palette[front], palette[back]) >= least


def test_every_colour_of_the_style_sheet_is_in_a_checked_pair() -> None:
    checked = {name for front, back, _ in PAIRS for name in (front, back)} | DECORATION
    css = (TEMPLATES / "_style.css").read_text(encoding="utf-8")
    for palette in palettes().values():
        assert set(palette) == checked
    outside_the_palette = re.sub(r":root \{.*?\}", "", css, flags=re.DOTALL)
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?!-)|rgba?\(|hsla?\(", outside_the_palette) == []
