"""The week's page: one self-contained HTML file for the fleet manager and the lead mechanic.

`week_page` reads the tables, arranges their rows in the order they are read on paper (what must come in
first, then depot by depot, vehicle by vehicle) and hands them to `templates/week.html`. Every figure on the
page is a cell of one of those tables or the length of a list it shows; nothing is reckoned here but order.

The page asks nothing of any network: its one style sheet and its one script stand inside it, each allowed by
its hash, and without the script it says the same. What came from the input is escaped, and characters that
could not stand in a page, or that would turn the direction of the text around them, are replaced. Knows
nothing of how a due date is worked out.
"""

from collections.abc import Collection, Iterable, Iterator
from itertools import groupby
from typing import NamedTuple

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.frame import anchor, depot_order, inside, natural_order, page_environment
from fleetreport.report.cautions import cautions
from fleetreport.report.depot_parts import IS_IN_PART, Part, part_path, parts_of
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
from fleetreport.report.visit_rows import VisitsOfWeek, visits_of_week
from fleetreport.tables import TABLES

LEAD_VEHICLES = 10  # shown on the first screen, the others folded below it
OPEN_LIST = 12  # a longer list is folded
SET_ASIDE_SHOWN = 300  # of one scope; the workbook and data/quarantine.csv have them all
UNMATCHED_SHOWN = 100  # the workbook and data/unmatched.csv have them all
MONTHS_SHOWN = 6
SINCE_SHOWN = 300  # of one change; data/since_last_week.csv has them all
DATED_SHOWN = 300  # of visits beyond the weeks planned, and of limits kept; data/visits.csv has all visits
LEAD_SHOWN = 300  # where the page is split by depot: the depots' pages have all
WATCHED_SHOWN = 12  # of the meters to read, where the page is split


class VehicleWork(NamedTuple):
    """One vehicle and its overdue and due tasks, the most pressing first."""

    vehicle_id: str
    vehicle_title: str | None
    vehicle_class: str
    depot: str
    cost_centre: str | None
    anchor: str
    tasks: list[DueRow]
    page: str = ""  # where it stands, if not on this page


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
    """Everything that `week.html` lays out.

    Where it is split by depot, `parts` are those with a page of their own, which has the rows of `depots`, `not_judged`
    and `stale_meters`; of these the page itself has no row, no row and the first. The totals count all.
    """

    week: WeekAtAGlance
    notes: list[Note]
    lead: list[VehicleWork]
    lead_total: int
    parts: list[Part]
    depots: list[DepotWork]
    depot_summary: list[DepotSummary]
    not_judged: list[NotJudged]
    not_judged_totals: list[tuple[str, int]]
    stale_meters: list[StaleMeter]
    stale_total: int
    set_aside: list[SetAsideGroup]
    meter_changes: list[SuggestedMeterChange]
    unmatched: list[Unmatched]
    unmatched_total: int
    loads: list[Load]
    on_time: OnTimeRecord
    visits: VisitsOfWeek
    since: Since


class DepotPage(NamedTuple):
    """What the page of a part lays out: its depot's work, and what of it could not be judged."""

    week: WeekAtAGlance
    part: Part
    depot: DepotWork
    not_judged: list[NotJudged]
    stale_meters: list[StaleMeter]
    stale_total: int
    parts: tuple[Part, ...] = ()


def week_page(
    db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH, parts: Collection[Part] = (),
    without_page: frozenset[str] = frozenset(),
) -> str:  # fmt: skip
    """The week's page as HTML text, to be written as UTF-8. The same tables give the same text.

    `parts`: those that `depot_pages` makes pages of, so that this one only sums them up. `without_page`: vehicles
    that have no page of their own. Reads week_at_a_glance, notes, due_list, depot_summary, not_judged, stale_meters,
    quarantine, suggested_meter_changes, unmatched, loads, on_time and what visit_rows.visits_of_week and
    since_rows.since_last_week do. Raises duckdb.Error for a missing table or column, ValueError if week_at_a_glance
    has not exactly one row.
    """
    page = arrange(db, parts)
    depots = {row.depot for row in page.depot_summary} | {depot.depot for depot in page.depots}
    environment = page_environment(words)
    environment.globals["without_page"] = without_page
    return environment.get_template("week.html").render(
        page=page, since=page.since, cautions=cautions(words, "week"), open_list=OPEN_LIST, lead_vehicles=LEAD_VEHICLES,
        since_shown=SINCE_SHOWN, dated_shown=DATED_SHOWN,
        depots=sorted(depots, key=depot_order), filter_statuses=("overdue", "due", "upcoming", "unknown"),
        **inside("_style.css"),
    )  # fmt: skip


