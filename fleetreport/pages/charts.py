"""Turn a Matplotlib figure into SVG that stands inside a page, follows its colours and can be read aloud; or into PNG.

A figure is drawn in the ink names of `INKS`; `svg_of` turns them into the page's own colours, so that one picture
serves light, dark and paper. Inline styles become attributes, since the page allows no style but its own sheet. One
drawn in `PAPER_INKS` becomes a PNG, which a letter carries with it.
The text stays text, in the page's typeface. The same figure gives the same bytes.

Matplotlib is slow to import: only a command that draws imports this module. Knows nothing of what is drawn.
"""

import io
import re
import warnings
from collections.abc import Mapping
from xml.etree import ElementTree

from markupsafe import Markup
from matplotlib import rc_context
from matplotlib.figure import Figure

from fleetreport.cells import clean

LONGEST_TITLE = 60
SVG = "http://www.w3.org/2000/svg"
XLINK = "{http://www.w3.org/1999/xlink}href"

# Colours that stand for the page's own; no two channels alike, so that none is met by chance.
INKS = {"ink": "#010203", "soft": "#040506", "rule": "#070809", "overdue": "#0a0b0c", "due": "#0d0e0f"}
# The style sheet's colours on light paper, for a picture that cannot follow a page's.
PAPER_INKS = {"ink": "#16191d", "soft": "#565a60", "rule": "#d3cdbf", "overdue": "#9c2a0b", "due": "#17497c"}
PAPER = "#fcfbf8"
Inks = Mapping[str, str]
PAGE_COLOUR = {colour: f"var(--{name})" for name, colour in INKS.items()}
FONT = re.compile(r"(?:(?:normal|italic|bold|\d00) )*(?P<size>[\d.]+)px .*")


def svg_of(figure: Figure, name: str, title: str, description: str) -> Markup:
    """The figure as an `<svg role="img">` with its title and description; `name` keeps its ids apart from others'."""
    written = io.StringIO()
    with rc_context({"svg.fonttype": "none", "svg.hashsalt": name}), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
        figure.savefig(written, format="svg", transparent=True, metadata=nothing)
    ElementTree.register_namespace("", SVG)
    root = ElementTree.fromstring(written.getvalue())  # noqa: S314 our own picture
    _plain_attributes(root, name)
    for of_no_use in root.findall(f"{{{SVG}}}metadata"):
        root.remove(of_no_use)
    for attribute in ("width", "height", "version"):
        root.attrib.pop(attribute, None)
    root.attrib |= {
        "role": "img", "aria-labelledby": f"{name}-title {name}-description",
        "stroke-linejoin": "round", "stroke-linecap": "butt",
    }  # fmt: skip
    for place, (tag, part, text) in enumerate((("title", "title", title), ("desc", "description", description))):
        element = ElementTree.Element(f"{{{SVG}}}{tag}", {"id": f"{name}-{part}"})
        element.text = text
        root.insert(place, element)
    return Markup(ElementTree.tostring(root, encoding="unicode"))  # noqa: S704 escaped by ElementTree


def drawn(text: str) -> str:
    """Text of the input as it may be drawn: on one line, without controls; a `$` would begin mathematics."""
    said = clean(text)
    return (said if len(said) <= LONGEST_TITLE else f"{said[: LONGEST_TITLE - 1]}…").replace("$", r"\$")


def png_of(figure: Figure, dots_per_inch: int = 200) -> bytes:
    """The figure as a PNG on paper of its own, since a mail program may lay anything behind it; the same bytes for
    the same figure.
    """
    for panel in figure.axes:
        panel.patch.set_visible(False)
    written = io.BytesIO()
    with warnings.catch_warnings():
        # A letter that the font lacks is drawn as a box, and is no news to who runs this.
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        figure.savefig(written, format="png", dpi=dots_per_inch, facecolor=PAPER, metadata={"Software": None})
    return written.getvalue()


def _plain_attributes(root: ElementTree.Element, name: str) -> None:
    """Styles to attributes, our inks to the page's colours, ids and references under the chart's name."""
    for parent in list(root.iter()):
        for child in list(parent):
            # The sheet inside would apply to the whole page.
            if child.tag == f"{{{SVG}}}style":
                parent.remove(child)
    for element in root.iter():
        for style in element.attrib.pop("style", "").split(";"):
            key, _, value = (part.strip() for part in style.partition(":"))
            if key == "font":
                element.set("font-size", _font_size(value))
            elif key and key != "font-family":  # the page's own
                element.set(key, value)
        if "id" in element.attrib:
            element.set("id", f"{name}-{element.get('id')}")
        if XLINK in element.attrib:
            element.set("href", f"#{name}-{element.attrib.pop(XLINK).removeprefix('#')}")
        for key, value in element.attrib.items():
            element.set(key, PAGE_COLOUR.get(value, value).replace("url(#", f"url(#{name}-"))
        if element.tag.endswith("}text") and "fill" not in element.attrib:
            element.set("fill", PAGE_COLOUR[INKS["ink"]])


def _font_size(font: str) -> str:
    """The size out of a `font` shorthand such as `12px 'DejaVu Sans'`. Raises ValueError for another form."""
    if not (part := FONT.fullmatch(font)):
        raise ValueError(f"font: {font}")
    return part["size"]
