"""The fleet's embedded DuckDB file: opened, known by its version, changed in one transaction a run.

A store remembers what the files of the fleet folder said; the folder is the truth, and a store that is lost or left
behind by a newer version is built anew from it. `open_store` and `opened_store` refuse what is no store of this
program, is in use, is damaged or is of a later version. `begin_run` writes the one-row table `run` that queries take
the as-of date and the settings from. What the tables of the files hold is for `loading`; nothing here knows it.
"""

import os
import re
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import date, timedelta
from pathlib import Path

import duckdb

from fleetreport.marks import minor_digits
from fleetreport.problem import CannotReadOrWrite
from fleetreport.settings.fleet_toml import Settings
from fleetreport.settings.wording import write_rules
from fleetreport.sql import NO_EXTENSIONS, literal
from fleetreport.storing.damage import REBUILT, DamagedStore, is_damage, told_if_damaged
from fleetreport.storing.past_weeks import PastWeek, bring_last_week

# A store holds this table, with the version of what is in it, so that no other database is ever taken for one.
MARKER, SCHEMA_VERSION = "fleetreport_store", 3
HEADERS = 3 * 4096


def store_of(fleet: Path) -> Path:
    """Where the week's database file of a fleet folder is if the call does not say."""
    return fleet / ".fleetreport" / "store.duckdb"


def open_store(path: Path, settings: Settings, read_only: bool = False) -> duckdb.DuckDBPyConnection:
    """Open the fleet's database file, made where there is none (not so for `read_only`), in the fleet's time zone.

    Raises CannotReadOrWrite where it cannot be opened, in one line that says who holds it if someone does.
    """
    try:
        if not read_only:
            if not path.parent.exists():
                path.parent.mkdir(parents=True)
                path.parent.chmod(0o700)
            _clear_away_unfinished(path)
        db = duckdb.connect(path, read_only, config=NO_EXTENSIONS)
        if not read_only:
            # It holds all that the files say; another's database, open to us too, keeps its rights.
            with suppress(OSError):
                path.chmod(0o600)
    except OSError as error:
        raise CannotReadOrWrite(
            f"{error.filename or path}: {error.strerror or error}", help="name another place for it with --store"
        ) from None
    except duckdb.Error as error:
        raise _not_opened(path, error) from None
    try:
        found = schema_version(db)
    except LookupError:
        db.close()
        raise CannotReadOrWrite(
            f"{path}: found a database that is not this program's", help="name another with --store"
        ) from None
    if found > SCHEMA_VERSION:
        db.close()
        raise CannotReadOrWrite(
            f"{path}: found a database of version {found}, expected version {SCHEMA_VERSION} or an earlier one",
            help="a later fleetreport made it: use that one, or name another database with --store",
        )
    db.execute(f"set memory_limit = '{settings.machine.memory}MiB'")
    make_ready(db, settings.fleet.time_zone)
    return db


def make_ready(db: duckdb.DuckDBPyConnection, time_zone: str) -> None:
    """Set what every connection that runs queries must have, so that all give the same."""
    db.execute("set TimeZone = ?", [time_zone])
    # No query may pick up a Python variable by its name.
    db.execute("set python_enable_replacements = false")
    db.execute("set enable_progress_bar = false")


@contextmanager
def opened_store(path: Path, settings: Settings, read_only: bool = False) -> Iterator[duckdb.DuckDBPyConnection]:
    """`open_store` for as long as the block runs. A damaged file or a full disk, found out while it is read or written,
    is told in one line.
    """
    with told_if_damaged(path):
        db = open_store(path, settings, read_only)
        try:
            yield db
        finally:
            with suppress(duckdb.Error):
                db.close()


def open_only_to(db: duckdb.DuckDBPyConnection, *folders: Path | str) -> None:
    """Shut a database off from files and networks but `folders` and its own file, for good: no query can undo it.

    A folder given as text is taken as it is: it may be a URL.
    """
    listed = ", ".join(literal(folder if isinstance(folder, str) else str(folder.resolve())) for folder in folders)
    db.execute(f"set allowed_directories = [{listed}]")
    db.execute("set enable_external_access = false")
    db.execute("set lock_configuration = true")


