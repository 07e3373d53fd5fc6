"""Write one sheet of a workbook, row by row, and give the finished file the same bytes every time.

`Sheet` streams rows through openpyxl's write-only mode, so a sheet costs little memory however long it is. Its
columns are declared as data (`Column`): a heading, what kind of value stands in it, how wide it is. Text is
always text: what begins like a formula stays what was typed, characters a workbook cannot hold are replaced,
and what is too long is cut with a note of it. `same_bytes` rewrites the zip with fixed times.

Nothing here knows what the rows mean. The limits are those of ECMA-376 and of the usual programs: 1,048,576
rows a sheet, 32,767 UTF-16 units a cell, days from 1900 on.
"""

import os

# openpyxl's bytes differ with and without lxml, so lxml is left aside whether it is installed or not.
os.environ.setdefault("OPENPYXL_LXML", "False")

import re  # noqa: E402
import shutil  # noqa: E402
import zipfile  # noqa: E402
from collections.abc import Iterable  # noqa: E402
from datetime import date, datetime  # noqa: E402
from decimal import Decimal  # noqa: E402
from math import isfinite  # noqa: E402
from typing import IO, Any, NamedTuple  # noqa: E402

from openpyxl import Workbook  # noqa: E402
from openpyxl.cell import WriteOnlyCell  # noqa: E402
from openpyxl.formatting.rule import CellIsRule  # noqa: E402
from openpyxl.styles import Alignment, Font, PatternFill  # noqa: E402
from openpyxl.utils import get_column_letter  # noqa: E402
from openpyxl.worksheet.properties import PageSetupProperties  # noqa: E402
from openpyxl.worksheet.table import Table, TableStyleInfo  # noqa: E402

ROWS_A_SHEET = 1_048_575  # below the row of headings
CELL_UNITS = 32_767
FIRST_DAY = date(1900, 3, 1)  # before it, the programs disagree about the day (1900 was no leap year)
WIDEST = 48

# What XML 1.0 (2.2) cannot hold, and lone surrogates.
NO_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
# ECMA-376 part 1, 22.9.2.19: in a workbook's text `_x000A_` would be read as a line feed.
LOOKS_ESCAPED = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\n")

DATE = "yyyy\\-mm\\-dd"
COUNT = "#,##0"
PERCENT = '0.0" %"'  # the figure is already per cent
MARKED = {"overdue": '"\u25c6 "@', "due": '"\u25d0 "@', "upcoming": '"\u25cb "@', "unknown": '"? "@'}
SIGNALS = {"overdue": ("9C2A0B", "F8E3DA"), "due": ("17497C", "DFEAF5")}  # ink, ground


class Column(NamedTuple):
    """One column: its heading, the kind of value, and its width in characters.

    Kinds: text, long (text that wraps), status, date, count, number (one decimal), percent, distance, hours,
    and rate (a quantity a day). A distance, an hours figure or a rate is handed over with its unit.
    """

    heading: str
    kind: str
    width: float


class Quantity(NamedTuple):
    """A number and the unit it is shown with: the cell holds the number."""

    amount: Decimal | float | int | None
    unit: str


class Sheet:
    """A sheet in the making: give it rows with `add`, then `close` it. Long ones go on in a further sheet."""

    def __init__(
        self, book: Workbook, title: str, columns: tuple[Column, ...], running_head: str, rows: int = ROWS_A_SHEET
    ) -> None:
        """`running_head` is printed on every page; `rows` is how many rows a sheet takes."""
        self.book, self.title, self.columns, self.limit = book, title, columns, rows
        self.running_head = running_head
        self.parts = 0
        self.total = 0
        self._begin()

    def add(self, values: Iterable[object]) -> None:
        """One row: a value for each column, in order."""
        if self.rows == self.limit:
            self._finish()
            self._begin()
        cells = zip(self.columns, values, strict=True)
        self.ws.append([typed_cell(self.ws, column.kind, value) for column, value in cells])
        self.rows += 1
        self.total += 1

    def close(self) -> None:
        """Finish the last sheet. One without a row keeps an empty one: a table must have one."""
        self._finish()

    def _begin(self) -> None:
        self.parts += 1
        self.rows = 0
        self.ws: Any = self.book.create_sheet(self.title if self.parts == 1 else f"{self.title} {self.parts}")
        # Write-only mode loses what is set after the first row.
        self.ws.freeze_panes = "C2" if len(self.columns) > 6 else "A2"
        for at, column in enumerate(self.columns, 1):
            self.ws.column_dimensions[get_column_letter(at)].width = column.width
        set_up_print(self.ws, self.running_head)
        self.ws.print_title_rows = "1:1"
        heads = [text_cell(self.ws, column.heading) for column in self.columns]
        for head, column in zip(heads, self.columns, strict=True):
            head.font = Font(bold=True, color="FFFFFF")
            head.fill = PatternFill("solid", fgColor="16191D")
            across = "left" if column.kind in ("text", "long", "status") else "right"
            head.alignment = Alignment(wrap_text=True, vertical="bottom", horizontal=across)
        self.ws.append(heads)

    def _finish(self) -> None:
        if self.rows == 0:
            self.ws.append([None] * len(self.columns))
        last = get_column_letter(len(self.columns))
        end = max(self.rows, 1) + 1
        name = re.sub("[^A-Za-z0-9]", "_", self.ws.title)
        table = Table(displayName=f"t_{name}", ref=f"A1:{last}{end}")
        table.tableStyleInfo = TableStyleInfo(name="TableStyleLight1", showRowStripes=True)
        table._initialise_columns()  # what write-only mode leaves out
        for named, column in zip(table.tableColumns, self.columns, strict=True):
            named.name = column.heading
        self.ws.add_table(table)
        for at, column in enumerate(self.columns, 1):
            if column.kind == "status":
                self._mark_statuses(f"{get_column_letter(at)}2:{get_column_letter(at)}{end}")

    def _mark_statuses(self, cells: str) -> None:
        for status, (ink, ground) in SIGNALS.items():
            fill = PatternFill(bgColor=ground, fill_type="solid")
            rule = CellIsRule(operator="equal", formula=[f'"{status}"'], font=Font(bold=True, color=ink), fill=fill)
            self.ws.conditional_formatting.add(cells, rule)


