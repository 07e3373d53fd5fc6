"""The week's page: one self-contained HTML file for the fleet manager and the lead mechanic.

`week_page` reads the tables, arranges their rows in the order they are read on paper (what must come in
first, then depot by depot, vehicle by vehicle) and hands them to `templates/week.html`. Every figure on the
page is a cell of one of those tables or the length of a list it shows; nothing is reckoned here but order.

The page asks nothing of any network: its one style sheet and its one script stand inside it, each allowed by
its hash, and without the script it says the same. What came from the input is escaped, and characters that
could not stand in a page, or that would turn the direction of the text around them, are replaced. Knows
nothing of how a due date is worked out.
"""

from collections.abc import Iterable
from itertools import groupby
from typing import NamedTuple

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.frame import anchor, depot_order, inside, natural_order, page_environment
from fleetreport.report.cautions import cautions
from fleetreport.report.report_rows import (
    DepotSummary,
    DueRow,
    Load,
    Note,
    NotJudged,
    OnTime,
    SetAside,
    StaleMeter,
    SuggestedMeterChange,
    Unmatched,
    WeekAtAGlance,
    read_rows,
    read_week,
)
from fleetreport.report.since_rows import Since, since_last_week
from fleetreport.report.visit_rows import (
    DatedVisit,
    DepotWeek,
    FollowUp,
    ReadyBacklog,
    VisitLimit,
    VisitsSaved,
    visits_of_week,
)
from fleetreport.tables import TABLES

LEAD_VEHICLES = 10  # shown on the first screen, the others folded below it
OPEN_LIST = 12  # a longer list is folded
SET_ASIDE_SHOWN = 300  # of one scope; the workbook and data/quarantine.csv have them all
UNMATCHED_SHOWN = 100  # the workbook and data/unmatched.csv have them all
MONTHS_SHOWN = 6


class VehicleWork(NamedTuple):
    """One vehicle and its overdue and due tasks, the most pressing first."""

    vehicle_id: str
    vehicle_title: str | None
    vehicle_class: str
    depot: str
    cost_centre: str | None
    anchor: str
    tasks: list[DueRow]


class DepotWork(NamedTuple):
    """One depot: its vehicles with overdue or due work, and what is upcoming in order of date."""

    depot: str
    anchor: str
    vehicles: list[VehicleWork]
    upcoming: list[DueRow]


class SetAsideGroup(NamedTuple):
    """What was set aside in one scope (`row`, `value`, `reading`): the first rows of it, and how many there are."""

    scope: str
    total: int
    shown: list[SetAside]


class OnTimeRecord(NamedTuple):
    """The latest months, and for each class a cell a month (none: nothing was done)."""

    months: list[str]
    classes: list[tuple[str, list[OnTime | None]]]


class Page(NamedTuple):
    """Everything that `week.html` lays out."""

    week: WeekAtAGlance
    notes: list[Note]
    lead: list[VehicleWork]
    depots: list[DepotWork]
    depot_summary: list[DepotSummary]
    not_judged: list[NotJudged]
    stale_meters: list[StaleMeter]
    set_aside: list[SetAsideGroup]
    meter_changes: list[SuggestedMeterChange]
    unmatched: list[Unmatched]
    unmatched_total: int
    loads: list[Load]
    on_time: OnTimeRecord
    visit_depots: list[str]
    depot_weeks: list[tuple[str, list[DepotWeek | None]]]
    visits_saved: VisitsSaved
    dated_visits: list[DatedVisit]
    kept: list[VisitLimit]
    followups: list[FollowUp]
    more_followups: int
    backlog: list[ReadyBacklog]
    since: Since


def week_page(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH) -> str:
    """The week's page as HTML text, to be written as UTF-8. The same tables give the same text.

    Reads week_at_a_glance, notes, due_list, depot_summary, not_judged, stale_meters, quarantine,
    suggested_meter_changes, unmatched, loads, on_time and what visit_rows.visits_of_week and
    since_rows.since_last_week do. Raises duckdb.Error for
    a missing table or column, ValueError if week_at_a_glance has not exactly one row.
    """
    page = arrange(db)
    depots = {row.depot for row in page.depot_summary} | {depot.depot for depot in page.depots}
    return page_environment(words).get_template("week.html").render(
        page=page, since=page.since, cautions=cautions(words, "week"), open_list=OPEN_LIST, lead_vehicles=LEAD_VEHICLES,
        depots=sorted(depots, key=depot_order), filter_statuses=("overdue", "due", "upcoming", "unknown"),
        **inside("_style.css"),
    )  # fmt: skip


