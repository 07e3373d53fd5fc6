"""Decide what becomes of every row of the input: loaded, or why not.

`input_<table>` holds each row of the files as it was read, and its fate:

    refused            a value is not what the contract asks, so it can never be loaded
    refers to nothing  it names a vehicle (task, item) that no loaded row knows; loaded once one does
    repeated           it says word for word what an earlier row says
    contradicts        it has the key of an earlier row and says something else
    loaded             the view `<table>`, with the defaults that hang on the vehicle filled in

Earlier is by name of file, then line. Rows compete only with rows of the same `row_key`, a hash of the table's key (of
all columns where it has none); so when files or the tables referred to change, only the keys of changed rows are looked
at again. Within a key, values are compared themselves: rows whose hashes are equal by chance stay apart.

Nothing here reads a file, and nothing of a table's size comes to Python.
"""

from collections.abc import Iterable

import duckdb

from fleetreport.reading.check import typed_columns
from fleetreport.sql import identifier
from fleetreport.tables import Table

PROBLEM_LIST = 'STRUCT("column" VARCHAR, value VARCHAR, reason VARCHAR)[]'


def read_shape(table: Table) -> str:
    """The columns of a row as it was read, as SQL declares them: where it stands, what it says, what is wrong."""
    said = ", ".join(f"{identifier(name)} {sql_type}" for name, sql_type in typed_columns(table).items())
    return f"file VARCHAR, line BIGINT, {said}, refused BOOLEAN, problems {PROBLEM_LIST}"


def make_input_table(db: duckdb.DuckDBPyConnection, table: Table) -> None:
    """Make `input_<table>`, empty, and the view `<table>` of its loaded rows. Goes in the order of TABLES."""
    db.execute(
        f"create or replace table input_{table.name} "
        f"({read_shape(table)}, row_key UBIGINT, fate VARCHAR, earlier VARCHAR)"
    )
    columns = ", ".join(f"{value} as {identifier(name)}" for name, value in _filled(table).items())
    db.execute(
        f"create or replace view {table.name} as select r.file, r.line, {columns} "
        f"from {_beside_vehicle(table, f'input_{table.name}')} where r.fate = 'loaded'"
    )


def make_changeable(db: duckdb.DuckDBPyConnection, tables: Iterable[str]) -> None:
    """Make tables of the views of loaded rows, for work that asks what would be if they were other.

    Only for a database that is thrown away: the tables no longer follow what the files say.
    """
    for name in tables:
        db.execute(f"create or replace temp table loaded_rows as from {name}")
        db.execute(f"drop view {name}")
        db.execute(f"create table {name} as from loaded_rows")
    db.execute("drop table if exists loaded_rows")


def leans_on(table: Table) -> set[str]:
    """The tables whose loaded rows have a say in the fates of this one's."""
    referred = {name for column in table.columns for name in column.refers_to}
    return referred | ({"vehicles"} if table.fills else set())


def bring_up_to_date(db: duckdb.DuckDBPyConnection, table: Table, has_files: bool, is_leaning: bool) -> bool:
    """Give every row of a table its fate after a change; tells whether the loaded rows may be others now.

    `has_files`: rows of the temporary table `outdated_files` go and those of `staged_<table>`, where there is one,
    come. `is_leaning`: the loaded rows of a table that this one leans on may be others.
    """
    if not (has_files or is_leaning):
        return False
    db.execute("create or replace temp table touched (row_key UBIGINT)")
    was_empty = db.execute(f"from input_{table.name} limit 1").fetchone() is None
    if has_files:
        _take_out(db, table)
        _put_in(db, table, was_empty)
    if is_leaning and not was_empty:
        _move(db, table)
    _decide(db, table, was_empty)
    if was_empty:
        return db.execute(f"from input_{table.name} limit 1").fetchone() is not None
    return db.execute("from touched limit 1").fetchone() is not None


def _take_out(db: duckdb.DuckDBPyConnection, table: Table) -> None:
    """Rows of files that are gone or were read anew go; those they stood for have to be decided again."""
    outdated = "file in (select file from outdated_files)"
    db.execute(f"insert into touched select row_key from input_{table.name} where {outdated} and row_key is not null")
    db.execute(f"delete from input_{table.name} where {outdated}")


def _put_in(db: duckdb.DuckDBPyConnection, table: Table, was_empty: bool) -> None:
    db.execute(
        f"""insert into input_{table.name}
            select *, case when refused then 'refused' when row_key is null then 'refers to nothing' else 'loaded' end,
                null
            from (select r.*, case when not refused then {_row_key(table)} end as row_key
                from {_beside_vehicle(table, f"staged_{table.name}")})"""
    )
    if not was_empty:
        db.execute(
            f"""insert into touched select row_key from input_{table.name}
                where file in (select distinct file from staged_{table.name}) and row_key is not null"""
        )


def _move(db: duckdb.DuckDBPyConnection, table: Table) -> None:
    """Rows that found, lost or changed what they refer to compete under another key now."""
    db.execute(
        f"""create or replace temp table moved as
            select file, line, row_key as old_key, new_key
            from (select r.file, r.line, r.row_key, {_row_key(table)} as new_key
                from {_beside_vehicle(table, f"input_{table.name}")} where r.fate <> 'refused')
            where row_key is distinct from new_key"""
    )
    db.execute(
        f"""update input_{table.name} as i set row_key = new_key, earlier = null,
                fate = case when new_key is null then 'refers to nothing' else 'loaded' end
            from moved m where i.file = m.file and i.line = m.line"""
    )
    db.execute(
        """insert into touched
            select * from (select old_key from moved union all select new_key from moved) t(k) where k is not null"""
    )
    if table.key and table.fills:
        # A default that changes what a row says need not change its key. Tables with a key are short lists.
        db.execute(f"insert into touched select row_key from input_{table.name} where row_key is not null")


