"""The week's workbook: the page's tables in full, to sort, filter and print.

`write_workbook` makes a cover (whose week, what each sheet holds, the cautions) and a sheet for each table:
what is due with its sentence, all tasks, what to order, what could not be judged, what was set aside, the files
read, how much was done on time, and what the workshop asks (`workshop_sheets.py`). Each is a real table with typed
columns; `sheets.py` knows how one is written.

Knows nothing of how a figure is worked out. Every cell is a value of the database, apart from the sums of
the order, which are formulas (`order_sheets.py`).
"""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryFile
from typing import NamedTuple

import duckdb
from openpyxl import Workbook

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.report.report_rows import (
    DueRow,
    Load,
    NotJudged,
    OnTime,
    SetAside,
    StaleMeter,
    Unmatched,
    iterate_rows,
    read_week,
)
from fleetreport.report.sentences import why_due
from fleetreport.report.told import told
from fleetreport.sql import identifier
from fleetreport.workbooks.all_tasks_sheet import all_tasks
from fleetreport.workbooks.book_file import Bodies, finish_book
from fleetreport.workbooks.cover import write_cover
from fleetreport.workbooks.order_sheets import (
    needed_columns,
    needed_rows,
    order_columns,
    order_rows,
    total_columns,
    total_rows,
)
from fleetreport.workbooks.sheets import (
    LONGEST_LIST,
    ROWS_A_SHEET,
    ROWS_ON_PAPER,
    Column,
    DrawChart,
    Quantity,
    Sheet,
    in_words,
)
from fleetreport.workbooks.week_charts import hours_ahead, litres_ahead, stacked
from fleetreport.workbooks.workshop_sheets import workshop_sheets

DUE_COLUMNS = (
    Column("Vehicle", "text", 12), Column("Task", "text", 38), Column("Status", "status", 13),
    Column("Due on", "date", 12), Column("Days left", "count", 8), Column("Why", "long", 70),
    Column("Depot", "text", 16), Column("Vehicle title", "text", 26), Column("Class", "text", 12),
    Column("Cost centre", "text", 12), Column("Governed by", "text", 11), Column("Earliest", "date", 12),
    Column("Latest", "date", 12), Column("Late by", "percent", 9), Column("Due at odometer", "distance", 14),
    Column("Distance left", "distance", 14), Column("Odometer now", "distance", 14),
    Column("Odometer read on", "date", 12), Column("Due at hours", "hours", 12),
    Column("Hours left", "hours", 12), Column("Hours now", "hours", 12), Column("Use", "rate", 16),
    Column("Last done on", "date", 12), Column("Last done at, in all", "distance", 14),
    Column("Labour", "hours", 9), Column("Source", "text", 21), Column("Caution", "long", 40),
)  # fmt: skip
NOT_JUDGED_COLUMNS = (
    Column("Vehicle", "text", 12), Column("Vehicle title", "text", 26), Column("Depot", "text", 16),
    Column("Task", "text", 28), Column("Reason", "text", 14), Column("Meter", "text", 11),
    Column("Last reading on", "date", 12), Column("What to do", "long", 70),
)  # fmt: skip
STALE_METER_COLUMNS = (
    Column("Vehicle", "text", 12), Column("Vehicle title", "text", 26), Column("Depot", "text", 16),
    Column("Meter", "text", 11), Column("Last reading on", "date", 12), Column("Days old", "count", 9),
    Column("Should show", "distance", 14), Column("At least", "distance", 14), Column("At most", "distance", 14),
    Column("Tasks it settles", "count", 12), Column("Dates that hang on it", "count", 12),
)  # fmt: skip
SET_ASIDE_COLUMNS = (
    Column("File", "text", 30), Column("Line", "count", 9), Column("Table", "text", 14), Column("Column",
    "text", 16),
    Column("Found", "long", 28), Column("Reason", "long", 60), Column("Scope", "text", 10),
    Column("Probably", "long", 60), Column("Would fit", "text", 14), Column("In column", "text", 14),
)  # fmt: skip
UNMATCHED_COLUMNS = (
    Column("Words in the history", "long", 44), Column("Lines", "count", 8), Column("Vehicles", "count", 9),
    Column("Cost, {currency}", "money", 12), Column("Labour", "hours", 10), Column("First on", "date", 12),
    Column("Last on", "date", 12), Column("File of the last", "text", 40), Column("Line", "count", 8),
    Column("Nearest tasks", "long", 36), Column("A rule fits, its task is not planned", "long", 30),
)  # fmt: skip
LOADS_COLUMNS = (
    Column("File", "text", 40), Column("Table", "text", 16), Column("Rows read", "count", 12),
    Column("Loaded", "count", 12), Column("Repeated", "count", 12), Column("Not loaded", "count", 12),
    Column("Columns not used", "text", 30),
)  # fmt: skip
ON_TIME_COLUMNS = (
    Column("Class", "text", 20), Column("Month", "text", 10), Column("Done", "count", 9),
    Column("On time", "count", 9), Column("On time, %", "percent", 11),
)  # fmt: skip