def arrange(db: duckdb.DuckDBPyConnection) -> Page:
    """The rows of the week in the order in which they are read on paper."""
    due = read_rows(db, DueRow, "due_list")
    depots = _by_depot(due)
    lead = sorted((v for d in depots for v in d.vehicles), key=lambda vehicle: pressing(vehicle.tasks[0]))
    summary = read_rows(db, DepotSummary, "depot_summary")
    not_judged = read_rows(db, NotJudged, "not_judged")
    unmatched = sorted(read_rows(db, Unmatched, "unmatched"), key=lambda row: (-row.lines, -row.cost, row.description))
    return Page(
        week=read_week(db),
        notes=read_rows(db, Note, "notes", ("turn",)),
        lead=lead,
        depots=depots,
        depot_summary=sorted(summary, key=lambda row: depot_order(row.depot)),
        not_judged=sorted(not_judged, key=lambda row: (row.reason, natural_order(row.vehicle_id))),
        stale_meters=read_rows(db, StaleMeter, "stale_meters", ("worst",)),
        set_aside=_set_aside_groups(read_rows(db, SetAside, "quarantine", ("file", "line"))),
        meter_changes=read_rows(db, SuggestedMeterChange, "suggested_meter_changes"),
        unmatched=unmatched[:UNMATCHED_SHOWN],
        unmatched_total=len(unmatched),
        loads=read_rows(db, Load, "loads"),
        on_time=_on_time_record(read_rows(db, OnTime, "on_time")),
        **visits_of_week(db),
        since=since_last_week(db),
    )


def _by_depot(due: Iterable[DueRow]) -> list[DepotWork]:
    """Depots by name, those without one last; vehicles in the order of their numbers."""
    depots = []
    in_order = sorted(due, key=lambda row: (depot_order(row.depot), natural_order(row.vehicle_id)))
    for depot, of_depot in groupby(in_order, key=lambda row: row.depot):
        rows = list(of_depot)
        upcoming = [row for row in rows if row.status == "upcoming"]
        at_hand = (row for row in rows if row.status != "upcoming")
        vehicles = [_vehicle_work(list(tasks)) for _, tasks in groupby(at_hand, key=lambda row: row.vehicle_id)]
        upcoming.sort(key=lambda row: (row.due_on, natural_order(row.vehicle_id), row.task))
        depots.append(DepotWork(depot, anchor("depot", depot), vehicles, upcoming))
    return depots


def _vehicle_work(tasks: list[DueRow]) -> VehicleWork:
    first = tasks[0]
    return VehicleWork(
        first.vehicle_id, first.vehicle_title, first.vehicle_class, first.depot, first.cost_centre,
        anchor("vehicle", first.vehicle_id), sorted(tasks, key=pressing),
    )  # fmt: skip


def pressing(row: DueRow) -> tuple[object, ...]:
    """The most pressing first: overdue by law, expired, by how much of the interval, by date."""
    late = row.late_by_pct if row.status == "overdue" else None
    return (
        row.status != "overdue", row.status == "overdue" and row.source != "law",
        late is not None, -(late or 0), row.due_on, natural_order(row.vehicle_id), row.task,
    )  # fmt: skip


def _set_aside_groups(rows: list[SetAside]) -> list[SetAsideGroup]:
    """By scope; in each, the fleet's own lists first: a refused vehicle matters more than a refused reading."""
    tables = [table.name for table in TABLES]
    in_order = sorted(rows, key=lambda row: tables.index(row.table) if row.table in tables else len(tables))
    by_scope = {scope: [row for row in in_order if row.scope == scope] for scope in ("row", "value", "reading")}
    return [SetAsideGroup(scope, len(some), some[:SET_ASIDE_SHOWN]) for scope, some in by_scope.items() if some]


def _on_time_record(rows: list[OnTime]) -> OnTimeRecord:
    months = sorted({row.month for row in rows})[-MONTHS_SHOWN:]
    cell = {(row.vehicle_class, row.month): row for row in rows}
    classes = sorted({row.vehicle_class for row in rows if row.month in months}, key=natural_order)
    return OnTimeRecord(months, [(name, [cell.get((name, month)) for month in months]) for name in classes])
