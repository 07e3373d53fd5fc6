"""Keep a fleet's rows in an embedded DuckDB file, every row accounted for.

`stage` makes typed rows of each file in temporary tables, outside any transaction, because a file that turns out not
to be plain must not undo the rest. `keep` then moves them into the store's tables: repeats are counted and left out,
rows that contradict an earlier one or refer to nothing are refused. `begin_run` writes the one-row table `run` that
queries take the as-of date and the settings from. Nothing here knows what a due date is.
"""

import os
import re
import tempfile
from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from pathlib import Path

import duckdb

from fleetreport.check import typed_columns, typed_select
from fleetreport.problem import CannotReadOrWrite, Problem
from fleetreport.read import InputFile, TextRows, lines_in, ways_to_read
from fleetreport.settings import Settings
from fleetreport.sql import NO_EXTENSIONS
from fleetreport.tables import TABLES, Table

PROBLEM_COLUMNS = (
    '(file VARCHAR, line BIGINT, "table" VARCHAR, "column" VARCHAR, value VARCHAR, reason VARCHAR, scope VARCHAR)'
)
# A store holds this table, with the version of what is in it, so that no other database is ever taken for one.
MARKER, SCHEMA_VERSION = "fleetreport_store", 1
# Inspections fixed by date are planned half a year ahead (common practice, no published source).
WEEKS_OF_VISITS = 26
PROBLEM_LIST = 'STRUCT("column" VARCHAR, value VARCHAR, reason VARCHAR)[]'


def open_store(path: Path, settings: Settings) -> duckdb.DuckDBPyConnection:
    """Open the fleet's database file, made where there is none, in the fleet's time zone.

    Raises CannotReadOrWrite where it cannot be opened, in one line that says who holds it if someone does.
    """
    rebuilt = "move it away; the database is built anew from the fleet folder"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        db = duckdb.connect(path, config=NO_EXTENSIONS)
    except OSError as error:
        raise CannotReadOrWrite(
            f"{error.filename or path}: {error.strerror or error}", help="name another place for it with --store"
        ) from None
    except duckdb.Error as error:
        if "Could not set lock" in str(error):
            holder = re.search(r"\(PID (\d+)", str(error))
            by = f" (process {holder[1]})" if holder else ""
            raise CannotReadOrWrite(
                f"{path}: another run is using it{by}", help="wait for it to end, then run this again"
            ) from None
        if path.is_file() and os.access(path, os.W_OK):
            raise CannotReadOrWrite(f"{path}: found a file that is no database of this program", help=rebuilt) from None
        raise CannotReadOrWrite(
            f"{path}: cannot be opened as a database file", help="name another place for it with --store"
        ) from None
    there = {name for (name,) in db.execute("select table_name from information_schema.tables").fetchall()}
    if there and MARKER not in there:
        db.close()
        raise CannotReadOrWrite(
            f"{path}: found a database that is not this program's", help="name another with --store"
        )
    db.execute(f"create table if not exists {MARKER} as select {SCHEMA_VERSION} as schema_version")
    db.execute("set TimeZone = ?", [settings.fleet.time_zone])
    # No query may pick up a Python variable by its name.
    db.execute("set python_enable_replacements = false")
    db.execute("set enable_progress_bar = false")
    return db


def stage(
    db: duckdb.DuckDBPyConnection, files: Sequence[InputFile], tick: Callable[[str], None] = lambda name: None
) -> None:
    """Read all files into temporary tables: rows to `staged_<table>`, problems to `found`, counts to `read_files`.

    `tick` is called with the name of each file before it is read. Raises CannotReadOrWrite with a line for each
    file that cannot be read at all.
    """
    db.execute(f"create or replace temp table found {PROBLEM_COLUMNS}")
    db.execute(
        'create or replace temp table read_files (file VARCHAR, "table" VARCHAR, rows_read BIGINT, ignored VARCHAR, '
        "rows_left_out BIGINT)"
    )
    for table in TABLES:
        shape = f"{_shape(table)}, refused BOOLEAN, problems {PROBLEM_LIST}"
        db.execute(f"create or replace temp table staged_{table.name} ({shape})")
    unreadable: list[str] = []
    helps: list[str] = []
    for file in files:
        tick(file.name)
        try:
            _stage_file(db, file)
        except CannotReadOrWrite as error:
            unreadable += error.messages
            helps += [error.help] if error.help else []
    named = {file.table for file in files}
    for table in TABLES:
        if table.name in named:
            _add_problems_of(db, table)
    unreadable += [f"{table.name}.csv: found no such file, expected one in the fleet folder"
                   for table in TABLES if table.needed and table.name not in named]  # fmt: skip
    if unreadable:
        raise CannotReadOrWrite(*unreadable, help=next(iter(helps), ""))


