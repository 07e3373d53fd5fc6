"""The first sheet of a workbook: whose week it is, what each sheet holds, what was read, and the cautions."""

from datetime import date
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Alignment, Border, Side
from openpyxl.worksheet.hyperlink import Hyperlink

from fleetreport.languages.catalogues import Catalogue
from fleetreport.report.cautions import cautions
from fleetreport.report.report_rows import WeekAtAGlance
from fleetreport.workbooks.sheet_cells import FORMATS, lines_of
from fleetreport.workbooks.sheets import LINE_HEIGHT, set_up_print, text_cell

RULED = Border(bottom=Side(style="thin", color="7D796F"))
WIDTHS = (34, 90, 12)
SOFT = "565A60"
# What of the week is said, in order.
FACTS = (
    "as_of", "due_until", "horizon_until", "vehicles", "vehicles_overdue", "vehicles_due", "tasks", "tasks_overdue",
    "tasks_due", "tasks_upcoming", "tasks_later", "not_judged", "distance_unit",
)  # fmt: skip
INPUT = ("rows_read", "rows_loaded", "rows_repeated", "rows_quarantined", "values_quarantined", "readings_quarantined")


class Cover:
    """A cover in the making: lines are added from the top."""

    def __init__(self, book: Workbook, running_head: str, words: Catalogue) -> None:
        """`running_head` is printed on every page."""
        self.ws: Any = book.create_sheet(words["sheet_name.Cover"])
        self.ws.sheet_view.showGridLines = False
        for letter, width in zip("ABC", WIDTHS, strict=True):
            self.ws.column_dimensions[letter].width = width
        set_up_print(self.ws, running_head, words)
        self.ws.page_setup.orientation = "portrait"
        self.ws.page_setup.fitToHeight = 1
        self.line = 0

    def add(self, *cells: Any, height: float | None = None) -> None:
        """One line of cells; no cell: an empty line."""
        self.line += 1
        if height:
            self.ws.row_dimensions[self.line].height = height
        self.ws.append(list(cells))

    def fact(self, name: str, value: object) -> None:
        """A name and a value, the value typed."""
        cell: Any = text_cell(self.ws, value) if isinstance(value, str) else WriteOnlyCell(self.ws)
        if not isinstance(value, str):
            cell.value = value
            cell.number_format = FORMATS["date" if isinstance(value, date) else "count"]
        wrapped = Alignment(horizontal="left", vertical="top", wrap_text=True)
        cell.alignment = wrapped
        named = text_cell(self.ws, name, bold=True)
        named.alignment = wrapped
        lines = max(lines_of(name, WIDTHS[0]), lines_of(str(value), WIDTHS[1]))
        self.add(named, cell, height=lines * LINE_HEIGHT)

    def heading(self, *names: str) -> None:
        """A ruled line of headings, an empty line before it."""
        self.add()
        cells = [text_cell(self.ws, name, bold=True, ink=SOFT) for name in names]
        for at, cell in enumerate(cells):
            cell.border = RULED
            cell.alignment = Alignment(horizontal="right" if at == 2 else "left")
        self.add(*cells)

    def sheet(self, title: str, holds: str, rows: int) -> None:
        """A line on one sheet of the workbook, its title a link."""
        link = text_cell(self.ws, title, bold=True)
        link.hyperlink = Hyperlink(ref=f"A{self.line + 1}", location=f"'{title}'!A1")
        count = WriteOnlyCell(self.ws)
        count.value, count.number_format = rows, FORMATS["count"]
        self.add(link, text_cell(self.ws, holds), count)


def write_cover(
    book: Workbook, week: WeekAtAGlance, sheets: list[tuple[str, str, int]], running_head: str, words: Catalogue
) -> None:
    """Add the cover to `book`. `sheets` lists a title, what one row of it is, and its number of rows."""
    cover = Cover(book, running_head, words)
    cover.add(text_cell(cover.ws, week.fleet_name, bold=True, size=20), height=28)
    cover.add(text_cell(cover.ws, words["cover.title"].format(week=week.iso_week), size=14), height=22)
    cover.add()
    for name in FACTS:
        cover.fact(words[f"cover.{name}"], getattr(week, name))
    cover.heading(*(words[f"heading.{name}"] for name in ("Sheet", "One row is", "Rows")))
    for title, holds, rows in sheets:
        cover.sheet(title, holds, rows)
    cover.heading(words["heading.Input"], words["heading.What became of it"], "")
    for name in INPUT:
        cover.fact(words[f"cover.{name}"], getattr(week, name))
    cover.heading(words["heading.Cautions"], "", "")
    for title, text in cautions(words, "week"):
        cover.fact(title, text)
