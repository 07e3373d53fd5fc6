"""The weekly run on one screen: read, check, store, query, report.

New and changed files are staged outside the transaction and everything else happens inside one, so that the store holds
a whole run or nothing of it. Reports are written aside and then moved into place file by file, so that no half-written
one is ever seen.
"""

import shutil
import tempfile
import time
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from datetime import date
from itertools import count
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.items.demand_steps import SAFETY_STOCK, UNPLANNED_FORECAST
from fleetreport.items.fewer_products import FEWER_PRODUCTS
from fleetreport.items.order_steps import PURCHASED, SPECIFICATIONS, SWAPPED
from fleetreport.kept_weeks import finish_week, vehicle_pages_of_before, week_folder
from fleetreport.letters.forecast_mail import forecast_letter
from fleetreport.letters.mail import Envelope, Letter, message, week_letter
from fleetreport.letters.order_letters import HEADER, supplier_files
from fleetreport.letters.order_mail import order_letter
from fleetreport.meters.believed import LONGEST_CHAINS
from fleetreport.meters.diagnosis_steps import DIAGNOSES
from fleetreport.money.forecast_steps import FORECAST_BANDS
from fleetreport.money.repair_steps import CLASS_REPAIRS, REPAIR_CURVE, REPAIR_RATES
from fleetreport.own.queries import own_queries, with_own
from fleetreport.pages.job_cards import card_lines_csv, cards_page
from fleetreport.pages.order_page import order_page
from fleetreport.pages.own_reports import own_pages
from fleetreport.pages.page import week_page
from fleetreport.pages.record_page import record_page
from fleetreport.problem import CannotReadOrWrite
from fleetreport.query import Query, Step, beside_the_package, in_order, load_macros, load_queries, run_all
from fleetreport.reading.rows import InputFile, find_files
from fleetreport.record.findings import INTERVAL_ADVICE
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.sql import literal
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.past_weeks import PastWeek, iso_week, past_weeks
from fleetreport.storing.store import (
    begin_run,
    is_damage,
    one_number,
    one_transaction,
    open_only_to,
    opened_store,
    store_of,
)
from fleetreport.tasks.wording_steps import DESCRIPTIONS, NEAREST_TASKS, WORDING_MATCHES
from fleetreport.visits.steps import VISIT_DAYS
from fleetreport.workbooks.money_tables import PUBLISHED_MONEY, write_forecast, write_money_tables
from fleetreport.workbooks.workbook import write_workbook

