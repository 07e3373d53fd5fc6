"""The rows of what changed since last week, typed, and how they are grouped; and those of the index.

Knows nothing of how a row is shown.
"""

from datetime import date
from decimal import Decimal
from typing import NamedTuple

import duckdb

from fleetreport.report.report_rows import read_rows

# In the order in which they are read. `still` is only counted.
CHANGES = ("newly_overdue", "newly_due", "slipped", "done", "dropped")


class LastWeek(NamedTuple):
    """`last_week`: the week that this one is compared with."""

    iso_week: str
    as_of: date


class SinceRow(NamedTuple):
    """`since_last_week`: a task that is or was on the due list, or was done, and what became of it."""

    vehicle_id: str
    depot: str
    task: str
    title: str
    change: str
    status_before: str | None
    status: str | None
    due_on_before: date | None
    due_on: date | None
    done_on: date | None
    planned_on: date | None
    reason: str | None


class Since(NamedTuple):
    """What changed: the week compared with (None: there is no earlier one), the rows by change, how many stayed."""

    last_week: LastWeek | None
    changes: list[tuple[str, list[SinceRow]]]
    still: int


class IndexFacts(NamedTuple):
    """`index_facts`, one row: the answers of the index. Money in the fleet's currency, hours in h."""

    visits_week: int
    hours_week: Decimal
    visits: int
    unplaced: int
    cards: int
    events: int
    items: int
    packs_today: int
    suppliers_today: int
    cost_today: Decimal
    items_to_ask: int
    works_lacking: int
    forecast_total: Decimal | None
    forecast_p10: Decimal | None
    forecast_p90: Decimal | None
    forecast_until: date
    financial_year: str
    budget: Decimal | None
    outcome: Decimal | None
    followups_open: int
    followups_overdue: int
    on_time_month: str | None
    on_time: int | None
    on_time_judged: int | None


def since_last_week(db: duckdb.DuckDBPyConnection) -> Since:
    """Reads last_week and since_last_week. Each group of changes by depot, vehicle and task; an empty one stays."""
    last = read_rows(db, LastWeek, "last_week")
    rows = read_rows(db, SinceRow, "since_last_week", ("depot", "vehicle_id", "task"), "change <> 'still'")
    still = db.execute("select count(*) from since_last_week where change = 'still'").fetchall()[0][0]
    groups = [(change, [row for row in rows if row.change == change]) for change in CHANGES]
    return Since(last[0] if last else None, groups, int(still))
