"""The rows of the week page's section on visits, typed, and how they are arranged.

Knows nothing of how visits are planned.
"""

from datetime import date
from decimal import Decimal
from typing import NamedTuple

import duckdb

from fleetreport.report.report_rows import read_rows

OPEN_SHOWN = 15  # of what is still open after a job; all of it is in data/followups.csv


class DepotWeek(NamedTuple):
    """`depot_weeks`: a depot and an ISO week, its visits and their hours against those there are (None: no limit
    set).
    """

    depot: str
    iso_week: str
    is_full_plan: bool
    visits: int
    tasks: int
    late_tasks: int
    labour_hours: Decimal
    hours_available: Decimal | None


class VisitsSaved(NamedTuple):
    """`visits_summary`, one row: visits saved by coming together, their worth, what is given away, tasks without a
    place.
    """

    visits_saved: int
    saved: Decimal
    given_away: Decimal
    plan_gap_pct: Decimal | None
    unplaced: int


class DatedVisit(NamedTuple):
    """`dated_visits`: a visit beyond the weeks in which all work is planned, for what falls due by law or date."""

    iso_week: str
    visit_on: date
    depot: str
    vehicle_id: str
    titles: str


class VisitLimit(NamedTuple):
    """`visit_limits`: days a vehicle can come, or a pair (`not_with`) kept apart, and the visits planned under it."""

    vehicle_id: str
    not_with: str
    days: str
    visits: int
    next_on: date | None
    next_vehicle: str | None


class FollowUp(NamedTuple):
    """`followups`: something still open after a job."""

    vehicle_id: str
    kind: str
    task: str
    task_title: str | None
    item: str
    since_on: date
    age_days: int
    status: str | None
    km_since: Decimal | None
    limit_km: Decimal | None
    condition: str | None
    note: str | None


class ReadyBacklog(NamedTuple):
    """`ready_backlog`: a depot's ready work in crew-weeks; None: hours are missing."""

    depot: str
    ready_hours: Decimal
    tasks_without_hours: int
    crew_hours_per_week: Decimal | None
    backlog_weeks: Decimal | None


class VisitsOfWeek(NamedTuple):
    """What the week's page says of visits and of what is still open."""

    visit_depots: list[str]
    depot_weeks: list[tuple[str, list[DepotWeek | None]]]
    visits_saved: VisitsSaved
    dated_visits: list[DatedVisit]
    kept: list[VisitLimit]
    followups: list[FollowUp]
    more_followups: int
    backlog: list[ReadyBacklog]


def visits_of_week(db: duckdb.DuckDBPyConnection) -> VisitsOfWeek:
    """Reads depot_weeks, visits_summary, dated_visits, visit_limits, followups and ready_backlog: the weeks in which
    all work is planned, a cell a depot.

    `dated_visits` are those of the weeks after these, so that every visit is counted in one place and no more.
    """
    rows = [row for row in read_rows(db, DepotWeek, "depot_weeks") if row.is_full_plan]
    weeks = sorted({row.iso_week for row in rows})
    depots = sorted({row.depot for row in rows}, key=lambda depot: (depot == "", depot))
    cell = {(row.iso_week, row.depot): row for row in rows}
    followups = sorted(
        read_rows(db, FollowUp, "followups"), key=lambda row: (row.status != "overdue", -row.age_days, row[:5])
    )
    return VisitsOfWeek(
        visit_depots=depots,
        depot_weeks=[(week, [cell.get((week, depot)) for depot in depots]) for week in weeks],
        visits_saved=read_rows(db, VisitsSaved, "visits_summary")[0],
        dated_visits=read_rows(db, DatedVisit, "dated_visits", ("visit_on", "depot", "vehicle_id")),
        kept=read_rows(db, VisitLimit, "visit_limits", ("not_with", "vehicle_id")),
        followups=followups[:OPEN_SHOWN],
        more_followups=len(followups[OPEN_SHOWN:]),
        backlog=read_rows(db, ReadyBacklog, "ready_backlog"),
    )
