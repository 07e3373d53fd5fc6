"""The workshop's sheets of the week's workbook: a sheet for each question that is asked of it.

Which visits come and what they save (Visits, Visit tasks, Hours by week), what is still open after a job (Still open),
how much is ready to be done (Ready backlog), what findings say (Findings, Intervals), fluid used (Fluid use), what was
on time under two rules (On time by depot), and the record an inspector asks for (Register, Work done).
`workshop_sheets` gives each with what one of its rows is; the rows are read when the sheet is written.

Every cell is a value of the database. Nothing here knows how one is worked out.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Any, NamedTuple

import duckdb

from fleetreport.languages.catalogues import Catalogue
from fleetreport.query import fetched
from fleetreport.sql import identifier
from fleetreport.workbooks.sheet_cells import Quantity
from fleetreport.workbooks.sheets import Column, in_words


class WorkshopSheet(NamedTuple):
    """A sheet: its title (`sheet_name.` and `holds.` in the catalogue), its table, its columns.

    Beside each column stands its name in the table. `by` names the columns that give the order of the rows; `printed`
    how many columns go on paper (None: all).
    """

    title: str
    table: str
    columns: tuple[tuple[Column, str], ...]
    by: str
    printed: int | None = None


def columns_of(text: str) -> tuple[tuple[Column, str], ...]:
    """Columns from lines of `heading | kind width | name in the table`."""
    columns = []
    for line in text.strip().splitlines():
        heading, look, name = (part.strip() for part in line.split("|"))
        kind, width = look.split()
        columns.append((Column(heading, kind, float(width)), name))
    return tuple(columns)


SHEETS = (
    WorkshopSheet(
        "Visits", "visits", columns_of("""
            Week | text 11 | iso_week
            Day | date 12 | visit_on
            Depot | text 16 | depot
            Vehicle | text 12 | vehicle_id
            Vehicle title | text 26 | title
            Tasks in working order | long 44 | task_titles
            Labour | hours 10 | labour_hours
            Due by law | count 9 | law_tasks
            Late | count 7 | late_tasks
            Early | count 7 | early_tasks
            Hours not set | count 9 | hours_not_set
            Visits saved | count 9 | visits_saved
            Worth | money 11 | saved
            Interval given away | money 12 | given_away
            Above least cost by | percent 13 | plan_gap_pct
        """), "visit_on depot vehicle_id", printed=10,
    ),
    WorkshopSheet(
        "Visit tasks", "visit_tasks", columns_of("""
            Vehicle | text 12 | vehicle_id
            Task | text 40 | title
            Visit on | date 12 | visit_on
            Week | text 11 | iso_week
            Turn | count 7 | turn
            Depot | text 16 | depot
            Due on | date 12 | due_on
            What goes first | text 12 | weight
            Days early | count 8 | days_early
            Days late | count 8 | days_late
            Of its interval | percent 10 | given_away_pct
            Given away | money 12 | given_away
            Done with | text 30 | done_with_title
            Labour | hours 10 | labour_hours
        """), "visit_on vehicle_id turn task occurrence_no", printed=10,
    ),
    WorkshopSheet(
        "Hours by week", "depot_weeks", columns_of("""
            Depot | text 16 | depot
            Week | text 11 | iso_week
            From | date 12 | week_starts_on
            All work planned | text 10 | is_full_plan
            Visits | count 8 | visits
            Tasks | count 8 | tasks
            Due by law | count 9 | law_tasks
            Late | count 7 | late_tasks
            Hours planned | hours 11 | labour_hours
            Hours there are | hours 12 | hours_available
            Visits saved | count 9 | visits_saved
            Worth | money 11 | saved
            Interval given away | money 12 | given_away
        """), "depot iso_week",
    ),
    WorkshopSheet(
        "Still open", "followups", columns_of("""
            Vehicle | text 12 | vehicle_id
            What | text 26 | kind
            Task | text 40 | task_title
            Item | text 20 | item
            Since | date 12 | since_on
            Days | count 7 | age_days
            Due on | date 12 | due_on
            Status | status 13 | status
            Driven since | distance 12 | km_since
            Due after | distance 12 | limit_km
            Found | text 14 | condition
            Note | long 36 | note
            Depot | text 16 | depot
            Vehicle title | text 26 | title
        """), "vehicle_id since_on kind task item", printed=12,
    ),
    WorkshopSheet(
        "Ready backlog", "ready_backlog", columns_of("""
            Depot | text 16 | depot
            Tasks overdue or due | count 14 | ready_tasks
            Hours of ready work | hours 14 | ready_hours
            Tasks without hours | count 14 | tasks_without_hours
            Crew hours a week | hours 14 | crew_hours_per_week
            Crew-weeks | amount 11 | backlog_weeks
        """), "depot",
    ),
    WorkshopSheet(
        "Findings", "findings_by_year", columns_of("""
            Class | text 14 | class
            Duty | text 11 | duty
            Task | text 40 | title
            Year | text 8 | year
            Findings | count 10 | findings
            Clean | count 13 | clean
            Serviceable | count 13 | serviceable
            Soiled | count 13 | soiled
            Contaminated | count 13 | contaminated
            Failed | count 13 | failed
        """), "class duty task year",
    ),
    WorkshopSheet(
        "Intervals", "interval_findings", columns_of("""
            Of | text 11 | scope
            Name | text 16 | name
            Duty | text 11 | duty
            Task | text 36 | title
            Advice | text 26 | advice
            Findings | count 10 | findings
            Clean | count 13 | clean
            Serviceable | count 13 | serviceable
            Soiled | count 13 | soiled
            Contaminated | count 13 | contaminated
            Failed | count 13 | failed
            Soiled or worse, at least | percent 17 | soiled_low_pct
            Soiled or worse, at most | percent 17 | soiled_high_pct
            Contaminated or failed, at least | percent 17 | bad_low_pct
            Contaminated or failed, at most | percent 17 | bad_high_pct
            Interval now | text 22 | now
            Maker's | text 22 | maker
            Proposed | text 22 | proposed
            Latest on | date 12 | latest_on
        """), "advice scope name duty task", printed=6,
    ),
    WorkshopSheet(
        "Fluid use", "fluid_use", columns_of("""
            Vehicle | text 12 | vehicle_id
            Class | text 14 | class
            Depot | text 16 | depot
            Fluid | text 30 | title
            Unit | text 7 | unit
            Per | text 9 | per
            Used | amount 10 | used
            Half-year before | amount 12 | used_before
            Lately | amount 10 | used_lately
            Trend | text 9 | trend
            Class's median | amount 10 | class_median
            Times class | number 8 | times_class
            Limit | amount 9 | use_limit
            Over | text 8 | over_limit
            Last dip | date 12 | last_dipped_on
            Used to it | amount 10 | last_used
            Top-ups | count 9 | top_ups
            Dips | count 8 | dips
            Quantity | amount 10 | quantity
            Run, km or h | number 12 | run
        """), "vehicle_id item", printed=14,
    ),
    WorkshopSheet(
        "On time by depot", "on_time_by", columns_of("""
            Class | text 14 | class
            Depot | text 16 | depot
            Month | text 10 | month
            Done | count 8 | done
            Not done, past tolerance | count 15 | not_done
            Not late | count 9 | in_time
            Late only | percent 10 | late_only_pct
            80 % met | text 11 | late_only_met
            Neither late nor 10 % early | count 16 | in_window
            Two-sided | percent 10 | two_sided_pct
            80 % met, two-sided | text 14 | two_sided_met
        """), "class depot month",
    ),
    WorkshopSheet(
        "Register", "register", columns_of("""
            Vehicle | text 12 | vehicle_id
            Depot | text 18 | depot
            Make | text 18 | make
            Serial number | text 22 | serial
            Year | text 9 | year
            Tyre size | text 16 | tyre_size
            Owner | text 22 | owner
            Missing | text 30 | missing
        """), "vehicle_id",
    ),
    WorkshopSheet(
        "Work done", "recent_work", columns_of("""
            Vehicle | text 12 | vehicle_id
            Done on | date 12 | done_on
            Nature | text 44 | nature
            Kind | text 18 | kind
            Found | text 16 | condition
            Invoices | text 18 | invoices
            Done by | text 16 | done_by
            Verified by | text 16 | verified_by
            Kept until (396.3(c)) | date 16 | keep_until
            Report until (396.21) | date 16 | keep_report_until
            15 months (Great Britain) | date 16 | keep_15_months_until
        """), "vehicle_id done_on nature kind",
    ),
)  # fmt: skip


def workshop_sheets(
    db: duckdb.DuckDBPyConnection, words: Catalogue
) -> Iterator[tuple[str, tuple[str, str, tuple[Column, ...], Iterable[tuple[object, ...]], int, int | None]]]:
    """Each sheet's name, and its title, what one row is, columns, rows, their number and the columns on paper."""
    for sheet in SHEETS:
        total = int(db.execute(f"select count(*) from {identifier(sheet.table)}").fetchall()[0][0])
        title, holds = words[f"sheet_name.{sheet.title}"], words[f"holds.{sheet.title}"]
        columns = in_words((column for column, _ in sheet.columns), words)
        yield sheet.title, (title, holds, columns, _rows(db, sheet, words), total, sheet.printed)