@contextmanager
def passing_store(settings: Settings) -> Iterator[duckdb.DuckDBPyConnection]:
    """A database for work that leaves the fleet's store as it is; thrown away when the block ends."""
    with (
        tempfile.TemporaryDirectory(prefix="fleetreport-") as folder,
        opened_store(Path(folder) / "store.duckdb", settings) as db,
    ):
        yield db


def _clear_away_unfinished(path: Path) -> None:
    """Remove what a run leaves that was killed while DuckDB made the file: less than its headers, so no rows."""
    if path.is_file() and path.stat().st_size < HEADERS:
        start = path.read_bytes()
        if not start or start[8:12] == b"DUCK":
            path.unlink()


def _not_opened(path: Path, error: duckdb.Error) -> CannotReadOrWrite:
    if "Could not set lock" in str(error):
        holder = re.search(r"\(PID (\d+)", str(error))
        by = f" (process {holder[1]})" if holder else ""
        return CannotReadOrWrite(f"{path}: another run is using it{by}", help="wait for it to end, then run this again")
    if path.is_file() and os.access(path, os.W_OK):
        if is_damage(error):
            return DamagedStore(path)
        return CannotReadOrWrite(f"{path}: found a file that is no database of this program", help=REBUILT)
    return CannotReadOrWrite(
        f"{path}: cannot be opened as a database file", help="name another place for it with --store"
    )


def schema_version(db: duckdb.DuckDBPyConnection) -> int:
    """The version of what is in a store; 0 where it is empty. Raises LookupError where it is another database."""
    there = [name for _, name in tables_and_views(db)]
    if MARKER in there:
        return one_number(db, f"select schema_version from {MARKER}")
    if there:
        raise LookupError(MARKER)
    return 0


def tables_and_views(db: duckdb.DuckDBPyConnection) -> list[tuple[str, str]]:
    """What stands in the file itself: `view` or `table`, and its name."""
    return db.execute(
        """select 'view', view_name from duckdb_views() where not internal and not temporary
            union all select 'table', table_name from duckdb_tables() where not internal and not temporary"""
    ).fetchall()


@contextmanager
def one_transaction(db: duckdb.DuckDBPyConnection) -> Iterator[None]:
    """All that the block does to the store, or nothing of it."""
    db.execute("begin")
    try:
        yield
        db.execute("commit")
    except BaseException:
        with suppress(duckdb.Error):
            db.execute("rollback")
        raise


def begin_run(
    db: duckdb.DuckDBPyConnection,
    settings: Settings,
    as_of: date,
    fleet_name: str,
    past: Sequence[PastWeek] = (),
) -> list[str]:
    """Write what queries need to know of this run: the table `run` (one row), the lists of the settings, and what the
    last of the `past` weeks published.

    Gives notes on what of that is unreadable.
    """
    week = settings.week
    values: dict[str, tuple[str, object]] = {
        "as_of": ("DATE", as_of),
        "due_until": ("DATE", as_of + timedelta(week.due_days)),
        "horizon_until": ("DATE", as_of + timedelta(week.horizon_days)),
        "vehicle_pages": ("INTEGER", week.vehicle_pages),
        "split_above": ("INTEGER", week.split_above),
        "fleet_name": ("VARCHAR", settings.fleet.name or fleet_name),
        "currency": ("VARCHAR", settings.fleet.currency),
        "distance_unit": ("VARCHAR", settings.fleet.distance_unit),
        "records_from": ("DATE", settings.fleet.records_from),
        "most_km_per_day": ("DECIMAL(18,7)", settings.meters.most_per_day.km),
        "most_h_per_day": ("DECIMAL(18,7)", settings.meters.most_per_day.h),
        "stale_days": ("INTEGER", settings.meters.stale_days),
        "labour_rate": ("DECIMAL(18,4)", settings.workshop.labour_rate),
        "tax_rate": ("DECIMAL(9,6)", settings.workshop.tax_rate),
        "inflation_per_year": ("DECIMAL(9,6)", settings.money.inflation_per_year),
        "financial_year_starts": ("INTEGER", settings.fleet.financial_year_starts),
        "months_ahead": ("INTEGER", settings.money.months_ahead),
        "discount_rate": ("DECIMAL(9,6)", settings.money.discount_rate),
        "money_digits": ("INTEGER", minor_digits(settings.fleet.currency)),
        "service_level": ("DECIMAL(9,6)", settings.stock.service_level),
        "review_days": ("INTEGER", settings.stock.review_days),
        "only_listed": ("BOOLEAN", settings.stock.only_listed),
        "only_listed_for": ("VARCHAR[]", settings.stock.only_listed_for),
        "deliver_to": ("VARCHAR", settings.stock.deliver_to),
        "cost_of_an_order": ("DOUBLE", settings.stock.cost_of_an_order),
        "holding_per_year": ("DOUBLE", settings.stock.holding_per_year),
        "pull_forward_share": ("DECIMAL(9,6)", settings.workshop.pull_forward_share),
        "pull_forward_days": ("INTEGER", settings.workshop.pull_forward_days),
        "pull_forward_dated_days": ("INTEGER", settings.workshop.pull_forward_dated_days),
        "hours_per_visit": ("DECIMAL(18,2)", settings.workshop.hours_per_visit),
        "open_weekdays": ("VARCHAR[]", settings.workshop.open_weekdays),
        "visits_until": ("DATE", _end_of_week(as_of, settings.workshop.weeks_ahead)),
        "dated_until": ("DATE", _end_of_week(as_of, settings.workshop.weeks_ahead_dated)),
        "cards_until": ("DATE", _end_of_week(as_of, settings.workshop.card_weeks - 1)),
        "plan_until": ("DATE", _plan_until(db, settings, as_of)),
    }
    listed = ", ".join(f"?::{sql_type} as {name}" for name, (sql_type, _) in values.items())
    db.execute(f"create or replace table run as select {listed}", [value for _, value in values.values()])
    _write_lists(db, settings)
    return bring_last_week(db, as_of, past)


