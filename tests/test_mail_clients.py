"""What the letters are made of, against what mail programs are known to show.

The data are those of caniemail (npm package `caniemail`, `npm ci` in tests/browser; skipped without): for each feature
of HTML and CSS and each family of mail programs, by platform, `y` supported, `a` in part, `n` not, `u` not known.
Whatever a letter uses must be supported by all families below on all platforms, or stand in `HARMLESS` with the reason
why nothing is lost.
"""

import json
import re
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from html.parser import HTMLParser
from pathlib import Path

import pytest

DATA = Path(__file__).parent / "browser" / "node_modules" / "caniemail" / "data" / "caniemail.json"
pytestmark = pytest.mark.skipif(not DATA.is_file(), reason="needs `npm ci` in tests/browser")

FAMILIES = (
    "aol", "apple-mail", "fastmail", "gmail", "gmx", "ionos-1and1", "mail-ru", "orange", "outlook", "protonmail",
    "samsung-email", "t-online-de", "thunderbird", "web-de", "yahoo",
)  # fmt: skip
# Which entry of the data tells of what a letter uses, where it is not `html-<name>` or `css-<name>`.
TOLD_BY = {
    "<h1>": "html-h1-h6", "<h2>": "html-h1-h6", "<tbody>": "html-table", "<td>": "html-table", "<th>": "html-table",
    "<tr>": "html-table", "border-bottom": "css-border", "border-top": "css-border", "font-family": "css-font",
    "src": "image-png",
}  # fmt: skip
# Older than style sheets (HTML 3.2 and 4.01), so that the data hold no entry for them.
NO_ENTRY = {
    "<br>", "<head>", "<html>", "<meta>", "<title>", "alt", "charset", "color", "content", "name", "scope",
}  # fmt: skip
SHORT_FOR = {"border-bottom": "border", "border-top": "border"}
HARMLESS = {
    "<bdi>": "unknown, it is shown as plain text; only the setting apart of another direction of writing is lost",
    "<body>": "where it is taken away, the background is; each cell has its own type and colour",
    "<doctype>": "without it tables inherit nothing, which is why each cell has its own style",
    "<img>": "unknown is not refused: a picture that is not shown has its words in its place",
    "align": "the letter then stands on the left of a window wider than itself",
    "background-color": "where colours by number are not known a note loses its tint, not its words",
    "border": "by px and thinner than 8 px, and on cells, which is what is supported in part",
    "border-collapse": "not known of some: there is a hair of space between two rules; cellspacing is 0",
    "cellpadding": "not known of some: each cell has its padding in its style",
    "cellspacing": "not known of some: the rules under rows would have gaps",
    "font-size": "in part means rem and percentages, which no letter uses",
    "font-weight": "in part means numbers beyond the hundreds, which no letter uses",
    "height": "of the picture only: `auto`, which is what it is without",
    "lang": "a screen reader then speaks the letter in its own language, as it does any mail there",
    "line-height": "in part means units; the letters give a plain number",
    "margin": "in part means negative ones and `auto`, which no letter uses",
    "max-width": "in part means on tables only, which is where it counts; the picture has its width as an attribute",
    "padding": "in part means on cells only, which is where it counts; a note's tint then ends at its words",
    "role": "a screen reader then tells the outer table as a table",
    "text-align": "in part means `start`, `end` and `match-parent`, which no letter uses",
    "white-space": "a figure may be broken where the window is too narrow",
    "width": "in part means not on pictures, which have it as an attribute; there a wide one is not made narrower",
}  # fmt: skip


class Used(HTMLParser):
    """The elements (as `<td>`), attributes and properties of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: set[str] = {"<doctype>"}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.add(f"<{tag}>")
        for name, value in attrs:
            if name == "style":
                self.found |= {part.partition(":")[0].strip() for part in (value or "").split(";") if part.strip()}
            else:
                self.found.add(name)


@pytest.fixture(scope="module")
def used(sample_week: Path) -> set[str]:
    seen = Used()
    for path in sorted((sample_week / "mail").glob("*.eml")):
        made = message_from_bytes(path.read_bytes(), policy=default)
        assert isinstance(made, EmailMessage)
        html = made.get_body(("html",))
        assert html is not None
        seen.feed(html.get_content())
    return seen.found


@pytest.fixture(scope="module")
def known() -> dict[str, dict[str, dict[str, dict[str, str]]]]:
    return {one["slug"]: one["stats"] for one in json.loads(DATA.read_text(encoding="utf-8"))["data"]}


def slugs_of(name: str) -> list[str]:
    """Where the data may tell of it; an attribute may share its name with a property."""
    plain = name.strip("<>")
    return [TOLD_BY[name]] if name in TOLD_BY else [f"html-{plain}", *([] if "<" in name else [f"css-{plain}"])]


def not_plainly_supported(stats: dict[str, dict[str, dict[str, str]]]) -> set[str]:
    """Families of which the newest finding on some platform is not a plain yes."""
    return {
        family
        for family in FAMILIES
        for findings in stats.get(family, {}).values()
        if not list(findings.values())[-1].startswith("y")
    }


def test_all_that_the_letters_use_is_known_to_the_data(
    used: set[str], known: dict[str, dict[str, dict[str, dict[str, str]]]]
) -> None:
    assert {"<table>", "<img>", "border-bottom", "font-family"} <= used
    assert {name for name in used if not any(slug in known for slug in slugs_of(name))} == NO_ENTRY & used


def test_what_a_family_does_not_show_is_harmless_and_no_reason_is_left_over(
    used: set[str], known: dict[str, dict[str, dict[str, dict[str, str]]]]
) -> None:
    assert set(FAMILIES) <= {family for stats in known.values() for family in stats}
    lacking = {
        SHORT_FOR.get(name, name)
        for name in used
        if any(not_plainly_supported(known.get(slug, {})) for slug in slugs_of(name))
    }
    assert lacking == set(HARMLESS)


def test_the_reasons_hold(sample_week: Path) -> None:
    """No unit, keyword or negative figure of which HARMLESS says that no letter uses it."""
    for path in sorted((sample_week / "mail").glob("*.eml")):
        made = message_from_bytes(path.read_bytes(), policy=default)
        assert isinstance(made, EmailMessage)
        html = made.get_body(("html",))
        assert html is not None
        styles = ";".join(re.findall('style="([^"]*)"', html.get_content()))
        assert not re.search(r"rem\b|font-size:[^;]*%|margin[^;]*(-[0-9]|auto)|start\b|end\b|match-parent", styles)
        assert set(re.findall("height:([^;]*)", re.sub("line-height:[^;]*", "", styles))) <= {"auto"}
        assert set(re.findall("font-weight:([^;]*)", styles)) <= {"normal", "bold", "bolder", "400", "700"}
        assert max(int(px) for px in re.findall("border[^;:]*:([0-9]+)", styles)) < 8


def test_a_feature_that_is_not_shown_would_be_found(known: dict[str, dict[str, dict[str, dict[str, str]]]]) -> None:
    assert {"gmail", "outlook"} <= not_plainly_supported(known["css-position"])
