"""Write one sheet of a workbook, row by row.

openpyxl makes each sheet with its row of headings, its table and its print settings; the rows below are written as the
XML they are, into a file that `finish_book` puts into the sheet. So a long sheet costs little memory, and much less
time than cells of openpyxl's own. A sheet's columns are declared as data (`Column`): a heading, what kind of value
stands in it, how wide it is. What a cell holds `sheet_cells.py` tells.

Nothing here knows what the rows mean. A sheet has 1,048,576 rows at most, the limit of ECMA-376 and of the usual
programs.
"""

import re
import warnings
from collections.abc import Callable, Iterable
from functools import lru_cache
from math import isfinite
from tempfile import TemporaryFile
from typing import Any, NamedTuple

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
from fleetreport.workbooks.sheet_cells import (
    COME_AGAIN,
    FIGURES,
    NO_XML,
    STARTS_A_FORMULA,
    Formula,
    Look,
    Quantity,
    as_cell_text,
    cell_content,
    content_xml,
    figure_look,
    figure_xml,
    lines_of,
)

ROWS_A_SHEET = 1_048_575  # below the row of headings
# Rows of a sheet that repeats a table of data/: a longer one names the file instead.
LONGEST_LIST = 25_000
LINE_HEIGHT, HIGHEST = 15.0, 405.0  # points

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


# A native chart of a sheet: made of the worksheet, its title, and how many lines and columns its table has.
DrawChart = Callable[[Any, str, int, int], Any]
ROWS_ON_PAPER = 200  # a longer sheet is data to look into; its head says so
CHART_ROWS = 22  # a chart's height in rows, for the paper
# Cells of a column that are remembered, and how long a text may be: those that come again are short.
REMEMBERED, LONGEST_REMEMBERED = 1_000, 200


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
            return f' s="{self._style(look)}"{content_xml(held, isinstance(value, Formula))}'

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
                return f"{before_figure(unit)}{figure_xml(amount)}</v></c>"
            return remembered(value) if _comes_again(amount) else whole(value)

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


def _comes_again(amount: object) -> bool:
    """Whether a value may come again, and is worth its place: a long text would hold its memory for nothing."""
    return amount is None or (
        isinstance(amount, COME_AGAIN) and not (isinstance(amount, str) and len(amount) > LONGEST_REMEMBERED)
    )


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
