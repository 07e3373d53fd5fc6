"""The weekly run on one screen: read, check, store, query, report.

Rows are staged outside the transaction and everything else happens inside one, so that the store holds a whole run or
nothing of it. Reports are written aside and then moved into place file by file, so that no half-written one is ever
seen.
"""

import os
import shutil
from collections.abc import Callable, Sequence
from datetime import date
from itertools import count
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.meters import LONGEST_CHAINS
from fleetreport.page import week_page
from fleetreport.problem import CannotReadOrWrite
from fleetreport.query import beside_the_package, in_order, load_macros, load_queries, run_all
from fleetreport.read import InputFile, find_files, quoted
from fleetreport.settings import Settings, read_settings
from fleetreport.store import begin_run, keep, one_number, open_store, stage
from fleetreport.workbook import write_workbook

# The tables other programs read, in the order of the contract.
PUBLISHED = ("due", "on_time", "loads", "quarantine")
STEPS = (LONGEST_CHAINS,)


class Week(NamedTuple):
    """What a run made: the folder, the page to open first, and the counts of its one-line summary."""

    out: Path
    page: Path
    vehicles: int
    overdue: int
    due: int
    not_judged: int
    set_aside: int
    strangers: list[str]


def make_week(
    fleet: Path,
    as_of: date,
    out: Path,
    store: Path | None = None,
    parquet: bool = False,
    tell: Callable[[str, float], None] = lambda what, share: None,
) -> Week:
    """Work out the week of `as_of` for the fleet folder and write its reports into `out`.

    `store` is the database file (default: .fleetreport/store.duckdb in the fleet folder). `tell` is told each thing
    before it is done, and the share of things done before it. Raises WrongCall and CannotReadOrWrite with messages fit
    for a person.
    """
    settings = read_settings(fleet)
    files, strangers = find_files(fleet)
    if out.exists() and not out.is_dir():
        raise CannotReadOrWrite(f"{out}: found a file, expected a folder to write the reports into")
    things = len(files) + len(list(beside_the_package("queries").glob("*/*.sql"))) + len(STEPS) + len(PUBLISHED) + 2
    done = count()

    def tick(what: str) -> None:
        tell(what, next(done) / things)

    db = open_store(store or fleet / ".fleetreport" / "store.duckdb", settings)
    try:
        work_out(db, files, settings, as_of, fleet.resolve().name, tick)
        publish(db, out, parquet, tick)
        return _summary(db, out, strangers)
    finally:
        db.close()


def work_out(
    db: duckdb.DuckDBPyConnection,
    files: Sequence[InputFile],
    settings: Settings,
    as_of: date,
    fleet_name: str,
    tick: Callable[[str], None] = lambda what: None,
) -> None:
    """Load the files into `db` and make every table of the week.

    `fleet_name` stands where the settings give none. Raises CannotReadOrWrite for files that cannot be read; the
    store then holds what it held before.
    """
    stage(db, files, tick)
    queries = beside_the_package("queries")
    load_macros(db, queries)
    made = in_order([*load_queries(db, queries), *STEPS])
    db.execute("begin")
    try:
        keep(db)
        begin_run(db, settings, as_of, fleet_name)
        run_all(db, made, tick)
    except BaseException:
        db.execute("rollback")
        raise
    db.execute("commit")


def publish(db: duckdb.DuckDBPyConnection, out: Path, parquet: bool, tick: Callable[[str], None]) -> None:
    """Write all reports aside, then move each into its place in `out`.

    Raises CannotReadOrWrite where `out` cannot be written.
    """
    aside = out / f".writing-{os.getpid()}"
    try:
        (aside / "data").mkdir(parents=True)
        for table in PUBLISHED:
            tick(f"{table}.csv")
            write_table(db, table, aside / "data" / f"{table}.csv", "format csv, header")
            if parquet:
                write_table(db, table, aside / "data" / f"{table}.parquet", "format parquet")
        tick("week.html")
        (aside / "week.html").write_text(week_page(db), encoding="utf-8", newline="\n")
        tick("week.xlsx")
        write_workbook(db, aside / "week.xlsx")
        (out / "data").mkdir(exist_ok=True)
        for path in sorted(aside.rglob("*")):
            if path.is_file():
                path.replace(out / path.relative_to(aside))
    except OSError as error:
        raise CannotReadOrWrite(f"{out}: the reports cannot be written here: {error.strerror or error}") from None
    except duckdb.IOException as error:
        raise CannotReadOrWrite(f"{out}: {str(error).splitlines()[0]}") from None
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def write_table(db: duckdb.DuckDBPyConnection, table: str, path: Path, how: str) -> None:
    """Write a table's rows, in the order its query gives them."""
    db.execute(f'copy (from "{table}") to {quoted(str(path))} ({how})')


def _summary(db: duckdb.DuckDBPyConnection, out: Path, strangers: list[str]) -> Week:
    def tasks(status: str) -> int:
        return one_number(db, f"select count(*) from due where status = {quoted(status)}")

    return Week(
        out=out,
        page=out / "week.html",
        vehicles=one_number(db, "select count(distinct vehicle_id) from due"),
        overdue=tasks("overdue"),
        due=tasks("due"),
        not_judged=tasks("unknown"),
        set_aside=one_number(db, "select count(*) from quarantine"),
        strangers=strangers,
    )
