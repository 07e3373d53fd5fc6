"""Make again only those tables of a week of which anything has changed.

A table's key is a digest of the program, of what makes it, and of the keys of all that it reads; of an input table or
one that the run wrote itself, of its rows. A table that stands with the same key would come out the same, since the
same rows give the same tables, and is left. The keys are written in the run's own transaction: a run that is cut short
leaves the tables and the keys of the one before.

A table that grows at its end may be carried on instead of made again, by a `CarriedOn` that knows how.

Nothing here knows what is in a table.
"""

import hashlib
import re
from collections.abc import Callable, Collection, Sequence
from functools import cache
from importlib.metadata import PackageNotFoundError, requires, version
from typing import Protocol
from uuid import uuid4

import duckdb

from fleetreport.query import Query, Step, beside_the_package, run_all
from fleetreport.sql import identifier
from fleetreport.storing.fingerprint import reading_rules

MADE_FROM = "made_from"
Made = Query | Step


class CarriedOn(Protocol):
    """Tables, in order, that can be brought up to date from how they stand; the last hangs on all the others.

    `carry_on` does so with one of them, or tells that it must be made anew; `remember` takes down what they were made
    of. A key says of which making: only what was remembered under it may be carried on.
    """

    @property
    def tables(self) -> Sequence[str]:
        """Their names."""

    @property
    def by_our_queries(self) -> Collection[str]:
        """The tables that have to be made by queries of ours: a fleet's own in their place may count on anything."""

    def carry_on(self, db: duckdb.DuckDBPyConnection, table: str, sql: str, key: str) -> bool:
        """Bring a table on, which `sql` would make anew; false where that cannot be."""

    def remember(self, db: duckdb.DuckDBPyConnection, key: str) -> None:
        """Take down what all of them, up to date now, were made of."""


@cache
def program() -> str:
    """A digest of all that works out tables: the code, the queries, DuckDB and the libraries, by their versions."""
    digest = hashlib.sha256(reading_rules().encode())
    for path in sorted(beside_the_package("queries").rglob("*.sql")):
        digest.update(path.name.encode() + path.read_bytes())
    digest.update(repr(_libraries()).encode())
    return digest.hexdigest()


def _libraries() -> list[tuple[str, str]]:
    """The libraries that the package asks for, with their versions; none where it runs without being installed."""
    try:
        asked = [re.split(r"[^\w.-]", line, maxsplit=1)[0] for line in requires("fleetreport") or [] if ";" not in line]
        return sorted((name, version(name)) for name in asked)
    except PackageNotFoundError:
        return []


def run_changed(
    db: duckdb.DuckDBPyConnection,
    made: Sequence[Made],
    tick: Callable[[str], None] = lambda name: None,
    anew: Collection[str] = (),
    carried: CarriedOn | None = None,
) -> None:
    """`run_all` but for the tables that stand and would come out the same; those of `anew` are made in any case.

    `carried` brings its tables on from how they stand, where it can. To be run in the transaction in which the tables
    read were written. Raises duckdb.Error.
    """
    keys = _keys(db, made, anew)
    stand = {name for (name,) in db.execute("select table_name from information_schema.tables").fetchall()}
    known = dict(db.execute(f"from {MADE_FROM}").fetchall()) if MADE_FROM in stand else {}
    changed: list[Made] = []
    for one in made:
        if known.get(one.table) == keys[one.table] and stand.issuperset(_tables(one)):
            tick(one.table)
        else:
            changed.append(one)
    ours = {one.table for one in made if isinstance(one, Query)}
    if (
        carried
        and ours.issuperset(carried.by_our_queries)
        and {one.table for one in changed}.issuperset(carried.tables)
    ):
        last = carried.tables[-1]
        if all(name in known and name in stand for name in carried.tables):
            changed = [_carrying(one, carried, f"{program()} {known[last]}") for one in changed]
        run_all(db, changed, tick)
        carried.remember(db, f"{program()} {keys[last]}")
    else:
        run_all(db, changed, tick)
    db.execute(f"create or replace table {MADE_FROM} (name varchar, key varchar)")
    db.execute(f"insert into {MADE_FROM} select unnest(?::varchar[]), unnest(?::varchar[])",
               [list(keys), list(keys.values())])  # fmt: skip


def _carrying(one: Made, carried: CarriedOn, key: str) -> Made:
    """A step that carries a table on where it can, and makes it as `one` does otherwise."""
    if not isinstance(one, Query) or one.table not in carried.tables:
        return one

    def make(db: duckdb.DuckDBPyConnection) -> None:
        if not carried.carry_on(db, one.table, one.sql, key):
            run_all(db, [one])

    return Step(one.table, one.reads, make)


def keys_of(db: duckdb.DuckDBPyConnection) -> str:
    """One digest of the keys of all tables that `run_changed` left."""
    rows = db.execute(f"from {MADE_FROM} order by name").fetchall()
    return hashlib.sha256(repr(rows).encode()).hexdigest()


def _keys(db: duckdb.DuckDBPyConnection, made: Sequence[Made], anew: Collection[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    maker = {name: one.table for one in made for name in _tables(one)}
    for one in made:
        for name in one.reads:
            if name not in maker and name not in found:
                found[name] = _rows(db, name)
        read = [(name, found[maker.get(name, name)]) for name in sorted(one.reads)]
        by = uuid4().hex if one.table in anew else program()
        sql = one.sql if isinstance(one, Query) else ""
        found[one.table] = hashlib.sha256(repr((by, one.table, sql, read)).encode()).hexdigest()
    return {one.table: found[one.table] for one in made}


def _tables(one: Made) -> Sequence[str]:
    return (one.table, *one.beside) if isinstance(one, Step) else (one.table,)


def _rows(db: duckdb.DuckDBPyConnection, table: str) -> str:
    """A digest of a table's rows, in whatever order they stand."""
    names = db.execute(f"describe {identifier(table)}").fetchall()
    rows = db.execute(f"select count(*), bit_xor(hash(t)), sum(hash(t)::hugeint) from {identifier(table)} t").fetchall()
    return repr(([(name, kind) for name, kind, *_ in names], rows))
