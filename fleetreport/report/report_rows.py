"""The rows that reports are made from, as typed tuples, and how to read them.

Each NamedTuple below is one row of the table named beside it; its fields are the columns a report uses, in
the contract's order. `read_rows` asks the database for exactly those columns, so a column that is missing or
misspelt stops the run with its name, and further columns do no harm. Distances are in the row's
`distance_unit` on the accumulated scale, hours in h.

Nothing here knows how a row is shown.
"""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple, TypeVar

import duckdb

from fleetreport.query import fetched
from fleetreport.sql import identifier


class WeekAtAGlance(NamedTuple):
    """`week_at_a_glance`, one row: whose week it is and the counts at the head of the page.

    A vehicle with both overdue and due work is counted in both vehicle counts.
    """

    fleet_name: str
    as_of: date
    iso_week: str
    due_until: date
    horizon_until: date
    currency: str
    distance_unit: str
    stale_days: int
    vehicles: int
    vehicles_overdue: int
    vehicles_due: int
    tasks: int
    tasks_overdue: int
    tasks_due: int
    tasks_upcoming: int
    tasks_later: int
    rows_read: int
    rows_loaded: int
    rows_repeated: int
    rows_quarantined: int
    values_quarantined: int
    readings_quarantined: int
    not_judged: int


class DueRow(NamedTuple):
    """`due_list`: a vehicle and a task that is overdue, due or upcoming.

    `odometer_offset` and `hours_offset` are what to subtract from the accumulated figure to get what the
    meter in the vehicle shows: 0 unless the meter was changed. `interval_*` is the interval that repeats.
    `rate_per_day` is in distance_unit a day, or h a day where hours govern. `refused_odometer` (in `refused_unit`) and
    `refused_hours` stand as written on the service it counts from, where they were not believed.
    """

    vehicle_id: str
    vehicle_title: str | None
    vehicle_class: str
    depot: str
    cost_centre: str | None
    task: str
    task_title: str | None
    status: str
    governed_by: str
    due_on: date
    due_on_early: date | None
    due_on_late: date | None
    days_left: int
    late_by_pct: Decimal | None
    distance_unit: str
    due_odometer: Decimal | None
    distance_left: Decimal | None
    odometer_now: Decimal | None
    last_done_odometer: Decimal | None
    odometer_offset: Decimal
    odometer_read_on: date | None
    due_hours: Decimal | None
    hours_left: Decimal | None
    hours_now: Decimal | None
    last_done_hours: Decimal | None
    hours_offset: Decimal
    hours_read_on: date | None
    rate_per_day: Decimal | None
    last_done_on: date | None
    refused_odometer: Decimal | None
    refused_unit: str | None
    refused_hours: Decimal | None
    interval_distance: Decimal | None
    interval_months: int | None
    interval_hours: Decimal | None
    basis: str | None
    due_rule: str
    follows_task_title: str | None
    duty: str | None
    labour_hours: Decimal | None
    source: str | None
    caution: str | None


class DepotSummary(NamedTuple):
    """`depot_summary`: a depot. Labour in hours; per week: null where no limit is set."""

    depot: str
    vehicles: int
    vehicles_overdue: int
    vehicles_due: int
    tasks_overdue: int
    tasks_due: int
    tasks_upcoming: int
    labour_hours_overdue: Decimal
    labour_hours_due: Decimal
    labour_hours_per_week: Decimal | None


class NotJudged(NamedTuple):
    """`not_judged`: a vehicle and a task whose due point cannot be worked out (`no plan`: a vehicle)."""

    vehicle_id: str
    vehicle_title: str | None
    depot: str
    task: str | None
    task_title: str | None
    reason: str
    meter: str | None
    last_reading_on: date | None


class StaleMeter(NamedTuple):
    """`stale_meters`: a meter not read lately on which due dates hang, `worst` 1 first. Lengths in `unit`."""

    vehicle_id: str
    vehicle_title: str | None
    depot: str
    meter: str
    last_reading_on: date
    days_old: int
    shown_now: Decimal
    shown_now_low: Decimal
    shown_now_high: Decimal
    unit: str
    tasks_unsettled: int
    tasks_hanging: int
    worst: int


class Note(NamedTuple):
    """`notes`: what a person should know at once about the input, in order."""

    turn: int
    note: str


