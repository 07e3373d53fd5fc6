"""Write one sheet of a workbook, row by row.

openpyxl makes each sheet with its row of headings, its table and its print settings; the rows below are written as the
XML they are, into a file that `finish_book` puts into the sheet. So a long sheet costs little memory, and much less
time than cells of openpyxl's own. A sheet's columns are declared as data (`Column`): a heading, what kind of value
stands in it, how wide it is. Text is always text: what begins like a formula stays what was typed, characters a
workbook cannot hold are replaced, and what is too long is cut with a note of it.

Nothing here knows what the rows mean. The limits are those of ECMA-376 and of the usual programs: 1,048,576
rows a sheet, 32,767 UTF-16 units a cell, days from 1900 on.
"""

import re
import warnings
from collections.abc import Callable, Iterable
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from math import ceil, isfinite
from tempfile import TemporaryFile
from typing import Any, NamedTuple
from xml.sax.saxutils import escape

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.table import Table, TableColumn, TableStyleInfo

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.workbooks.book_file import Bodies

ROWS_A_SHEET = 1_048_575  # below the row of headings
CELL_UNITS = 32_767
# Rows of a sheet that repeats a table of data/: a longer one names the file instead.
LONGEST_LIST = 25_000
DAY_0 = date(1899, 12, 30)
FIRST_DAY = date(1900, 3, 1)  # before it, the programs disagree about the day (1900 was no leap year)
LINE_HEIGHT, HIGHEST = 15.0, 405.0  # points

# What XML 1.0 (2.2) cannot hold, and lone surrogates.
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
SIGNALS = {"overdue": ("9C2A0B", "F8E3DA"), "due": ("17497C", "DFEAF5")}  # ink, ground
INK, PAPER = "16191D", "FFFFFF"
HAIRLINE = Border(bottom=Side(style="hair", color="7D796F"))


class Column(NamedTuple):
    """One column: its heading, the kind of value, and its width in characters.

    Kinds: text, long (text that wraps), status, date, count, number (one decimal), amount (two or three), money,
    percent, distance, hours, and rate (a quantity a day). A distance, an hours figure or a rate is handed over with
    its unit.
    """

    heading: str
    kind: str
    width: float


def in_words(columns: Iterable[Column], words: Catalogue) -> tuple[Column, ...]:
    """The columns with the catalogue's word for each English heading. Raises KeyError for one it does not have."""
    return tuple(column._replace(heading=words[f"heading.{column.heading}"]) for column in columns)


class Quantity(NamedTuple):
    """A number and the unit it is shown with: the cell holds the number."""

    amount: Decimal | float | None
    unit: str


class Formula(NamedTuple):
    """A formula of our own making, never one from the input; what it gives is shown as its column's kind."""

    text: str


# A native chart of a sheet: made of the worksheet, its title, and how many lines and columns its table has.
DrawChart = Callable[[Any, str, int, int], Any]
ROWS_ON_PAPER = 200  # a longer sheet is data to look into; its head says so
CHART_ROWS = 22  # a chart's height in rows, for the paper
REMEMBERED = 1_000  # cells of a column


class Look(NamedTuple):
    """How a cell of a table looks, and whether its text begins like a formula."""

    number_format: str = "General"
    wraps: bool = False
    indented: bool = False  # text, so that it keeps clear of a figure to its left
    quoted: bool = False


