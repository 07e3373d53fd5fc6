"""Bring the store to what the fleet folder holds now, reading only what is new or changed.

`stage` compares the fingerprint of each file with the one remembered in `input_files` and makes typed rows of those
that differ in temporary tables. It stays outside any transaction, because a file that turns out not to be plain must
not undo the rest. `keep` then takes out the rows of files that were read anew or are gone, puts the staged rows in, has
`fates` decide about them, and rebuilds `problems` and `file_counts`, which account for every row. So the tables follow
from the folder alone, whatever the store went through before.

When a file was loaded stands in `input_files` and `load_log`, which no query reads.
"""

import tempfile
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.kinds import DATE, TIME
from fleetreport.problem import CannotReadOrWrite, Problem
from fleetreport.reading.check import typed_select
from fleetreport.reading.rows import InputFile, TextRows, lines_in, ways_to_read
from fleetreport.settings.fleet_toml import Settings
from fleetreport.sql import identifier
from fleetreport.storing.fates import bring_up_to_date, leans_on, make_input_table, problems_of, read_shape
from fleetreport.storing.fingerprint import Fingerprint, fingerprint, reading_rules
from fleetreport.storing.store import MARKER, SCHEMA_VERSION, one_number, schema_version, tables_and_views
from fleetreport.tables import BY_NAME, TABLES, Table

PROBLEM_COLUMNS = (
    '(file VARCHAR, line BIGINT, "table" VARCHAR, "column" VARCHAR, value VARCHAR, reason VARCHAR, scope VARCHAR)'
)
FILE_COLUMNS = (
    'file VARCHAR, "table" VARCHAR, content VARCHAR, read_as VARCHAR, rows_read BIGINT, ignored VARCHAR, '
    "rows_left_out BIGINT, first_on DATE, last_on DATE"
)
MOST_READINGS = 3  # of a file that changes meanwhile
LOG_COLUMNS = (
    'logged_at TIMESTAMPTZ, file VARCHAR, "table" VARCHAR, event VARCHAR, rows_read BIGINT, rows_loaded BIGINT, '
    "rows_repeated BIGINT, rows_quarantined BIGINT, rows_before BIGINT, loaded_before TIMESTAMPTZ"
)


class Changes(NamedTuple):
    """How the folder differs from what the store remembers: the rules under which it was read, the tables that have
    files of which that holds, and the names of these files (read anew or gone).
    """

    rules: str
    tables: frozenset[str]
    files: Sequence[str]


class Remembered(NamedTuple):
    """A file that the store holds rows of."""

    table: str
    fingerprint: Fingerprint


def stage(
    db: duckdb.DuckDBPyConnection,
    files: Sequence[InputFile],
    settings: Settings,
    tick: Callable[[str], None] = lambda name: None,
    faults: list[str] | None = None,
) -> Changes:
    """Read new and changed files into temporary tables: rows to `staged_<table>`, rows without a shape to `unshaped`,
    the rest to `read_files`.

    `tick` is called with the name of each file before it is looked at. Raises CannotReadOrWrite with a line for each
    file that cannot be read at all, or adds these lines to `faults` where that is given and leaves such files out.
    """
    rules, remembered = reading_rules(), _remembered(db)
    names = {file.name for file in files}
    gone = sorted(name for name in remembered if name not in names)
    _make_staging(db, {file.table for file in files} | {remembered[name].table for name in gone})
    read: list[InputFile] = []
    unreadable: list[str] = []
    helps: list[str] = []
    for file in files:
        tick(file.name)
        try:
            if _stage_if_new(db, file, remembered.get(file.name), rules, settings):
                read.append(file)
        except CannotReadOrWrite as error:
            unreadable += error.messages
            helps += [error.help] if error.help else []
    named = {file.table for file in files}
    unreadable += [f"{table.name}.csv: found no such file, expected one in the fleet folder"
                   for table in TABLES if table.needed and table.name not in named]  # fmt: skip
    if faults is not None:
        faults += unreadable
    elif unreadable:
        raise CannotReadOrWrite(*unreadable, help=next(iter(helps), ""))
    for name in {file.table for file in read}:
        _date_files(db, BY_NAME[name])
    tables = {file.table for file in read} | {remembered[name].table for name in gone}
    return Changes(rules, frozenset(tables), [*(file.name for file in read), *gone])


def _remembered(db: duckdb.DuckDBPyConnection) -> dict[str, Remembered]:
    """The files that the store holds rows of, by name."""
    if schema_version(db) < SCHEMA_VERSION:
        return {}
    rows = db.execute('select file, "table", content, read_as from input_files').fetchall()
    return {file: Remembered(table, Fingerprint(content, read_as)) for file, table, content, read_as in rows}


