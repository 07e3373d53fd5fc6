"""The week's workbook: the page's tables in full, to sort, filter and print.

`write_workbook` makes a cover (whose week, what each sheet holds, the cautions) and a sheet for each table:
what is due with its sentence, all tasks, what to order, what could not be judged, what was set aside, the files
read, how much was done on time, and what the workshop asks (`workshop_sheets.py`). Each is a real table with typed
columns; `sheets.py` knows how one is written.

Knows nothing of how a figure is worked out. Every cell is a value of the database, apart from the sums of
the order, which are formulas (`order_sheets.py`).
"""

from collections.abc import Iterable, Iterator
from pathlib import Path
from tempfile import TemporaryFile
from typing import NamedTuple

import duckdb
from openpyxl import Workbook

from fleetreport.cells import clean
from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.frame import depot_order
from fleetreport.report.cautions import cautions
from fleetreport.report.depot_parts import IS_IN_PART, Part, part_path
from fleetreport.report.report_rows import Load, OnTime, SetAside, Unmatched, WeekAtAGlance, iterate_rows, read_week
from fleetreport.report.sentences import number
from fleetreport.report.told import told
from fleetreport.sql import identifier
from fleetreport.workbooks.all_tasks_sheet import all_tasks
from fleetreport.workbooks.book_file import Bodies, finish_book
from fleetreport.workbooks.cover import write_cover
from fleetreport.workbooks.due_sheets import (
    DUE_COLUMNS,
    NOT_JUDGED_COLUMNS,
    STALE_METER_COLUMNS,
    due_rows,
    not_judged_rows,
    stale_meter_rows,
)
from fleetreport.workbooks.order_sheets import (
    needed_columns,
    needed_rows,
    order_columns,
    order_rows,
    total_columns,
    total_rows,
)
from fleetreport.workbooks.sheet_cells import Quantity
from fleetreport.workbooks.sheets import LONGEST_LIST, ROWS_A_SHEET, ROWS_ON_PAPER, Column, DrawChart, Sheet, in_words
from fleetreport.workbooks.week_charts import hours_ahead, litres_ahead, stacked
from fleetreport.workbooks.workshop_sheets import workshop_sheets

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
DEPOT_COLUMNS = (
    Column("Depot", "text", 24), Column("Part", "count", 7), Column("Vehicles", "count", 10),
    Column("Tasks overdue", "count", 10), Column("Tasks due", "count", 10), Column("Tasks upcoming", "count", 10),
    Column("Not judged", "count", 10), Column("Workbook", "text", 50),
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
    is_by_depot: bool = False  # its rows stand in the depots' workbooks

    def is_too_long(self, longest: int) -> bool:
        """Whether its rows stand in a table of data/ only."""
        return bool(self.in_data) and self.total > longest


# Sheets that repeat a table of data/, and its name there.
IN_DATA = {
    "All tasks": "due", "Set aside": "quarantine", "Visits": "visits", "Visit tasks": "visit_tasks",
    "Fluid use": "fluid_use", "On time by depot": "on_time_by", "Work done": "work_record",
}  # fmt: skip


# Sheets whose rows stand in the depots' workbooks where the reports are split.
BY_DEPOT = ("Due", "Not judged", "Meters to read")


def write_workbook(
    db: duckdb.DuckDBPyConnection, path: Path, words: Catalogue = ENGLISH, rows_a_sheet: int = ROWS_A_SHEET,
    longest_list: int = LONGEST_LIST, is_split: bool = False,
) -> None:  # fmt: skip
    """Write the workbook to `path`. The same tables give the same bytes. Where it `is_split` by depot, a sheet lists
    the depots' workbooks (`write_depot_book`), which have what is due, not judged and to be read.

    Reads week_at_a_glance, due_list, due, not_judged, stale_meters, quarantine, unmatched, loads, on_time,
    order_offers, order_items, bulk_weeks and the tables of workshop_sheets.py; a sheet that would pass `rows_a_sheet`
    rows goes on in a further one, and one that repeats more than `longest_list` rows of data/ names the file instead.

    Raises duckdb.Error for a missing table or column, ValueError if week_at_a_glance has not exactly
    one row, OSError if the file cannot be written.
    """
    week = read_week(db)
    head = f"{week.fleet_name}, {week.iso_week}"
    listed = _sheets(db, words)
    if is_split:
        by_depot = {words[f"sheet_name.{name}"] for name in BY_DEPOT}
        listed = [_depots_sheet(db, words), *(one._replace(is_by_depot=one.title in by_depot) for one in listed)]
    book = _begin_book(week, head)
    write_cover(book, week, [(sheet.title, sheet.holds, sheet.total) for sheet in listed], head, words)
    _write_sheets(book, week, head, listed, path, words, rows_a_sheet, longest_list)


def write_depot_book(db: duckdb.DuckDBPyConnection, path: Path, part: Part, words: Catalogue = ENGLISH) -> None:
    """Write the workbook of a part of the reports: what of it is due, not judged and to be read, and the cautions.

    Reads week_at_a_glance, report_parts, due_list, not_judged and stale_meters.
    """
    week = read_week(db)
    named = part.depot or words["no_depot"]
    head = f"{week.fleet_name}, {named}, {week.iso_week}"
    count = {
        table: int(db.execute(f"select count(*) from {table} where {IS_IN_PART}", list(part.which)).fetchall()[0][0])
        for table in ("due_list", "not_judged", "stale_meters")
    }
    due, not_judged, stale = (
        Listed(words[f"sheet_name.{name}"], words[f"holds.{name}"], in_words(columns, words), rows, count[table])
        for name, columns, rows, table in (
            ("Due", DUE_COLUMNS, due_rows(db, words, part), "due_list"),
            ("Not judged", NOT_JUDGED_COLUMNS, not_judged_rows(db, words, part), "not_judged"),
            ("Meters to read", STALE_METER_COLUMNS, stale_meter_rows(db, words, part), "stale_meters"),
        )
    )
    told_with = [(f"{title} {text}",) for title, text in cautions(words, "week")]
    caution = Listed(
        words["caution.title"], "", (Column(words["caution.title"], "long", 100),), told_with, len(told_with)
    )
    listed = [due._replace(printed=7, on_paper=None), not_judged, stale, caution]
    _write_sheets(_begin_book(week, head), week, head, listed, path, words)


def _begin_book(week: WeekAtAGlance, head: str) -> Workbook:
    book = Workbook(write_only=True)
    book.properties.creator = "fleetreport"
    book.properties.title = clean(head)[:255]
    return book


def _write_sheets(
    book: Workbook, week: WeekAtAGlance, head: str, listed: Iterable[Listed], path: Path, words: Catalogue,
    rows_a_sheet: int = ROWS_A_SHEET, longest_list: int = LONGEST_LIST,
) -> None:  # fmt: skip
    bodies: Bodies = {}
    for sheet in listed:
        writer = Sheet(
            book, sheet.title, sheet.columns, head, rows_a_sheet, sheet.printed, words, sheet.chart, sheet.on_paper
        )
        if sheet.is_by_depot or sheet.is_too_long(longest_list):
            said = words["sheet.by_depot" if sheet.is_by_depot else "sheet.too_long"]
            where = said.format(rows=number(sheet.total, words), file=f"data/{sheet.in_data}.csv")
            writer.add((where, *(None for _ in sheet.columns[1:])))
        else:
            for row in sheet.rows:
                writer.add(row)
        bodies |= writer.close()
    with TemporaryFile() as draft:
        book.save(draft)
        with path.open("wb") as target:
            finish_book(draft, target, week.as_of, bodies)


def _depots_sheet(db: duckdb.DuckDBPyConnection, words: Catalogue) -> Listed:
    """What there is to do in each part, and where its workbook is."""
    rows = db.execute(
        """with tasks as (
                select p.depot, p.part, count(*) filter (d.status = 'overdue') as overdue,
                    count(*) filter (d.status = 'due') as due, count(*) filter (d.status = 'upcoming') as upcoming
                from due_list d join report_parts p using (vehicle_id) group by all
            ),
            unknown as (
                select p.depot, p.part, count(*) as tasks from not_judged n join report_parts p using (vehicle_id)
                group by all
            )
            select p.depot, p.part, any_value(p.parts), count(*), coalesce(any_value(t.overdue), 0),
                coalesce(any_value(t.due), 0), coalesce(any_value(t.upcoming), 0), coalesce(any_value(u.tasks), 0)
            from report_parts p
            left join tasks t on t.depot = p.depot and t.part = p.part
            left join unknown u on u.depot = p.depot and u.part = p.part
            group by p.depot, p.part"""
    ).fetchall()
    rows.sort(key=lambda row: (depot_order(row[0]), row[1]))
    lines = [(row[0] or words["no_depot"], row[1], *row[3:], part_path(Part(*row[:3]), ".xlsx")) for row in rows]
    return Listed(words["sheet_name.Depots"], words["holds.Depots"], in_words(DEPOT_COLUMNS, words), lines, len(lines))


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
        listed("Due", DUE_COLUMNS, due_rows(db, words), "due_list", printed=7)._replace(on_paper=None),
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
        listed("Not judged", NOT_JUDGED_COLUMNS, not_judged_rows(db, words), "not_judged"),
        listed("Meters to read", STALE_METER_COLUMNS, stale_meter_rows(db, words), "stale_meters"),
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
