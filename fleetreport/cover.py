"""The first sheet of a workbook: whose week it is, what each sheet holds, what was read, and the cautions."""

from datetime import date
from typing import Any

from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.worksheet.hyperlink import Hyperlink

from fleetreport.report_rows import WeekAtAGlance
from fleetreport.sheets import Workbook, set_up_print, text_cell, typed_cell
from fleetreport.words import CAUTIONS

RULED = Border(bottom=Side(style="thin", color="7D796F"))


def write_cover(book: Workbook, week: WeekAtAGlance, sheets: list[tuple[str, str, int]], running_head: str) -> None:
    """Add the cover to `book`. `sheets` lists a title, what one row of it is, and its number of rows."""
    ws: Any = book.create_sheet("Cover")
    ws.sheet_view.showGridLines = False
    for column, width in (("A", 30), ("B", 78), ("C", 12)):
        ws.column_dimensions[column].width = width
    set_up_print(ws, running_head)
    ws.append([_styled(text_cell(ws, week.fleet_name), Font(bold=True, size=20))])
    ws.append([_styled(text_cell(ws, f"What must come in, week {week.iso_week}"), Font(size=14))])
    ws.append([])
    for name, value in _facts(week):
        ws.append([_named(ws, name), _value(ws, value)])
    _heading(ws, "Sheets", "One row is", "Rows")
    for title, holds, rows in sheets:
        link = _styled(text_cell(ws, title), Font(bold=True, underline="single"))
        link.hyperlink = Hyperlink(ref="A1", location=f"'{title}'!A1")  # the writer puts in the real cell
        ws.append([link, text_cell(ws, holds), typed_cell(ws, "count", rows)])
    _heading(ws, "Input", "What became of it", "")
    for name, count in _input(week):
        ws.append([_named(ws, name), _value(ws, count)])
    _heading(ws, "Cautions", "", "")
    for title, text in CAUTIONS:
        ws.append([_named(ws, title), typed_cell(ws, "long", text)])


def _facts(week: WeekAtAGlance) -> tuple[tuple[str, object], ...]:
    return (
        ("As of", week.as_of), ("Due means by", week.due_until), ("Upcoming means by", week.horizon_until),
        ("Vehicles", week.vehicles), ("Vehicles with overdue work", week.vehicles_overdue),
        ("Vehicles with due work", week.vehicles_due), ("Tasks", week.tasks), ("Tasks overdue", week.tasks_overdue),
        ("Tasks due", week.tasks_due), ("Tasks upcoming", week.tasks_upcoming), ("Tasks later", week.tasks_later),
        ("Tasks not judged", week.tasks_unknown), ("Distances are in", week.distance_unit),
    )  # fmt: skip


def _input(week: WeekAtAGlance) -> tuple[tuple[str, int], ...]:
    return (
        ("Rows read", week.rows_read), ("Rows loaded", week.rows_loaded),
        ("Rows repeated, not loaded twice", week.rows_repeated), ("Rows not loaded", week.rows_quarantined),
        ("Cells left blank", week.values_quarantined), ("Meter readings not used", week.readings_quarantined),
    )  # fmt: skip


def _heading(ws: Any, *names: str) -> None:
    ws.append([])
    cells = [_styled(text_cell(ws, name), Font(bold=True, color="565A60")) for name in names]
    for at, cell in enumerate(cells):
        cell.border = RULED
        cell.alignment = Alignment(horizontal="right" if at == 2 else "left")
    ws.append(cells)


def _named(ws: Any, name: str) -> Any:
    cell = _styled(text_cell(ws, name), Font(bold=True))
    cell.alignment = Alignment(vertical="top", wrap_text=True)
    return cell


def _value(ws: Any, value: object) -> Any:
    cell = typed_cell(ws, "count" if isinstance(value, int) else "text", value)
    if isinstance(value, int | date):
        cell.alignment = Alignment(horizontal="left", vertical="top")
    return cell


def _styled(cell: Any, font: Font) -> Any:
    cell.font = font
    return cell