def _write_lists(db: duckdb.DuckDBPyConnection, settings: Settings) -> None:
    """The settings that are lists, and `setting_names`: what of the settings only the fleet's own lists can know."""
    db.execute("create or replace table depot_hours (depot VARCHAR, hours_per_week DECIMAL(18,2))")
    hours = [list(pair) for pair in settings.workshop.depot_hours().items()]
    if hours:
        db.executemany("insert into depot_hours values (?, ?)", hours)
    db.execute("create or replace table confirmed (item VARCHAR, product VARCHAR, said VARCHAR)")
    answers = [[one.item, one.product, one.said] for one in settings.stock.confirmed]
    if answers:
        db.executemany("insert into confirmed values (?, ?, ?)", answers)
    write_rules(db, [rule.rule() for rule in settings.wording])
    db.execute("create or replace table price_growth (kind VARCHAR, per_year DECIMAL(9,6))")
    growth = [list(pair) for pair in settings.money.growth.items()]
    if growth:
        db.executemany("insert into price_growth values (?, ?)", growth)
    db.execute(
        'create or replace table setting_names ("of" VARCHAR, key VARCHAR, name VARCHAR, product VARCHAR, line BIGINT)'
    )
    names = [list(one) for one in settings.names()]
    if names:
        db.executemany("insert into setting_names values (?, ?, ?, ?, ?)", names)


def _end_of_week(day: date, weeks: int) -> date:
    """The Sunday that ends the ISO week so many after that of `day`."""
    return day + timedelta(7 * weeks + 7 - day.isoweekday())


def _plan_until(db: duckdb.DuckDBPyConnection, settings: Settings, as_of: date) -> date:
    """The last day for which work is planned: what the horizon, half a year of visits, the forecast's months and the
    longest lead time need.
    """
    lead = one_number(db, "select coalesce(max(lead_time_days), 0) from items")
    visits = 7 * (settings.workshop.weeks_ahead_dated + 1)
    months = as_of.month + settings.money.months_ahead
    after_last_month = date(as_of.year + months // 12, months % 12 + 1, 1)
    return max(
        as_of + timedelta(max(settings.week.horizon_days, visits, lead + settings.stock.review_days)),
        after_last_month - timedelta(1),
    )


def one_number(db: duckdb.DuckDBPyConnection, sql: str) -> int:
    """The single whole number that a query gives."""
    row = db.execute(sql).fetchone()
    if row is None:
        raise LookupError(sql)
    return int(row[0])
