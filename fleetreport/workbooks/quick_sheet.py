"""A worksheet of XlsxWriter that writes the same bytes in less time: for sheets of many thousand cells.

Two steps that XlsxWriter takes for every cell are left out where they change nothing: looking in a formula for some
sixty functions that files must mark, none of which ours use, and escaping places and numbers. What is left out are
methods of its own, not its interface, so `tests/test_forecast.py` holds both worksheets to the same file.
"""

from functools import cache
from typing import Any
from xml.sax.saxutils import escape

from xlsxwriter.utility import xl_col_to_name
from xlsxwriter.worksheet import Worksheet

column_name = cache(xl_col_to_name)


class QuickSheet(Worksheet):  # type: ignore[misc]
    """A worksheet whose cells are named by row and column; its formulas use none of the functions to be marked."""

    # The same without looking whether a place was given as `A1`.
    write_string, write_number, write_blank = Worksheet._write_string, Worksheet._write_number, Worksheet._write_blank
    write_formula, write_datetime = Worksheet._write_formula, Worksheet._write_datetime

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        return formula.removeprefix("=")

    def _write_cell(self, row: int, col: int, cell: Any) -> None:
        kind = type(cell).__name__
        if cell.format and kind in ("Number", "Datetime", "String", "Formula", "Blank"):
            place = f'<c r="{column_name(col)}{row + 1}" s="{cell.format._get_xf_index()}"'
            if kind == "String":
                self.fh.write(f'{place} t="s"><v>{cell.string}</v></c>')
                return
            if kind == "Blank":
                self.fh.write(f"{place}/>")
                return
            if kind != "Formula":
                self.fh.write(f"{place}><v>{cell.number:.16G}</v></c>")
                return
            if not isinstance(cell.value, str | bool):
                self.fh.write(f"{place}><f>{escape(cell.formula)}</f><v>{cell.value}</v></c>")
                return
        super()._write_cell(row, col, cell)