class Listed(NamedTuple):
    """A sheet as the cover lists it."""

    title: str
    holds: str
    columns: tuple[Column, ...]
    rows: Iterable[tuple[object, ...]]
    total: int
    printed: int | None = None
    in_data: str = ""
    chart: DrawChart | None = None
    on_paper: int | None = ROWS_ON_PAPER

    def is_too_long(self, longest: int) -> bool:
        """Whether its rows stand in a table of data/ only."""
        return bool(self.in_data) and self.total > longest


# Sheets that repeat a table of data/, and its name there.
IN_DATA = {
    "All tasks": "due", "Set aside": "quarantine", "Visits": "visits", "Visit tasks": "visit_tasks",
    "Fluid use": "fluid_use", "On time by depot": "on_time_by", "Work done": "work_record",
}  # fmt: skip


def write_workbook(
    db: duckdb.DuckDBPyConnection, path: Path, words: Catalogue = ENGLISH, rows_a_sheet: int = ROWS_A_SHEET,
    longest_list: int = LONGEST_LIST,
) -> None:  # fmt: skip
    """Write the workbook to `path`. The same tables give the same bytes.

    Reads week_at_a_glance, due_list, due, not_judged, stale_meters, quarantine, unmatched, loads, on_time,
    order_offers, order_items, bulk_weeks and the tables of workshop_sheets.py; a sheet that would pass `rows_a_sheet`
    rows goes on in a further one, and one that repeats more than `longest_list` rows of data/ names the file instead.

    Raises duckdb.Error for a missing table or column, ValueError if week_at_a_glance has not exactly
    one row, OSError if the file cannot be written.
    """
    week = read_week(db)
    book = Workbook(write_only=True)
    book.properties.creator = "fleetreport"
    book.properties.title = f"{week.fleet_name}, {week.iso_week}"[:255]
    head = f"{week.fleet_name}, {week.iso_week}"
    listed = _sheets(db, words)
    write_cover(book, week, [(sheet.title, sheet.holds, sheet.total) for sheet in listed], head, words)
    bodies: Bodies = {}
    for sheet in listed:
        writer = Sheet(
            book, sheet.title, sheet.columns, head, rows_a_sheet, sheet.printed, words, sheet.chart, sheet.on_paper
        )
        if sheet.is_too_long(longest_list):
            where = words["sheet.too_long"].format(rows=f"{sheet.total:,}", file=f"data/{sheet.in_data}.csv")
            writer.add((where, *(None for _ in sheet.columns[1:])))
        else:
            for row in sheet.rows:
                writer.add(row)
        bodies |= writer.close()
    with TemporaryFile() as draft:
        book.save(draft)
        with path.open("wb") as target:
            finish_book(draft, target, week.as_of, bodies)


def _sheets(db: duckdb.DuckDBPyConnection, words: Catalogue) -> list[Listed]:
    """The sheets in order, their rows still to be read."""
    all_columns, all_rows = all_tasks(db, words)
    hours_columns, hours_rows = hours_ahead(db, words)
    litres_columns, litres_rows = litres_ahead(db, words)

    def listed(
        name: str, columns: Iterable[Column], rows: Iterable[tuple[object, ...]], table: str, printed: int | None = None
    ) -> Listed:
        title, holds = words[f"sheet_name.{name}"], words[f"holds.{name}"]
        in_data = IN_DATA.get(name, "")
        return Listed(title, holds, in_words(columns, words), rows, _count(db, table), printed, in_data)

    return [
        listed("Due", DUE_COLUMNS, _due_rows(db, words), "due_list", printed=7)._replace(on_paper=None),
        Listed(words["sheet_name.All tasks"], words["holds.All tasks"], all_columns, all_rows, _count(db, "due"),
               in_data=IN_DATA["All tasks"]),
        Listed(words["sheet.order"], words["sheet.order_holds"], order_columns(words),
               order_rows(db, words), _count(db, "order_offers"), printed=12),
        Listed(words["sheet.order_totals"], words["sheet.order_totals_holds"], total_columns(words),
               total_rows(db, words), _count(db, "(select distinct supplier from order_offers)") + 1),
        Listed(words["sheet.items_needed"], words["sheet.items_needed_holds"], needed_columns(words), needed_rows(db),
               _count(db, "order_items")),
        Listed(words["sheet_name.Weeks ahead"], words["holds.Weeks ahead"], hours_columns, hours_rows, len(hours_rows),
               chart=stacked(words["sheet.hours_chart"], words["hours_unit"])),
        Listed(words["sheet_name.Litres by week"], words["holds.Litres by week"], litres_columns, litres_rows,
               len(litres_rows), chart=stacked(words["sheet.litres_chart"], "L")),
        listed("Not judged", NOT_JUDGED_COLUMNS, _not_judged_rows(db, words), "not_judged"),
        listed("Meters to read", STALE_METER_COLUMNS, _stale_meter_rows(db, words), "stale_meters"),
        listed("Set aside", SET_ASIDE_COLUMNS, _set_aside_rows(db, words), "quarantine"),
        listed("Words not read", UNMATCHED_COLUMNS, _unmatched_rows(db, words), "unmatched")._replace(
            columns=_unmatched_columns(db, words)),
        listed("Loads", LOADS_COLUMNS, iterate_rows(db, Load, "loads"), "loads"),
        listed("On time", ON_TIME_COLUMNS, iterate_rows(db, OnTime, "on_time"), "on_time"),
        *(Listed(*sheet, in_data=IN_DATA.get(name, "")) for name, sheet in workshop_sheets(db, words)),
    ]  # fmt: skip


