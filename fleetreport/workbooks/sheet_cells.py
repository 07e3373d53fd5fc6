"""What stands in a cell of a sheet: a value as its column's kind shows it, and its XML.

Text is always text: what begins like a formula stays what was typed, characters a workbook cannot hold are replaced,
and what is too long is cut with a note of it. Nothing here knows of a sheet. The limits are those of ECMA-376 and of
the usual programs: 32,767 UTF-16 units a cell, days from 1900 on.
"""

import re
from datetime import date, datetime
from decimal import Decimal
from math import ceil, isfinite
from typing import NamedTuple
from xml.sax.saxutils import escape

from fleetreport.languages.catalogues import ENGLISH, Catalogue

CELL_UNITS = 32_767
DAY_0 = date(1899, 12, 30)
FIRST_DAY = date(1900, 3, 1)  # before it, the programs disagree about the day (1900 was no leap year)

# What XML 1.0 (2.2) cannot hold, and no more: a cell is data to go on with, and shown in a box of its own, where what
# turns text turns no other.
NO_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
# ECMA-376 part 1, 22.9.2.19: in a workbook's text `_x000A_` would be read as a line feed.
LOOKS_ESCAPED = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
FIGURES, COME_AGAIN = frozenset((int, float, Decimal)), (str, date)
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\n")

# `percent` and `per_cent` figures are per cent already, so their sign is text.
FORMATS = {
    "date": "yyyy\\-mm\\-dd",
    "count": "#,##0_)",
    "number": "#,##0.0",
    "amount": "#,##0.00#",
    "money": "#,##0.00",
    "percent": '0.0" %"',
}
UNIT_FORMATS = {"distance": '#,##0 "{}"', "hours": '#,##0.0 "{}"', "rate": '#,##0.0 "{}"'}
MARKED = {"overdue": '"\u25c6 "@', "due": '"\u25d0 "@', "upcoming": '"\u25cb "@', "unknown": '"? "@'}


class Quantity(NamedTuple):
    """A number and the unit it is shown with: the cell holds the number."""

    amount: Decimal | float | None
    unit: str


class Formula(NamedTuple):
    """A formula of our own making, never one from the input; what it gives is shown as its column's kind."""

    text: str


class Look(NamedTuple):
    """How a cell of a table looks, and whether its text begins like a formula."""

    number_format: str = "General"
    wraps: bool = False
    indented: bool = False  # text, so that it keeps clear of a figure to its left
    quoted: bool = False


def cell_content(
    kind: str, value: object, words: Catalogue = ENGLISH
) -> tuple[str | date | Decimal | float | None, Look]:
    """What a cell of a column of this kind holds for `value`, and its look. None gives a blank cell.

    Of a column of kind `status` the value is a code of the database; the cell holds its word.
    """
    if isinstance(value, Formula):
        return value.text, Look(FORMATS.get(kind, "General"))
    amount, unit = value if isinstance(value, Quantity) else (value, None)
    if isinstance(amount, bool) or amount is None:
        return amount, Look(_number_format(kind, unit, words))
    if isinstance(amount, int | float | Decimal):
        # A workbook cannot hold an infinite number, and would not open.
        return (amount if isfinite(amount) else None), figure_look(kind, unit, words)
    if isinstance(value, date) and not isinstance(value, datetime) and value >= FIRST_DAY:
        return value, Look(FORMATS["date"])
    form = MARKED.get(str(value), "General") if kind == "status" else "General"
    text = as_cell_text(words[f"code.{value}"] if kind == "status" else str(value))
    wraps = kind == "long" or "\n" in text
    return text, Look(form, wraps, indented=True, quoted=text.startswith(STARTS_A_FORMULA))


def figure_look(kind: str, unit: str | None = None, words: Catalogue = ENGLISH) -> Look:
    """The look of a number in a column of this kind, shown with its unit if it has one."""
    form = _number_format(kind, unit, words)
    return Look(form if form != "General" else FORMATS["number"])


def _number_format(kind: str, unit: str | None, words: Catalogue) -> str:
    if unit is None:
        return FORMATS.get(kind, "General")
    # A quotation mark would end the unit in the format.
    plain = unit.replace('"', "")
    return UNIT_FORMATS[kind].format(words["a_day"].format(quantity=plain) if kind == "rate" else plain)


def content_xml(held: str | date | Decimal | float | None, is_formula: bool) -> str:
    """The rest of a cell's XML (ECMA-376 part 1, 18.3.1.4) after its attributes of place and style."""
    if held is None or held == "":
        return "/>"
    if is_formula:
        return f"><f>{escape(str(held).removeprefix('='))}</f><v/></c>"
    if isinstance(held, str):
        kept = ' xml:space="preserve"' if held != held.strip() or "\n" in held else ""
        return f' t="inlineStr"><is><t{kept}>{escape(held)}</t></is></c>'
    if isinstance(held, bool):
        return f' t="b"><v>{held:d}</v></c>'
    if isinstance(held, date):
        return f' t="n"><v>{(held - DAY_0).days}</v></c>'
    return f' t="n"><v>{figure_xml(held)}</v></c>'


def figure_xml(amount: Decimal | float) -> str:
    """A finite number as a cell's XML holds it."""
    return f"{amount:.16g}" if isinstance(amount, float) else str(amount)


def as_cell_text(text: str) -> str:
    """`text` as a cell can hold it: impossible characters replaced, too long cut with a note."""
    # Most texts are a short line of characters that any cell can hold, which is quicker to know.
    if len(text) <= CELL_UNITS // 2 and text.isprintable() and "_x" not in text:
        return text
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    clean = LOOKS_ESCAPED.sub("_x005F_", NO_XML.sub("\ufffd", lines))
    if len(clean) <= CELL_UNITS // 2 or len(clean.encode("utf-16-le")) // 2 <= CELL_UNITS:
        return clean
    note = f" \u2026 [cut: {len(text):,} characters]"
    kept = clean.encode("utf-16-le")[: 2 * (CELL_UNITS - len(note))].decode("utf-16-le", "ignore")
    return kept + note


def lines_of(text: str, width: float) -> int:
    """About how many lines `text` takes in a column so wide (in digits; text runs narrower)."""
    return sum([max(1, ceil(len(line) / width)) for line in text.split("\n")])