def _rows(db: duckdb.DuckDBPyConnection, sheet: WorkshopSheet, words: Catalogue) -> Iterator[tuple[object, ...]]:
    names = ", ".join(identifier(name) for _, name in sheet.columns)
    order = ", ".join(f"{identifier(name)} nulls last" for name in sheet.by.split())
    cursor = db.cursor().execute(f"select {names} from {identifier(sheet.table)} order by {order}")
    types = [str(described[1]) for described in cursor.description or ()]
    changed = [
        (at, shown)
        for at, ((column, name), sql_type) in enumerate(zip(sheet.columns, types, strict=True))
        if (shown := _shown(column, sheet.table, name, sql_type, words))
    ]
    for row in map(list, fetched(cursor)):
        for at, shown in changed:
            row[at] = shown(row[at])
        yield tuple(row)


def _shown(column: Column, table: str, name: str, sql_type: str, words: Catalogue) -> Callable[[Any], object] | None:
    """What makes of a column's values what its kind holds: lengths with their unit, codes and yes or no in words.

    None: they stand as they are.
    """
    if sql_type == "BOOLEAN":
        return lambda value: words["yes"] if value else None
    if column.kind in ("hours", "distance"):
        unit = words["hours_unit"] if column.kind == "hours" else "km"
        return lambda value: Quantity(value, unit)
    if coded := CODED.get(f"{table}.{name}") or CODED.get(name):
        return lambda value: words.get(f"{coded}.{value}", value)
    if column.kind == "text" and sql_type != "VARCHAR":
        return lambda value: None if value is None else str(value)
    return None


# Columns that hold one of our codes, those of one table with its name, and where its words stand in the catalogue.
CODED = {
    "followups.kind": "open",
    "recent_work.kind": "kind",
    "condition": "condition",
    "weight": "weight",
    "trend": "trend",
    "duty": "duty",
    "scope": "whose",
    "advice": "advised",
}