def _make_staging(db: duckdb.DuckDBPyConnection, tables: Iterable[str]) -> None:
    db.execute(f"create or replace temp table unshaped {PROBLEM_COLUMNS}")
    db.execute(f"create or replace temp table read_files ({FILE_COLUMNS})")
    for name in tables:
        db.execute(f"create or replace temp table staged_{name} ({read_shape(BY_NAME[name])})")


def _stage_if_new(
    db: duckdb.DuckDBPyConnection, file: InputFile, known: Remembered | None, rules: str, settings: Settings
) -> bool:
    """Stage a file that is not what the store remembers; tells whether it was. A file that changes meanwhile is read
    again, so that its fingerprint is that of its rows; one that goes on changing is refused.
    """
    for _ in range(MOST_READINGS):
        try:
            before = _state(file)
            found = fingerprint(file, rules, settings)
            if known and known.fingerprint == found:
                return False
            _stage_file(db, file, found)
            if _state(file) == before:
                return True
        except OSError as error:
            raise CannotReadOrWrite(f"{file.name}: {error.strerror or error}") from None
        for table in (f"staged_{file.table}", "unshaped", "read_files"):
            db.execute(f"delete from {table} where file = ?", [file.name])
    raise CannotReadOrWrite(
        f"{file.name}: found a file that changes while it is read, expected one that is written",
        help="run this again when what writes it has ended; best, let it write another name and rename the file then",
    )


def _state(file: InputFile) -> tuple[int, int, int]:
    found = file.path.stat()
    return found.st_ino, found.st_size, found.st_mtime_ns


def _stage_file(db: duckdb.DuckDBPyConnection, file: InputFile, found: Fingerprint) -> None:
    table = BY_NAME[file.table]
    with tempfile.TemporaryDirectory(prefix="fleetreport-") as spare:
        for way in ways_to_read(file, Path(spare)):
            rows = _try_way(db, table, file, way)
            if rows is not None:
                break
        else:
            raise CannotReadOrWrite(f"{file.name}: found a file that cannot be told apart into rows, expected CSV")
    _add_unshaped(db, way.refused)
    db.execute(
        "insert into read_files values (?, ?, ?, ?, ?, ?, ?, null, null)",
        [file.name, table.name, *found, rows + len(way.refused), ", ".join(way.unused), way.left_out],
    )


def _date_files(db: duckdb.DuckDBPyConnection, table: Table) -> None:
    """Of which days the files read tell, for people who ask what came from where."""
    dated = next((c.name for c in table.columns if c.needed and c.kind in (DATE, TIME)), None)
    if dated:
        db.execute(
            f"""update read_files f set first_on = s.first_on, last_on = s.last_on
                from (select file, min({dated})::date as first_on, max({dated})::date as last_on
                    from staged_{table.name} where not refused group by file) s
                where f.file = s.file"""
        )


def _try_way(db: duckdb.DuckDBPyConnection, table: Table, file: InputFile, way: TextRows) -> int | None:
    """Add a file's typed rows to those staged; gives their number, or None where this way does not fit the file."""
    if not way.sql:
        return 0
    select = typed_select(table, way.columns, way.sql, file.name, way.rules, way.pieced, way.unused)
    try:
        rows = one_number(db, f"insert into staged_{table.name} {select}")
    except duckdb.OutOfMemoryException:
        raise
    except (duckdb.InvalidInputException, duckdb.ConversionException):
        return None
    except duckdb.Error as error:
        if way.has_another:
            return None
        if not isinstance(error, duckdb.IOException):
            raise
        raise CannotReadOrWrite(f"{file.name}: {str(error).splitlines()[0]}") from None
    if way.counts_lines and rows + 1 != lines_in(file.path):
        db.execute(f"delete from staged_{table.name} where file = ?", [file.name])
        return None
    return rows


def _add_unshaped(db: duckdb.DuckDBPyConnection, problems: Iterable[Problem]) -> None:
    columns = list(zip(*problems, strict=True))
    if columns:
        db.execute("insert into unshaped select unnest(?), unnest(?), unnest(?), unnest(?), unnest(?), unnest(?), "
                   "unnest(?)", [list(column) for column in columns])  # fmt: skip


def keep(db: duckdb.DuckDBPyConnection, changes: Changes) -> list[str]:
    """Make the store's tables those of the folder; gives a note for each file that is no longer there.

    Belongs into a transaction, so that the store holds all of a run or nothing of it. Raises CannotReadOrWrite where a
    row that was read cannot be accounted for.
    """
    if not changes.files and schema_version(db) == SCHEMA_VERSION:
        return []
    _prepare(db, changes.rules)
    _remember_files(db, changes.files)
    changed = set[str]()
    for table in TABLES:
        if bring_up_to_date(db, table, table.name in changes.tables, bool(leans_on(table) & changed)):
            changed.add(table.name)
        db.execute(f"drop table if exists staged_{table.name}")
    _account(db)
    return _write_log(db)


