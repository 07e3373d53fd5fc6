"""The weekly run on one screen: read, check, store, query, report.

New and changed files are staged outside the transaction and everything else happens inside one, so that the store holds
a whole run or nothing of it. Reports are written aside and then moved into place, so that no half-written one is ever
seen; what a run that was cut short had ready is put in place first.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from datetime import date
from itertools import count
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.items.demand_steps import SAFETY_STOCK, UNPLANNED_FORECAST
from fleetreport.items.fewer_products import FEWER_PRODUCTS
from fleetreport.items.order_steps import PURCHASED, SPECIFICATIONS, SWAPPED
from fleetreport.meters.believed import NOT_BELIEVED
from fleetreport.meters.carrying_on import MeterTables
from fleetreport.meters.diagnosis_steps import DIAGNOSES
from fleetreport.money.forecast_steps import FORECAST_BANDS
from fleetreport.money.repair_steps import CLASS_REPAIRS, REPAIR_CURVE, REPAIR_RATES
from fleetreport.own.queries import OwnQuery, own_queries, with_own
from fleetreport.placing import finish_placing
from fleetreport.problem import CannotReadOrWrite
from fleetreport.published_tables import PUBLISHED, TOLD_BESIDES
from fleetreport.query import Query, Step, beside_the_package, in_order, load_macros, load_queries, needed_for, run_all
from fleetreport.reading.rows import InputFile, find_files
from fleetreport.record.alike_vehicles import ALIKE_VEHICLES
from fleetreport.record.findings import INTERVAL_ADVICE
from fleetreport.record.unknown_settings import UNKNOWN_SETTINGS
from fleetreport.remaking import run_changed
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.standing import made_of, remember, stand_already
from fleetreport.storing.damage import anew_if_damaged
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.past_weeks import PastWeek, iso_week, past_weeks, week_folder
from fleetreport.storing.store import begin_run, one_number, one_transaction, open_only_to, opened_store, store_of
from fleetreport.tasks.wording_steps import DESCRIPTIONS, NEAREST_TASKS, WORDING_MATCHES
from fleetreport.visits.steps import VISIT_DAYS

STEPS = (
    NOT_BELIEVED, DIAGNOSES, DESCRIPTIONS, WORDING_MATCHES, NEAREST_TASKS,
    UNPLANNED_FORECAST, SAFETY_STOCK, SPECIFICATIONS, SWAPPED, PURCHASED, FEWER_PRODUCTS, VISIT_DAYS, INTERVAL_ADVICE,
    ALIKE_VEHICLES, UNKNOWN_SETTINGS, REPAIR_RATES, CLASS_REPAIRS, REPAIR_CURVE, FORECAST_BANDS,
)  # fmt: skip
# The folders of queries/ that make a week.
PARTS = ("meters", "rates", "tasks", "items", "visits", "money", "record", "pages")


class Week(NamedTuple):
    """What a run made: where, the counts of its one-line summary, and notes on what a person should know at once."""

    as_of: date
    out: Path
    vehicles: int
    overdue: int
    due: int
    not_judged: int
    set_aside: int
    notes: list[str]


def make_week(
    fleet: Path,
    as_of: date | None,
    out: Path,
    store: Path | None = None,
    parquet: bool = False,
    tell: Callable[[str, float], None] = lambda what, share: None,
) -> Week:
    """Work out the week of `as_of` (None: today where the fleet is) and write its reports into `out`.

    `store` is the database file (default: .fleetreport/store.duckdb in the fleet folder, made anew where it is found
    damaged). `tell` is told each thing before it is done, and the share of things done before it. Raises WrongCall and
    CannotReadOrWrite with messages fit for a person.
    """
    settings = read_settings(fleet)
    files, remarks = find_files(fleet, settings.source)
    day = as_of or settings.today()
    ready_to_publish(out)
    made, own, _ = makers(fleet)
    things = len(files) + len(made) + len(PUBLISHED) + len(own) + TOLD_BESIDES
    name = fleet.resolve().name
    past, unreadable = past_weeks(out, day, settings.fleet.name or name)
    remarks += unreadable
    store = store or store_of(fleet)

    def make() -> Week:
        done = count()

        def tick(what: str) -> None:
            tell(what, next(done) / things)

        with opened_store(store, settings) as db:
            of_own = {query.table for query in own}
            withdrawn = work_out(db, files, settings, day, name, tick, made, [out], past, of_own)
            made_now, kept = made_of(db, fleet, settings, parquet, past), week_folder(iso_week(day))
            if not stand_already(db, out, kept, made_now):
                _publish(db, fleet, settings, day, out, parquet, tick, own, past)
                remember(db, out, kept, made_now)
            return summary(db, day, out, [*withdrawn, *remarks])

    week, said = anew_if_damaged(store, store_of(fleet), make)
    return week._replace(notes=[*week.notes, *said])


def _publish(
    db: duckdb.DuckDBPyConnection, fleet: Path, settings: Settings, day: date, out: Path, parquet: bool,
    tick: Callable[[str], None], own: Sequence[OwnQuery], past: Sequence[PastWeek],
) -> None:  # fmt: skip
    # A run that has nothing to write need not load what writes.
    from fleetreport.pages.own_reports import edition_of, told_of_own_templates
    from fleetreport.publishing import publish

    with told_of_own_templates(fleet):
        publish(db, settings, day, out, parquet, tick, edition_of(fleet, settings.fleet.language), own, past)


def work_out(
    db: duckdb.DuckDBPyConnection,
    files: Sequence[InputFile],
    settings: Settings,
    as_of: date,
    fleet_name: str,
    tick: Callable[[str], None] = lambda what: None,
    made: Sequence[Query | Step] | None = None,
    writes_to: Sequence[Path] | None = None,
    past: Sequence[PastWeek] = (),
    anew: Collection[str] | None = None,
) -> list[str]:
    """Bring the store to what the files hold and make every table of the week; gives notes on files that are gone.

    `fleet_name` stands where the settings give none. `made` is what makes the tables, in order (None: our own). When
    the files are read, the store is open only to the folders of `writes_to` (None: as it was). `past` are the weeks
    kept, the latest to compare with. `anew` are tables to be made in any case, though the others stand and would come
    out the same (None: all). Raises CannotReadOrWrite for files that cannot be read; the store then holds what
    it held before.
    """
    changes = stage(db, files, settings, tick)
    queries = beside_the_package("queries")
    load_macros(db, queries)
    if made is None:
        made = in_order([*load_queries(queries, PARTS), *STEPS])
    if writes_to is not None:
        open_only_to(db, *writes_to)
    with one_transaction(db):
        notes = keep(db, changes)
        notes += begin_run(db, settings, as_of, fleet_name, past)
        if anew is None:
            run_all(db, made, tick)
        else:
            run_changed(db, made, tick, anew, MeterTables())
    return notes


def makers_of(tables: Iterable[str], *further: str) -> list[Query | Step]:
    """What makes these tables and what they read, in order: of the week's, and of folders of queries/ `further`.

    Raises KeyError for a table that nothing of these makes.
    """
    ours: list[Query | Step] = [*load_queries(beside_the_package("queries"), [*PARTS, *further]), *STEPS]
    return in_order(needed_for(tables, ours))


def ready_to_publish(out: Path) -> None:
    """End what a run that was cut short began in `out`. Raises CannotReadOrWrite where it is a file."""
    if out.exists() and not out.is_dir():
        raise CannotReadOrWrite(f"{out}: found a file, expected a folder to write the reports into")
    finish_placing(out)


def makers(fleet: Path) -> tuple[list[Query | Step], list[OwnQuery], set[str]]:
    """What makes the tables of a week, in order, with the fleet's own queries; these; and the tables `per: vehicle` of
    ours that one of these makes instead. Raises WrongCall for an own query that cannot be taken.
    """
    ours: list[Query | Step] = [*load_queries(beside_the_package("queries"), PARTS), *STEPS]
    own = own_queries(fleet, ours)
    per_vehicle = {one.table for one in ours if one.per_vehicle}
    return with_own(ours, own), own, per_vehicle & {query.table for query in own}


def summary(db: duckdb.DuckDBPyConnection, day: date, out: Path, notes: list[str]) -> Week:
    """What a run that is published made."""
    week = db.execute("select vehicles, tasks_overdue, tasks_due from week_at_a_glance").fetchall()[0]
    told = db.execute("select note from notes order by turn").fetchall()
    pages, in_service = db.execute("select count(*) filter (has_page), count(*) from sheet_vehicles").fetchall()[0]
    if pages < in_service:
        notes = [*notes, f"{pages} of {in_service} vehicles have a page: those with most tasks overdue, then due; "
                         "vehicle_pages under [week] in fleet.toml asks for more"]  # fmt: skip
    return Week(
        as_of=day,
        out=out,
        vehicles=week[0],
        overdue=week[1],
        due=week[2],
        not_judged=one_number(db, "select count(*) from not_judged"),
        set_aside=one_number(db, "select count(*) from quarantine"),
        notes=[*(note for (note,) in told), *notes],
    )