def _shape(table: Table) -> str:
    """The columns that every typed row has, as SQL declares them: where it stands, then what it says."""
    said = ", ".join(f'"{name}" {sql_type}' for name, sql_type in typed_columns(table).items())
    return f"file VARCHAR, line BIGINT, {said}"


def _stage_file(db: duckdb.DuckDBPyConnection, file: InputFile) -> None:
    table = next(t for t in TABLES if t.name == file.table)
    with tempfile.TemporaryDirectory(prefix="fleetreport-") as spare:
        for way in ways_to_read(file, Path(spare)):
            rows = _try_way(db, table, file, way)
            if rows is not None:
                break
        else:
            raise CannotReadOrWrite(f"{file.name}: found a file that cannot be told apart into rows, expected CSV")
    add_problems(db, way.refused)
    db.execute(
        "insert into read_files values (?, ?, ?, ?, ?)",
        [file.name, table.name, rows + len(way.refused), ", ".join(way.unused), way.left_out],
    )


def _try_way(db: duckdb.DuckDBPyConnection, table: Table, file: InputFile, way: TextRows) -> int | None:
    """Add a file's typed rows to those staged; gives their number, or None where this way does not fit the file."""
    if not way.columns:
        return 0
    select = typed_select(table, way.columns, way.sql, file.name, way.rules, way.pieced)
    try:
        rows = one_number(db, f"insert into staged_{table.name} {select}")
    except (duckdb.InvalidInputException, duckdb.ConversionException):
        return None
    except duckdb.IOException as error:
        raise CannotReadOrWrite(f"{file.name}: {str(error).splitlines()[0]}") from None
    if way.counts_lines and rows + 1 != lines_in(file.path):
        db.execute(f"delete from staged_{table.name} where file = ?", [file.name])
        return None
    return rows


def _add_problems_of(db: duckdb.DuckDBPyConnection, table: Table) -> None:
    """What is wrong with the staged rows of a table, into `found`.

    A refused row is one line of the list, however much is wrong with it.
    """
    db.execute(
        f"""insert into found
            select file, line, ?, problems[1].column, problems[1].value, array_to_string(list_prepend(
                problems[1].reason, list_transform(problems[2:], lambda p: p.column || ': ' || p.reason)), '; '), 'row'
            from staged_{table.name} where refused""",
        [table.name],
    )
    db.execute(
        f"""insert into found select file, line, ?, p.column, p.value, p.reason, 'value'
            from (select file, line, unnest(problems) as p from staged_{table.name} where not refused)""",
        [table.name],
    )


def keep(db: duckdb.DuckDBPyConnection) -> None:
    """Move the staged rows into the store's tables, replacing what was there; fills `file_counts` and `problems`.

    Belongs into a transaction, so that the store holds all of a run or nothing of it.
    """
    db.execute(
        """create or replace table file_counts as select *, 0::bigint as rows_loaded, 0::bigint as rows_repeated,
            0::bigint as rows_quarantined from read_files"""
    )
    with_files = {name for (name,) in db.execute('select distinct "table" from read_files').fetchall()}
    for table in TABLES:
        if table.name not in with_files:
            db.execute(f"create or replace table {table.name} ({_shape(table)})")
            continue
        _keep_table(db, table)
        db.execute(
            f"""update file_counts as c set
                rows_loaded = (select count(*) from {table.name} t where t.file = c.file),
                rows_quarantined =
                    (select count(distinct line) from found f where f.file = c.file and f.scope = 'row')
                where "table" = ?""",
            [table.name],
        )
    lost = db.execute(
        "select file, rows_read, rows_loaded + rows_repeated + rows_quarantined from file_counts "
        "where rows_read <> rows_loaded + rows_repeated + rows_quarantined order by file"
    ).fetchall()
    if lost:
        raise CannotReadOrWrite(
            *(f"{file}: read {read} rows but can account for {told} only" for file, read, told in lost)
        )
    db.execute("create or replace table problems as from found")
    for table in TABLES:
        db.execute(f"drop table staged_{table.name}")