def _count(db: duckdb.DuckDBPyConnection, table: str) -> int:
    source = table if table.startswith("(") else identifier(table)
    return int(db.execute(f"select count(*) from {source}").fetchall()[0][0])


def _due_rows(db: duckdb.DuckDBPyConnection, words: Catalogue) -> Iterator[tuple[object, ...]]:
    for row in iterate_rows(db, DueRow, "due_list", ("due_on", "vehicle_id", "task")):
        unit, hours = row.distance_unit, words["hours_unit"]
        # Meters as the dash shows them, but the last service, which an earlier meter may have shown, in all.
        yield (
            row.vehicle_id, row.task_title or row.task, row.status, row.due_on, row.days_left,
            why_due(row, words).replace("\u00a0", " "), row.depot, row.vehicle_title, row.vehicle_class,
            row.cost_centre, words[f"code.{row.governed_by}"], row.due_on_early, row.due_on_late, row.late_by_pct,
            Quantity(_shown(row.due_odometer, row.odometer_offset), unit), Quantity(row.distance_left, unit),
            Quantity(_shown(row.odometer_now, row.odometer_offset), unit), row.odometer_read_on,
            Quantity(_shown(row.due_hours, row.hours_offset), hours), Quantity(row.hours_left, hours),
            Quantity(_shown(row.hours_now, row.hours_offset), hours),
            Quantity(row.rate_per_day, hours if row.governed_by == "hours" else unit),
            row.last_done_on, Quantity(row.last_done_odometer, unit),
            Quantity(row.labour_hours, hours), words[f"source.{row.source}"] if row.source else None,
            row.caution,
        )  # fmt: skip


def _shown(total: Decimal | None, offset: Decimal) -> Decimal | None:
    return None if total is None else total - offset


def _not_judged_rows(db: duckdb.DuckDBPyConnection, words: Catalogue) -> Iterator[tuple[object, ...]]:
    for row in iterate_rows(db, NotJudged, "not_judged", ("reason", "vehicle_id")):
        what_to_do = words[f"reason.{row.reason}"].format(meter=words[f"meter.{row.meter or ''}"])
        yield (
            row.vehicle_id, row.vehicle_title, row.depot, row.task_title or row.task, words[f"code.{row.reason}"],
            words[f"code.{row.meter}"] if row.meter else None, row.last_reading_on, what_to_do,
        )  # fmt: skip


def _stale_meter_rows(db: duckdb.DuckDBPyConnection, words: Catalogue) -> Iterator[tuple[object, ...]]:
    for row in iterate_rows(db, StaleMeter, "stale_meters", ("worst",)):
        yield (
            row.vehicle_id, row.vehicle_title, row.depot, words[f"code.{row.meter}"], row.last_reading_on, row.days_old,
            Quantity(row.shown_now, row.unit), Quantity(row.shown_now_low, row.unit),
            Quantity(row.shown_now_high, row.unit), row.tasks_unsettled, row.tasks_hanging,
        )  # fmt: skip


def _set_aside_rows(db: duckdb.DuckDBPyConnection, words: Catalogue) -> Iterator[tuple[object, ...]]:
    for row in iterate_rows(db, SetAside, "quarantine", ("file", "line")):
        diagnosis = told(row.diagnosis, words) if row.diagnosis else None
        yield row._replace(scope=words[f"code.{row.scope}"], reason=told(row.reason, words), diagnosis=diagnosis)


def _unmatched_columns(db: duckdb.DuckDBPyConnection, words: Catalogue) -> tuple[Column, ...]:
    currency, columns = read_week(db).currency, in_words(UNMATCHED_COLUMNS, words)
    return tuple(column._replace(heading=column.heading.format(currency=currency)) for column in columns)


def _unmatched_rows(db: duckdb.DuckDBPyConnection, words: Catalogue) -> Iterator[tuple[object, ...]]:
    for row in sorted(iterate_rows(db, Unmatched, "unmatched"), key=lambda row: (-row.lines, -row.cost)):
        yield (
            row.description or words["unmatched.blank"], row.lines, row.vehicles, row.cost,
            Quantity(row.labour_hours, words["hours_unit"]), row.first_on, row.last_on, row.file, row.line,
            row.nearest_tasks, row.rule,
        )  # fmt: skip