class Sheet:
    """A sheet in the making: give it rows with `add`, then `close` it. Long ones go on in a further sheet."""

    def __init__(
        self,
        book: Workbook,
        title: str,
        columns: tuple[Column, ...],
        running_head: str,
        rows_a_sheet: int = ROWS_A_SHEET,
        printed: int | None = None,
        words: Catalogue = ENGLISH,
        chart: DrawChart | None = None,
        on_paper: int | None = ROWS_ON_PAPER,
    ) -> None:
        """`running_head` is printed on every page, and the first `printed` columns (default: all).

        `chart` stands below a table that has lines. Of more than `on_paper` rows (None: any) the first are printed.
        """
        self.chart, self.on_paper = chart, on_paper
        self.book, self.title, self.columns, self.running_head = book, title, columns, running_head
        self.limit, self.printed, self.words = rows_a_sheet, printed or len(columns), words
        self.letters = [get_column_letter(at) for at in range(1, len(columns) + 1)]
        self.parts = 0
        self.looks: dict[Look, int] = {}  # a cell's style is costly to make, so it is made once a look
        self.cells = [self._cell_writer(column.kind) for column in columns]
        self.long_columns = [(at, column.width) for at, column in enumerate(columns) if column.kind == "long"]
        self.bodies: Bodies = {}
        self._begin()

    def add(self, values: Iterable[object]) -> None:
        """One row: a value for each column, in order."""
        if self.rows == self.limit:
            self._finish()
            self._begin()
        self.rows += 1
        at, row = self.rows + 1, tuple(values)
        columns = zip(self.letters, self.cells, row, strict=True)
        cells = "".join([f'<c r="{letter}{at}"{cell(value)}' for letter, cell, value in columns])
        lines = 1
        for place, width in self.long_columns:
            if isinstance(text := row[place], str):
                lines = max(lines, lines_of(text, width))
        height = f' ht="{min(lines * LINE_HEIGHT, HIGHEST):g}" customHeight="1"' if lines > 1 else ""
        self.body.write(f'<row r="{at}"{height}>{cells}</row>'.encode())

    def close(self) -> Bodies:
        """Finish the last sheet; gives the rows of each. One without a row keeps an empty one, as a table must."""
        self._finish()
        return self.bodies

    def _append(self, cells: list[Any], lines: int) -> None:
        at = self.rows + 1
        if lines > 1:  # not every program works out by itself how high wrapped text is
            self.ws.row_dimensions[at].height = min(lines * LINE_HEIGHT, HIGHEST)
        self.ws.append(cells)
        self.ws.row_dimensions.pop(at, None)

    def _cell_writer(self, kind: str) -> Callable[[object], str]:
        """What gives the XML of a cell of this kind from its style on: all that follows from its value alone."""

        def whole(value: object) -> str:
            held, look = cell_content(kind, value, self.words)
            return f' s="{self._style(look)}"{_content(held, isinstance(value, Formula))}'

        # Texts, days and blanks come again and again. Numbers would be mistaken for each other: 1.0 equals 1.00.
        remembered = lru_cache(REMEMBERED)(whole)

        @lru_cache(REMEMBERED)
        def before_figure(unit: str | None) -> str:
            return f' s="{self._style(figure_look(kind, unit, self.words))}" t="n"><v>'

        def cell(value: Any) -> str:
            amount, unit = value, None
            if isinstance(value, Quantity):
                amount, unit = value
            if type(amount) in FIGURES and isfinite(amount):
                return f"{before_figure(unit)}{_figure(amount)}</v></c>"
            return remembered(value) if amount is None or isinstance(amount, COME_AGAIN) else whole(value)

        return cell

    def _style(self, look: Look) -> int:
        """The number of a look among the workbook's styles."""
        if look not in self.looks:
            self.looks[look] = _style_of(self.ws, look)
        return self.looks[look]

    def _begin(self) -> None:
        self.parts += 1
        self.rows = 0
        self.ws: Any = self.book.create_sheet(self.title if self.parts == 1 else f"{self.title} {self.parts}")
        self.body = self.bodies[len(self.book.worksheets)] = TemporaryFile()  # noqa: SIM115 closed by finish_book
        # Write-only mode loses what is set after the first row.
        self.ws.freeze_panes = "C2" if len(self.columns) > 6 else "A2"
        for at, column in enumerate(self.columns, 1):
            # A language's word may be longer than the column is wide, and would be broken.
            longest = max(len(word) for word in column.heading.split())
            self.ws.column_dimensions[get_column_letter(at)].width = max(column.width, longest + 1)
        set_up_print(self.ws, self.running_head, self.words)
        self.ws.print_title_rows = "1:1"
        heads = [text_cell(self.ws, column.heading, bold=True, ink=PAPER) for column in self.columns]
        for head, column in zip(heads, self.columns, strict=True):
            head.fill = PatternFill("solid", fgColor=INK)
            across = "left" if column.kind in ("text", "long", "status") else "right"
            indent = 1 if across == "left" else 0
            head.alignment = Alignment(wrap_text=True, vertical="bottom", horizontal=across, indent=indent)
        self._append(heads, max(lines_of(column.heading, column.width) for column in self.columns))

    def _finish(self) -> None:
        if self.rows == 0:
            self.ws.append([None] * len(self.columns))
        last, end = get_column_letter(len(self.columns)), max(self.rows, 1) + 1
        whole = f"A1:{last}{end}"
        table = Table(displayName="t_" + re.sub("[^A-Za-z0-9]", "_", self.ws.title), ref=whole)
        table.tableStyleInfo = TableStyleInfo(name="TableStyleLight1", showRowStripes=True)
        table.autoFilter = AutoFilter(ref=whole)
        table.tableColumns = [TableColumn(id=at, name=c.heading) for at, c in enumerate(self.columns, 1)]
        with warnings.catch_warnings():
            warnings.filterwarnings("ignore", "In write-only mode you must add table columns manually")
            self.ws.add_table(table)
        chart_rows, on_paper = 0, end
        if self.on_paper is not None and self.rows > self.on_paper:
            on_paper = self.on_paper + 1
            self.ws.oddHeader.right.text = f"&A, {self.words['sheet.first_rows'].format(n=self.on_paper)}"
        if self.chart and self.rows:
            self.ws.add_chart(self.chart(self.ws, self.ws.title, self.rows, len(self.columns)), f"A{end + 2}")
            chart_rows = CHART_ROWS
        self.ws.print_area = f"A1:{get_column_letter(self.printed)}{on_paper + chart_rows}"
        for at, column in enumerate(self.columns, 1):
            if column.kind == "status":
                self._mark_statuses(f"{get_column_letter(at)}2:{get_column_letter(at)}{end}")

    def _mark_statuses(self, cells: str) -> None:
        for status, (ink, ground) in SIGNALS.items():
            fill = PatternFill(bgColor=ground, fill_type="solid")
            look = DifferentialStyle(font=Font(bold=True, color=ink), fill=fill)
            shown = self.words[f"code.{status}"]
            rule = Rule(type="cellIs", operator="equal", formula=[f'"{shown}"'], dxf=look)
            self.ws.conditional_formatting.add(cells, rule)


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