def _prepare(db: duckdb.DuckDBPyConnection, rules: str) -> None:
    """Make the tables of the input where there are none, or those of an earlier version or of other rules."""
    if schema_version(db) < SCHEMA_VERSION:
        _drop_all(db)
        db.execute(f"create table {MARKER} as select {SCHEMA_VERSION} as schema_version, '' as reading_rules")
        db.execute(f"create table input_files ({FILE_COLUMNS}, loaded_at TIMESTAMPTZ)")
        db.execute(f"create table load_log ({LOG_COLUMNS})")
        db.execute("create table file_counts (file VARCHAR, rows_loaded BIGINT)")
    if db.execute(f"select reading_rules from {MARKER}").fetchone() != (rules,):
        # Every file was read anew, and the tables may have another shape.
        for table in TABLES:
            make_input_table(db, table)
        db.execute(f"create or replace table input_unshaped {PROBLEM_COLUMNS}")
        db.execute(f"update {MARKER} set reading_rules = ?", [rules])


def _drop_all(db: duckdb.DuckDBPyConnection) -> None:
    """Take everything out of a store of an earlier version: all of it follows from the folder."""
    for kind, name in tables_and_views(db):
        db.execute(f"drop {kind} {identifier(name)}")


def _remember_files(db: duckdb.DuckDBPyConnection, changed: Sequence[str]) -> None:
    """Take files that were read anew or are gone off the list, into `outdated_files`, and put those read on it."""
    db.execute(
        """create or replace temp table outdated_files as
            select f.file, f."table", f.content, f.loaded_at, c.rows_loaded
            from input_files f join file_counts c using (file) where f.file in (select unnest(?))""",
        [list(changed)],
    )
    db.execute("delete from input_files where file in (select file from outdated_files)")
    db.execute("insert into input_files select *, now() from read_files")
    db.execute("delete from input_unshaped where file in (select file from outdated_files)")
    db.execute("insert into input_unshaped from unshaped")


def _account(db: duckdb.DuckDBPyConnection) -> None:
    """Rebuild `problems` and `file_counts`, and see that each row that was read is in one of them."""
    db.execute("create or replace table problems as from input_unshaped")
    db.execute("create or replace temp table fates (file VARCHAR, fate VARCHAR, rows BIGINT)")
    for table in TABLES:
        db.execute(f"insert into problems {problems_of(table)}")
        db.execute(f"insert into fates select file, fate, count(*) from input_{table.name} group by all")
    db.execute(
        """create or replace table file_counts as
            select f.file, f."table", f.rows_read, f.ignored, f.rows_left_out,
                (select coalesce(sum(rows), 0)::bigint from fates t where t.file = f.file and fate = 'loaded')
                    as rows_loaded,
                (select coalesce(sum(rows), 0)::bigint from fates t where t.file = f.file and fate = 'repeated')
                    as rows_repeated,
                (select count(distinct line) from problems p where p.file = f.file and scope = 'row')
                    as rows_quarantined
            from input_files f order by f.file"""
    )
    lost = db.execute(
        "select file, rows_read, rows_loaded + rows_repeated + rows_quarantined from file_counts "
        "where rows_read <> rows_loaded + rows_repeated + rows_quarantined order by file"
    ).fetchall()
    if lost:
        raise CannotReadOrWrite(
            *(f"{file}: read {read} rows but can account for {told} only" for file, read, told in lost)
        )


def _write_log(db: duckdb.DuckDBPyConnection) -> list[str]:
    """A line of `load_log` for each file that was loaded, replaced, read again or withdrawn; notes on the last."""
    db.execute(
        """insert into load_log
            select now(), c.file, c."table",
                case when o.file is null then 'loaded' when o.content = r.content then 'read again' else 'replaced' end,
                c.rows_read, c.rows_loaded, c.rows_repeated, c.rows_quarantined, o.rows_loaded, o.loaded_at
            from read_files r join file_counts c using (file) left join outdated_files o using (file)
            order by c.file"""
    )
    db.execute(
        """insert into load_log
            select now(), file, "table", 'withdrawn', null, null, null, null, rows_loaded, loaded_at
            from outdated_files o anti join read_files using (file) order by file"""
    )
    rows = db.execute(
        """select file, rows_loaded, strftime(loaded_at, '%Y-%m-%d %H:%M') from outdated_files
            anti join read_files using (file) order by file"""
    ).fetchall()
    return [
        f"{file}: this file is no longer in the folder; its {count} {'row' if count == 1 else 'rows'}, "
        f"loaded {loaded_at}, {'was' if count == 1 else 'were'} taken out"
        for file, count, loaded_at in rows
    ]
