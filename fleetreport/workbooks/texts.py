"""Text in cells that XlsxWriter writes: shown as it was typed, and still text after someone edits it.

A text that begins as a formula does is marked (`quotePrefix`, ECMA-376 part 1, 18.8.45): without the mark a spreadsheet
makes a formula of it when its cell is edited and left.
"""

from collections.abc import Mapping
from copy import copy
from typing import Any

from fleetreport.workbooks.sheet_cells import STARTS_A_FORMULA, as_cell_text


def as_quoted(look: str) -> str:
    """The name of a look for text that begins as a formula does."""
    return f"{look} quoted"


def quoted(book: Any, look: Any) -> Any:
    """The same look of a workbook, with the mark."""
    marked = copy(look)
    marked.set_quote_prefix()
    book.formats.append(marked)
    return marked


def as_written(text: str, looks: Mapping[str, Any], look: str) -> tuple[str, Any]:
    """What a cell holds for a text, and how it looks; `looks` holds the look of this name, and the same `as_quoted`."""
    said = as_cell_text(text)
    return said, looks[as_quoted(look) if said.startswith(STARTS_A_FORMULA) else look]


def write_text(sheet: Any, row: int, at: int, text: str, looks: Mapping[str, Any], look: str) -> None:
    """Write a text into a cell, as `as_written`."""
    sheet.write_string(row, at, *as_written(text, looks, look))