def _content(held: str | date | Decimal | float | None, is_formula: bool) -> str:
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
    return f' t="n"><v>{_figure(held)}</v></c>'


def _figure(amount: Decimal | float) -> str:
    return f"{amount:.16g}" if isinstance(amount, float) else str(amount)


def _style_of(ws: Any, look: Look) -> int:
    """The number of a look among the workbook's styles."""
    cell: Any = WriteOnlyCell(ws)
    cell.number_format = look.number_format
    cell.alignment = Alignment(vertical="top", wrap_text=look.wraps, indent=1 if look.indented else 0)
    cell.border = HAIRLINE
    cell.quotePrefix = look.quoted  # stays text after someone edits it
    return int(cell.style_id)


def text_cell(ws: Any, text: str, bold: bool = False, ink: str = INK, size: int = 11) -> Any:
    """A cell outside the rows of a table that holds `text` as text, whatever it looks like."""
    cell = WriteOnlyCell(ws)
    cell.value = as_cell_text(text)
    cell.data_type = "s"
    cell.font = Font(name="Calibri", size=size, bold=bold, color=ink)
    cell.alignment = Alignment(vertical="top")
    cell.quotePrefix = text.startswith(STARTS_A_FORMULA)
    return cell


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


def set_up_print(ws: Any, running_head: str, words: Catalogue = ENGLISH) -> None:
    """Landscape, as wide as the page, the running head above and page numbers below."""
    ws.page_setup.orientation = "landscape"
    ws.page_setup.paperSize = 9  # A4; a printer with Letter scales to it
    ws.page_setup.fitToHeight = 0
    ws.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    ws.page_margins.left = ws.page_margins.right = 0.4
    ws.page_margins.top = ws.page_margins.bottom = 0.8
    # `&` begins a code in a running head; 255 characters are all there is room for.
    plain = NO_XML.sub("\ufffd", " ".join(running_head.split()))[:100]
    ws.oddHeader.left.text = plain.replace("&", "&&")
    ws.oddHeader.right.text = "&A"
    ws.oddFooter.center.text = words["sheet.footer"].removeprefix("&C")