def depot_pages(
    db: duckdb.DuckDBPyConnection, parts: Iterable[Part], words: Catalogue = ENGLISH,
    without_page: frozenset[str] = frozenset(),
) -> Iterator[tuple[str, str]]:  # fmt: skip
    """The page of each part: where it goes, from the week's folder, and its HTML text. One part is held at a time.

    Reads week_at_a_glance, report_parts, due_list, not_judged and stale_meters.
    """
    week = read_week(db)
    environment = page_environment(words)
    environment.globals.update(without_page=without_page, up="../")
    template = environment.get_template("depot.html")
    carried = inside("_style.css")
    for part in parts:
        stale = read_rows(db, StaleMeter, "stale_meters", ("worst",), IS_IN_PART, part.which)
        work = _by_depot(read_rows(db, DueRow, "due_list", (), IS_IN_PART, part.which))
        page = DepotPage(
            week, part, work[0] if work else DepotWork(part.depot, anchor("depot", part.depot), [], []),
            _in_turn(read_rows(db, NotJudged, "not_judged", (), IS_IN_PART, part.which)), stale, len(stale),
        )  # fmt: skip
        yield (
            part_path(part),
            template.render(
                page=page, week=week, depot=page.depot, open_list=OPEN_LIST, cautions=cautions(words, "week"), **carried
            ),
        )


def _in_turn(rows: Iterable[NotJudged]) -> list[NotJudged]:
    return sorted(rows, key=lambda row: (row.reason, natural_order(row.vehicle_id)))


def _most_pressing(db: duckdb.DuckDBPyConnection) -> tuple[list[VehicleWork], int]:
    """The vehicles to bring in first, each with the part it stands in, and how many there are in all."""
    rows = db.execute(
        """select vehicle_id, count(*) over () from due_list where status <> 'upcoming' group by vehicle_id
            order by min({
                'a': status <> 'overdue', 'b': status = 'overdue' and source is distinct from 'law',
                'c': status = 'overdue' and late_by_pct is not null,
                'd': case when status = 'overdue' then -coalesce(late_by_pct, 0) else 0 end, 'e': due_on
            }), vehicle_id limit ?""",
        [LEAD_SHOWN],
    ).fetchall()
    first = [vehicle for vehicle, _ in rows]
    where = "status <> 'upcoming' and vehicle_id in (select unnest(?::varchar[]))"
    due = read_rows(db, DueRow, "due_list", ("vehicle_id",), where, [first])
    part_of = parts_of(db, first)
    works = [_vehicle_work(list(tasks)) for _, tasks in groupby(due, key=lambda row: row.vehicle_id)]
    lead = [work._replace(page=part_path(part_of[work.vehicle_id])) for work in works]
    return lead, rows[0][1] if rows else 0


def arrange(db: duckdb.DuckDBPyConnection, parts: Collection[Part] = ()) -> Page:
    """The rows of the week in the order in which they are read on paper; split by `parts`, only the first of them."""
    depots = [] if parts else _by_depot(read_rows(db, DueRow, "due_list"))
    some, lead_total = _most_pressing(db) if parts else ([v for d in depots for v in d.vehicles], 0)
    lead = sorted(some, key=lambda vehicle: pressing(vehicle.tasks[0]))
    summary = read_rows(db, DepotSummary, "depot_summary")
    stale_total = int(db.execute("select count(*) from stale_meters").fetchall()[0][0])
    watched = f"worst <= {WATCHED_SHOWN}" if parts else "true"
    unmatched = sorted(read_rows(db, Unmatched, "unmatched"), key=lambda row: (-row.lines, -row.cost, row.description))
    return Page(
        week=read_week(db),
        notes=read_rows(db, Note, "notes", ("turn",)),
        lead=lead,
        lead_total=lead_total or len(lead),
        parts=sorted(parts, key=lambda part: (depot_order(part.depot), part.part)),
        depots=depots,
        depot_summary=sorted(summary, key=lambda row: depot_order(row.depot)),
        not_judged=[] if parts else _in_turn(read_rows(db, NotJudged, "not_judged")),
        not_judged_totals=db.execute("select reason, count(*) from not_judged group by all order by all").fetchall(),
        stale_meters=read_rows(db, StaleMeter, "stale_meters", ("worst",), watched),
        stale_total=stale_total,
        set_aside=_set_aside_groups(read_rows(db, SetAside, "quarantine", ("file", "line"))),
        meter_changes=read_rows(db, SuggestedMeterChange, "suggested_meter_changes"),
        unmatched=unmatched[:UNMATCHED_SHOWN],
        unmatched_total=len(unmatched),
        loads=read_rows(db, Load, "loads"),
        on_time=_on_time_record(read_rows(db, OnTime, "on_time")),
        visits=visits_of_week(db),
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