class SetAside(NamedTuple):
    """`quarantine`: one row, cell or reading of the input that was not used, where it stands and why.

    For a reading also what probably went wrong, and what would fit in the column named: suggested, never applied.
    """

    file: str
    line: int
    table: str
    column: str | None
    value: str | None
    reason: str
    scope: str
    diagnosis: str | None
    suggested_value: str | None
    suggested_column: str | None


class SuggestedMeterChange(NamedTuple):
    """`suggested_meter_changes`: a line that meter_changes.csv may lack, and how many readings it would let stand."""

    csv_line: str
    kind: str
    readings_settled: int


class Unmatched(NamedTuple):
    """`unmatched`: a wording of the history that nobody could read, how often it stands there and what it cost.

    `rule` is a wording rule that fits it, though these vehicles' plan lacks its task.
    """

    description: str
    lines: int
    vehicles: int
    cost: Decimal
    labour_hours: Decimal
    first_on: date
    last_on: date
    file: str
    line: int
    nearest_tasks: str | None
    rule: str | None


class Load(NamedTuple):
    """`loads`: an input file, and what became of its rows."""

    file: str
    table: str
    rows_read: int
    rows_loaded: int
    rows_repeated: int
    rows_quarantined: int
    columns_ignored: str


class OnTime(NamedTuple):
    """`on_time`: a class and a month (`YYYY-MM`), the services done in it, how many of them on time."""

    vehicle_class: str
    month: str
    done: int
    on_time: int
    on_time_pct: Decimal | None


class Finding(NamedTuple):
    """`findings`: one thing that is wrong with the input, and in how many places; `turn` 1 is the worst."""

    turn: int
    kind: str
    is_to_mend: bool
    table: str
    column: str
    reason: str
    places: int
    files: int


class Place(NamedTuple):
    """`first_places`: where a finding stands; line 0 is a whole file."""

    turn: int
    number: int
    file: str
    line: int
    value: str
    note: str | None


class BacktestRow(NamedTuple):
    """`backtest`: a meter, class (`*`: the fleet), horizon and estimator, and how well its projections did."""

    meter: str
    vehicle_class: str
    horizon: str
    estimator: str
    projections: int
    vehicles: int
    error_ratio: float | None
    bias: float | None
    scaled_error: float | None
    in_band_pct: float | None
    below_band_pct: float | None
    above_band_pct: float | None
    pinball_10: float | None
    pinball_50: float | None
    pinball_90: float | None
    unit: str
    due_points: int
    due_week_pct: float | None
    due_week_or_next_pct: float | None


Row = TypeVar("Row", bound=NamedTuple)

# `class` and `count` are columns of the contract, and words Python keeps for itself or for every tuple.
COLUMN_OF_FIELD = {"vehicle_class": "class", "pack_count": "count"}


def columns_of(row_type: type[Row]) -> tuple[str, ...]:
    """The column names of a row type, in order."""
    return tuple(COLUMN_OF_FIELD.get(field, field) for field in row_type._fields)


def iterate_rows(
    db: duckdb.DuckDBPyConnection, row_type: type[Row], table: str, order_by: tuple[str, ...] = (),
    where: str = "true", given: Sequence[object] = (),
) -> Iterator[Row]:  # fmt: skip
    """The rows of `table`, first in the order of the columns given, then of all columns, so never by chance.

    `where` (SQL, with the values `given` for its question marks) says which of them. Read them to the end before asking
    `db` for anything else: they are fetched as they are needed. Raises duckdb.BinderException for a column that `table`
    does not have.
    """
    columns = ", ".join(identifier(name) for name in columns_of(row_type))
    keys = (*order_by, *(name for name in columns_of(row_type) if name not in order_by))
    order = ", ".join(f"{identifier(name)} nulls last" for name in keys)
    cursor = db.execute(f"select {columns} from {identifier(table)} where {where} order by {order}", list(given))
    yield from map(row_type._make, fetched(cursor))


def read_rows(
    db: duckdb.DuckDBPyConnection, row_type: type[Row], table: str, order_by: tuple[str, ...] = (),
    where: str = "true", given: Sequence[object] = (),
) -> list[Row]:  # fmt: skip
    """`iterate_rows`, all at once."""
    return list(iterate_rows(db, row_type, table, order_by, where, given))


def read_week(db: duckdb.DuckDBPyConnection) -> WeekAtAGlance:
    """The one row of `week_at_a_glance`. Raises ValueError where there is not exactly one."""
    rows = read_rows(db, WeekAtAGlance, "week_at_a_glance")
    if len(rows) != 1:
        raise ValueError(f"week_at_a_glance: found {len(rows)} rows, expected 1")
    return rows[0]