# The tables other programs read, in the order of the contract.
PUBLISHED = (
    "due", "items_needed", "order", "on_time", "loads", "quarantine", "unmatched", "visits", "visit_tasks",
    "depot_weeks", "followups", "ready_backlog", "findings", "finding_counts", "findings_by_year", "interval_advice",
    "fluid_use", "fluid_stretches", "on_time_by", "work_record",
    "week_at_a_glance", "since_last_week", "calendar_events",
)  # fmt: skip
STEPS = (
    LONGEST_CHAINS, DIAGNOSES, DESCRIPTIONS, WORDING_MATCHES, NEAREST_TASKS,
    UNPLANNED_FORECAST, SAFETY_STOCK, SPECIFICATIONS, SWAPPED, PURCHASED, FEWER_PRODUCTS, VISIT_DAYS, INTERVAL_ADVICE,
    REPAIR_RATES, CLASS_REPAIRS, REPAIR_CURVE, FORECAST_BANDS,
)  # fmt: skip
# The folders of queries/ that make a week.
PARTS = ("meters", "rates", "tasks", "items", "visits", "money", "record", "pages")
# The letters by the report that people are named for under [mail], made of the tables and the folder that this run's
# reports were just written into. Each is mail/<report>.eml.
LETTERS: Mapping[str, Callable[[duckdb.DuckDBPyConnection, Path], Letter]] = {
    "week": lambda db, made: week_letter(db, (made / "week.xlsx").read_bytes()),
    "forecast": lambda db, made: forecast_letter(db, (made / "forecast.xlsx").read_bytes()),
    "order": lambda db, made: order_letter(db, read_texts(made / "orders"), (made / "week.xlsx").read_bytes()),
}
A_DAY = 24 * 60 * 60


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

    `store` is the database file (default: .fleetreport/store.duckdb in the fleet folder). `tell` is told each thing
    before it is done, and the share of things done before it. Raises WrongCall and CannotReadOrWrite with messages fit
    for a person.
    """
    settings = read_settings(fleet)
    files, remarks = find_files(fleet, settings.source)
    day = as_of or settings.today()
    if out.exists() and not out.is_dir():
        raise CannotReadOrWrite(f"{out}: found a file, expected a folder to write the reports into")
    ours: list[Query | Step] = [*load_queries(beside_the_package("queries"), PARTS), *STEPS]
    own = own_queries(fleet, ours)
    made = with_own(ours, own)
    things = len(files) + len(made) + len(PUBLISHED) + len(own) + 7
    done = count()

    def tick(what: str) -> None:
        tell(what, next(done) / things)

    name = fleet.resolve().name
    past, unreadable = past_weeks(out, day, settings.fleet.name or name)
    remarks += unreadable
    with opened_store(store or store_of(fleet), settings) as db:
        withdrawn = work_out(db, files, settings, day, name, tick, made, [out], past)
        added = [query.table for query in own if not query.must_give]
        pages = own_pages(db, fleet, own)
        publish(db, settings, day, out, parquet, tick, added, pages, past)
        return _summary(db, day, out, [*withdrawn, *remarks])


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
) -> list[str]:
    """Bring the store to what the files hold and make every table of the week; gives notes on files that are gone.

    `fleet_name` stands where the settings give none. `made` is what makes the tables, in order (None: our own). When
    the files are read, the store is open only to the folders of `writes_to` (None: as it was). `past` are the weeks
    kept, the latest to compare with. Raises CannotReadOrWrite for files that cannot be read; the store then holds what
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
        run_all(db, made, tick)
    return notes


def publish(
    db: duckdb.DuckDBPyConnection,
    settings: Settings,
    as_of: date,
    out: Path,
    parquet: bool,
    tick: Callable[[str], None],
    own_tables: Sequence[str] = (),
    own_pages: Mapping[str, str] | None = None,
    past: Sequence[PastWeek] = (),
) -> None:
    """Write all reports aside, then move each into its place in `out`, and a copy into the week's own folder there.

    `own_tables` are the names of the fleet's own tables, `own_pages` its own pages by name. Raises
    CannotReadOrWrite where `out` cannot be written.
    """
    letters = [report for report in LETTERS if settings.mail.get(report)]
    orders = supplier_files(db)
    kept = week_folder(iso_week(as_of))
    # Tables, letters and pages of an earlier run must not stand beside those of this one.
    outdated: list[str] = (
        [] if parquet else [f"data/{table}.parquet" for table in (*PUBLISHED, *PUBLISHED_MONEY, *own_tables)]
    )
    gone = [
        f"{within}{name}"
        for within, folder in (("", out), (f"{kept}/", out / kept))
        for name in (*outdated, *_letters_of_before(folder, settings, orders), *vehicle_pages_of_before(db, folder))
    ]
    with put_in_place(out, gone) as aside:
        (aside / "orders").mkdir()
        for table in (*PUBLISHED, *own_tables):
            tick(f"{table}.csv")
            write_table(db, table, aside / "data" / f"{table}.csv", "format csv, header")
            if parquet:
                write_table(db, table, aside / "data" / f"{table}.parquet", "format parquet")
        tick("forecast.csv")
        write_money_tables(db, aside / "data", parquet)
        for name, page in (own_pages or {}).items():
            (aside / f"{name}.html").write_text(page, encoding="utf-8", newline="\n")
        tick("week.html")
        (aside / "week.html").write_text(week_page(db), encoding="utf-8", newline="\n")
        tick("order.html")
        (aside / "order.html").write_text(order_page(db), encoding="utf-8", newline="\n")
        for name, text in orders.items():
            (aside / "orders" / name).write_text(text, encoding="utf-8", newline="\n")
        tick("jobcards.html")
        (aside / "jobcards.html").write_text(cards_page(db), encoding="utf-8", newline="\n")
        (aside / "records.html").write_text(record_page(db), encoding="utf-8", newline="\n")
        (aside / "jobcards.csv").write_text(card_lines_csv(db), encoding="utf-8", newline="\n")
        tick("week.xlsx")
        write_workbook(db, aside / "week.xlsx")
        tick("forecast.html")
        write_forecast(db, aside)
        for report in letters:
            write_letter(LETTERS[report](db, aside), settings, as_of, aside)
        finish_week(db, aside, iso_week(as_of), past, tick)