def _keep_table(db: duckdb.DuckDBPyConnection, table: Table) -> None:
    """One table: rows that refer to nothing and rows that contradict an earlier one are refused, repeats left out."""
    columns = ", ".join(f'"{name}"' for name in typed_columns(table))
    known = ["not refused"]
    for column in table.columns:
        if column.refers_to:
            there = " union all ".join(f'select "{column.name}" from {name}' for name in column.refers_to)
            where = " or ".join(f"{name}" for name in column.refers_to)
            db.execute(
                f"""insert into found select file, line, ?, ?, "{column.name}", ?, 'row'
                    from staged_{table.name} where {" and ".join(known)} and "{column.name}" not in ({there})""",
                [table.name, column.name, f"expected one that stands in {where}"],
            )
            known.append(f'"{column.name}" in ({there})')
    db.execute(
        f"""create or replace temp table told as
            select *, row_number() over (partition by {columns} order by file, line) as copy
            from ({_filled(table)}) where {" and ".join(known)}"""
    )
    db.execute(
        "update file_counts as c set rows_repeated = (select count(*) from told where file = c.file and copy > 1) "
        'where "table" = ?',
        [table.name],
    )
    first = "select * exclude (copy) from told where copy = 1"
    if table.key:
        key = ", ".join(f'"{name}"' for name in table.key)
        db.execute(
            f"""create or replace temp table keyed as
                select *, row_number() over one as turn, first_value(file || ':' || line) over one as earlier
                from ({first}) window one as (partition by {key} order by file, line)"""
        )
        db.execute(
            f"""insert into found select file, line, ?, ?, coalesce("{table.key[-1]}"::varchar, ''),
                'expected one row for each {", ".join(table.key)}, found other values at ' || earlier, 'row'
                from keyed where turn > 1""",
            [table.name, table.key[-1]],
        )
        first = "select * from keyed where turn = 1"
    db.execute(
        f"create or replace table {table.name} as select file, line, {columns} from ({first}) order by file, line"
    )


def _filled(table: Table) -> str:
    """The staged rows with the defaults that hang on other cells or on the vehicle."""
    if not table.fills:
        return f"from staged_{table.name}"
    filled = ", ".join(f'{value} as "{column}"' for column, value in table.fills)
    return f"select r.* replace ({filled}) from staged_{table.name} r left join vehicles v using (vehicle_id)"


def add_problems(db: duckdb.DuckDBPyConnection, problems: Iterable[Problem]) -> None:
    """Add to the temporary table `found`."""
    rows = [list(problem) for problem in problems]
    if rows:
        db.executemany("insert into found values (?, ?, ?, ?, ?, ?, ?)", rows)


def begin_run(db: duckdb.DuckDBPyConnection, settings: Settings, as_of: date, fleet_name: str) -> None:
    """Write what queries need to know of this run: the one-row table `run` and the table `depot_hours`."""
    week = settings.week
    values: dict[str, tuple[str, object]] = {
        "as_of": ("DATE", as_of),
        "due_until": ("DATE", as_of + timedelta(week.due_days)),
        "horizon_until": ("DATE", as_of + timedelta(week.horizon_days)),
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
        "service_level": ("DECIMAL(9,6)", settings.stock.service_level),
        "review_days": ("INTEGER", settings.stock.review_days),
        "plan_until": ("DATE", _plan_until(db, settings, as_of)),
    }
    listed = ", ".join(f"?::{sql_type} as {name}" for name, (sql_type, _) in values.items())
    db.execute(f"create or replace table run as select {listed}", [value for _, value in values.values()])
    db.execute("create or replace table depot_hours (depot VARCHAR, hours_per_week DECIMAL(18,2))")
    hours = [list(pair) for pair in settings.workshop.hours_per_week.items()]
    if hours:
        db.executemany("insert into depot_hours values (?, ?)", hours)


def _plan_until(db: duckdb.DuckDBPyConnection, settings: Settings, as_of: date) -> date:
    """The last day for which work is planned: what the horizon, half a year of visits, the forecast's months and the
    longest lead time need.
    """
    lead = one_number(db, "select coalesce(max(lead_time_days), 0) from items")
    months = as_of.month + settings.money.months_ahead
    after_last_month = date(as_of.year + months // 12, months % 12 + 1, 1)
    return max(
        as_of + timedelta(max(settings.week.horizon_days, WEEKS_OF_VISITS * 7, lead + settings.stock.review_days)),
        after_last_month - timedelta(1),
    )


def one_number(db: duckdb.DuckDBPyConnection, sql: str) -> int:
    """The single whole number that a query gives."""
    row = db.execute(sql).fetchone()
    if row is None:
        raise LookupError(sql)
    return int(row[0])