def set_up_print(ws: Any, running_head: str) -> None:
    """Landscape, as wide as the page, the running head above and page numbers below."""
    ws.page_setup.orientation = "landscape"
    ws.page_setup.paperSize = 9  # A4; a printer with Letter scales to it
    ws.page_setup.fitToHeight = 0
    ws.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    ws.page_margins.left = ws.page_margins.right = 0.4
    ws.page_margins.top = ws.page_margins.bottom = 0.7
    # `&` begins a code in a running head; 255 characters are all there is room for.
    plain = NO_XML.sub("\ufffd", " ".join(running_head.split()))[:100]
    ws.oddHeader.left.text = plain.replace("&", "&&")
    ws.oddHeader.right.text = "&A"
    ws.oddFooter.center.text = "Page &P of &N"


def typed_cell(ws: Any, kind: str, value: object) -> Any:
    """A cell of the kind of its column; a blank one for None."""
    if isinstance(value, Quantity):
        value, unit = value.amount, value.unit.replace('"', "")  # a quote would end the unit in the format
        form = f'#,##0.0 "{unit} a day"' if kind == "rate" else f'#,##0.0 "{unit}"'
        form = form.replace(".0", "") if kind == "distance" else form
        return _number_cell(ws, value, form)
    if isinstance(value, date) and not isinstance(value, datetime):
        return _date_cell(ws, value)
    if value is None or isinstance(value, int | float | Decimal):
        return _number_cell(ws, value, {"percent": PERCENT, "count": COUNT}.get(kind, "#,##0.0"))
    cell = text_cell(ws, str(value))
    cell.alignment = Alignment(vertical="top", wrap_text=kind == "long")
    if kind == "status":
        cell.number_format = MARKED.get(str(value), "General")
    return cell


def text_cell(ws: Any, text: str) -> Any:
    """A cell that holds `text` as text, whatever it looks like."""
    cell = WriteOnlyCell(ws)
    cell.value = clean = as_cell_text(text)
    cell.data_type = "s"  # after the value: openpyxl would take `=1+1` for a formula, `#N/A` for an error
    if clean.startswith(STARTS_A_FORMULA):
        cell.quotePrefix = True  # stays text after someone edits it
    return cell


def as_cell_text(text: str) -> str:
    """`text` as a cell can hold it: impossible characters replaced, too long cut with a note of the length."""
    clean = LOOKS_ESCAPED.sub("_x005F_", NO_XML.sub("\ufffd", text.replace("\r\n", "\n").replace("\r", "\n")))
    if _units(clean) <= CELL_UNITS:
        return clean
    note = f" \u2026 [cut: {len(text):,} characters]"
    kept = clean.encode("utf-16-le")[: 2 * (CELL_UNITS - len(note))].decode("utf-16-le", "ignore")
    return kept + note


def _units(text: str) -> int:
    return len(text.encode("utf-16-le")) // 2


def _number_cell(ws: Any, value: Decimal | float | int | None, number_format: str) -> Any:
    # XML has no way to write an infinite number, and a workbook that held one would not open.
    cell = WriteOnlyCell(ws, value if value is not None and isfinite(value) else None)
    cell.number_format = number_format
    cell.alignment = Alignment(vertical="top")
    return cell


def _date_cell(ws: Any, value: date) -> Any:
    if value < FIRST_DAY:
        return text_cell(ws, value.isoformat())
    cell = WriteOnlyCell(ws, value)
    cell.number_format = DATE
    cell.alignment = Alignment(vertical="top")
    return cell


def same_bytes(source: IO[bytes], target: IO[bytes], when: date) -> None:
    """Copy a workbook's zip so that equal content has equal bytes: one time for every entry, `when` as its date."""
    stamp = when.strftime("%Y-%m-%dT00:00:00Z").encode()
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as new:
        for name in old.namelist():
            entry = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            entry.compress_type, entry.create_system, entry.external_attr = zipfile.ZIP_DEFLATED, 3, 0o600 << 16
            if name == "docProps/core.xml":
                core = re.sub(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*", rb"\g<1>" + stamp, old.read(name))
                new.writestr(entry, core)
                continue
            entry.file_size = old.getinfo(name).file_size  # settles whether it needs the format for large files
            with old.open(name) as read, new.open(entry, "w") as write:
                shutil.copyfileobj(read, write, 1 << 20)