def _decide(db: duckdb.DuckDBPyConnection, table: Table, all_are_new: bool) -> None:
    """Of the rows of each touched key, the first is loaded; only rows whose fate is another now are written.

    `all_are_new`: every key counts as touched, and no row has another fate than `loaded` so far.
    """
    touched = "row_key is not null" if all_are_new else "row_key in (select row_key from touched)"
    said = ", ".join(f"{value} as {identifier(name)}" for name, value in _filled(table).items())
    alike = ", ".join(identifier(name) for name in typed_columns(table))
    key = ", ".join(identifier(name) for name in table.key) or alike
    db.execute(
        f"""create or replace temp table decided as
            with shared as materialized (
                select row_key from input_{table.name} where {touched} group by row_key having count(*) > 1
            ),
            rivals as (
                select r.file, r.line, r.row_key, r.fate as old_fate, r.earlier as old_earlier, {said}
                from {_beside_vehicle(table, f"input_{table.name}")} semi join shared c on r.row_key = c.row_key
            ),
            placed as (
                select file, line, old_fate, old_earlier,
                    row_number() over alike as copy, row_number() over rivals as place,
                    first_value(file || ':' || line) over alike as first_alike,
                    first_value(file || ':' || line) over rivals as first_of_key
                from rivals
                window alike as (partition by row_key, {alike} order by file, line),
                    rivals as (partition by row_key, {key} order by file, line)
            ),
            told as (
                select file, line, old_fate, old_earlier,
                    case when copy > 1 then 'repeated' when place > 1 then 'contradicts' else 'loaded' end as fate,
                    case when copy > 1 then first_alike when place > 1 then first_of_key end as earlier
                from placed
                union all
                -- A row that has lost its rivals; most never had one and are loaded already.
                select file, line, fate, earlier, 'loaded', null
                from input_{table.name} r anti join shared c on r.row_key = c.row_key
                where {touched} and (fate <> 'loaded' or earlier is not null)
            )
            select file, line, fate, earlier from told
            where fate <> old_fate or earlier is distinct from old_earlier"""
    )
    db.execute(
        f"""update input_{table.name} as i set fate = d.fate, earlier = d.earlier
            from decided d where i.file = d.file and i.line = d.line"""
    )


def problems_of(table: Table) -> str:
    """SQL that lists what is wrong with the rows of a table. A refused row is one line, however much is wrong."""
    rows = f"input_{table.name}"
    parts = [
        f"""select file, line, '{table.name}', problems[1].column, problems[1].value, array_to_string(list_prepend(
                problems[1].reason, list_transform(problems[2:], lambda p: p.column || ': ' || p.reason)), '; '), 'row'
            from {rows} where fate = 'refused'""",
        f"""select file, line, '{table.name}', p.column, p.value, p.reason, 'value'
            from (select file, line, unnest(problems) as p from {rows} where problems is not null and fate <> 'refused')
        """,
    ]
    known = "fate = 'refers to nothing'"
    for name, (is_known, where) in _references(table).items():
        parts.append(
            f"""select r.file, r.line, '{table.name}', '{name}', r.{identifier(name)},
                    'expected one that stands in {where}', 'row'
                from {rows} r where {known} and not {is_known}"""
        )
        known += f" and {is_known}"
    if table.key:
        parts.append(
            f"""select file, line, '{table.name}', '{table.key[-1]}', coalesce("{table.key[-1]}"::varchar, ''),
                    'expected one row for each {", ".join(table.key)}, found other values at ' || earlier, 'row'
                from {rows} where fate = 'contradicts'"""
        )
    return " union all ".join(parts)


def _references(table: Table) -> dict[str, tuple[str, str]]:
    """By column that refers to other tables: SQL that holds where the row `r` is known there, and where that is."""
    found = {}
    for column in table.columns:
        if column.refers_to:
            name = identifier(column.name)
            there = " union all ".join(f"select {name} from {other}" for other in column.refers_to)
            found[column.name] = (f"r.{name} in ({there})", " or ".join(column.refers_to))
    return found


def _row_key(table: Table) -> str:
    """SQL of a row's key beside its vehicle; null where it refers to nothing."""
    filled = _filled(table)
    key = f"hash({', '.join(filled[name] for name in table.key or filled)})"
    known = " and ".join(
        # Its vehicle stands beside it already.
        "v.vehicle_id is not null" if table.fills and name == "vehicle_id" else is_known
        for name, (is_known, _) in _references(table).items()
    )
    return f"case when {known} then {key} end" if known else key


def _filled(table: Table) -> dict[str, str]:
    """Each typed column as SQL over the row `r` and its vehicle `v`, with the defaults that hang on them."""
    fills = dict(table.fills)
    return {name: fills.get(name, f"r.{identifier(name)}") for name in typed_columns(table)}


def _beside_vehicle(table: Table, rows: str) -> str:
    """`rows` as `r`, beside their vehicle `v` where the table's defaults hang on it."""
    return f"{rows} r" + (" left join vehicles v on r.vehicle_id = v.vehicle_id" if table.fills else "")