@contextmanager
def put_in_place(out: Path, outdated: Sequence[str] = ()) -> Iterator[Path]:
    """A folder (with `data` in it) to write reports into; when all are written, each moves to its place in `out`.

    `outdated` are files of `out` that go then. Raises CannotReadOrWrite where `out` cannot be written.
    """
    aside = None
    try:
        out.mkdir(parents=True, exist_ok=True)
        _clear_away_old(out)
        aside = Path(tempfile.mkdtemp(prefix=".writing-", dir=out))
        (aside / "data").mkdir()
        yield aside
        for path in sorted(aside.rglob("*")):
            place = out / path.relative_to(aside)
            if path.is_dir():
                place.mkdir(exist_ok=True)
            else:
                path.replace(place)
        for name in outdated:
            (out / name).unlink(missing_ok=True)
    except OSError as error:
        raise CannotReadOrWrite(f"{out}: the reports cannot be written here: {error.strerror or error}") from None
    except duckdb.IOException as error:
        if is_damage(error):
            raise
        raise CannotReadOrWrite(f"{out}: the reports cannot be written here: {str(error).splitlines()[0]}") from None
    finally:
        if aside:
            shutil.rmtree(aside, ignore_errors=True)


def _letters_of_before(folder: Path, settings: Settings, orders: Collection[str]) -> list[str]:
    """The letters and orders of an earlier run in `folder` that this one does not write, from there."""
    letters = [
        f"mail/{path.name}"
        for path in (folder / "mail").glob("*.eml")
        if path.stem not in LETTERS or not settings.mail.get(path.stem)
    ]
    return letters + _orders_of_before(folder, orders)


def _orders_of_before(out: Path, orders: Collection[str]) -> list[str]:
    """The lists and letters of an earlier order to suppliers that get none now, known by our heading of the list.

    Sent again by mistake they would be bought again.
    """
    old = []
    for path in sorted((out / "orders").glob("*.csv")):
        with suppress(OSError), path.open(encoding="utf-8", errors="replace") as file:
            if path.name not in orders and file.readline(2 * len(HEADER)).rstrip("\n") == HEADER:
                old += [f"orders/{path.name}", f"orders/{path.stem}.txt"]
    return old


def _clear_away_old(out: Path) -> None:
    """Remove what killed runs left. A younger folder may belong to a run with another store, still at work."""
    for left in out.glob(".writing-*"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > A_DAY:
                shutil.rmtree(left)


def write_letter(letter: Letter, settings: Settings, as_of: date, folder: Path) -> None:
    """Write a letter to the people the settings name for it, as a file that mail programs open."""
    recipients = settings.mail[letter.report]
    envelope = Envelope(settings.smtp.sender or recipients[0], recipients, as_of, settings.fleet.time_zone)
    (folder / "mail").mkdir(exist_ok=True)
    (folder / "mail" / f"{letter.report}.eml").write_bytes(message(letter, envelope).as_bytes())


def read_texts(folder: Path) -> dict[str, str]:
    """The texts of a folder by file name."""
    return {path.name: path.read_text(encoding="utf-8") for path in sorted(folder.iterdir())}


def write_table(db: duckdb.DuckDBPyConnection, table: str, path: Path, how: str) -> None:
    """Write a table's rows, in the order its query gives them."""
    db.execute(f'copy (from "{table}") to {literal(str(path))} ({how})')


def _summary(db: duckdb.DuckDBPyConnection, day: date, out: Path, notes: list[str]) -> Week:
    week = db.execute("select vehicles, tasks_overdue, tasks_due from week_at_a_glance").fetchall()[0]
    told = db.execute("select note from notes order by turn").fetchall()
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
