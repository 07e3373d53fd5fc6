"""Run the SQL files of queries/, each making the one table it is named after.

A query file is a single SELECT under a header of comments: what one row is, which tables it reads, which columns it
gives, and `per: vehicle` where each vehicle's rows follow from the rows of that vehicle and from tables of the whole
fleet alone, so that it may be run on some of the vehicles at a time. A header with a line `view:` asks for a view
instead of a table, and says why. The running order comes from what the headers say is read; the tests hold every header
to what its query does, as DuckDB's own parser sees it. A `Step` is a table that SQL says badly, made by Python under
the same promise.

Nothing here knows what a due date is.
"""

import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter
from itertools import groupby
from pathlib import Path
from typing import Any, NamedTuple

import duckdb

ROWS_AT_ONCE = 5_000
HEADER_LINE = re.compile(r"-- (?P<field>one row|per|reads|view|gives): +(?P<rest>.*)|-- {10}(?P<more>\S.*)")
# Several columns of one kind share a line: "due_km, due_hours   the due points".
GIVEN_NAMES = re.compile(r"^\w+(?:, \w+)*")
ORDERED = re.compile(r"^order by ", re.MULTILINE)
HERE = Path(__file__).parent


class Query(NamedTuple):
    """One SQL file: the table it makes, what its header promises, and its SELECT."""

    table: str
    folder: str
    one_row: tuple[str, ...]
    reads: tuple[str, ...]
    gives: tuple[str, ...]
    sql: str
    per_vehicle: bool = False
    is_view: bool = False

    @property
    def is_ordered(self) -> bool:
        """Whether its rows come in an order that it names."""
        return bool(ORDERED.search(self.sql))


class Step(NamedTuple):
    """A table made by Python: what it reads, and the function that makes it; it may make more tables `beside` it."""

    table: str
    reads: tuple[str, ...]
    make: Callable[[duckdb.DuckDBPyConnection], None]
    per_vehicle: bool = False
    beside: tuple[str, ...] = ()

    @property
    def is_ordered(self) -> bool:
        """Rows of a step are taken in no order."""
        return False


def beside_the_package(name: str) -> Path:
    """The folder `queries` or `templates`: inside the installed package, or beside it in a checkout."""
    inside = HERE / name
    return inside if inside.is_dir() else HERE.parent / name


def load_macros(db: duckdb.DuckDBPyConnection, folder: Path) -> None:
    """Define the functions that the queries of `folder` share, for this connection."""
    db.execute((folder / "macros.sql").read_text(encoding="utf-8"))


def load_queries(folder: Path, parts: Sequence[str] | None = None) -> list[Query]:
    """Read the queries in the sub-folders `parts` of `folder` (None: all), in the order of their names.

    Raises ValueError where two make a table of the same name.
    """
    paths = sorted(path for path in folder.glob("*/*.sql") if parts is None or path.parent.name in parts)
    for name, same in groupby(sorted(paths, key=lambda path: path.stem), key=lambda path: path.stem):
        if len(places := [path.as_posix() for path in same]) > 1:
            raise ValueError(f"{name}: found two queries that make this table: {', '.join(places)}")
    return [read_query(path) for path in paths]


def needed_for(tables: Iterable[str], made: Iterable[Query | Step]) -> list[Query | Step]:
    """Of `made`, what makes `tables` and what that reads, however far back. Raises KeyError for a table not made."""
    by_table = {one.table: one for one in made}
    wanted, found = list(tables), set[str]()
    for name in wanted:
        if name not in by_table:
            raise KeyError(name)
    while wanted:
        name = wanted.pop()
        if name in by_table and name not in found:
            found.add(name)
            wanted += _read_by(by_table[name])
    return [one for name, one in by_table.items() if name in found]


def in_order(made: Iterable[Query | Step]) -> list[Query | Step]:
    """Queries and steps in an order in which each comes after what it reads.

    Raises ValueError naming the circle where there is one.
    """
    by_table = {one.table: one for one in made}
    needs: Mapping[str, Sequence[str]] = {name: _read_by(one) for name, one in by_table.items()}
    try:
        return [by_table[name] for name in TopologicalSorter(needs).static_order() if name in by_table]
    except CycleError as error:
        raise ValueError("queries in a circle: " + " -> ".join(error.args[1])) from None


def _read_by(one: Query | Step) -> list[str]:
    return sorted(one.reads)


def run_all(
    db: duckdb.DuckDBPyConnection,
    made: Iterable[Query | Step],
    tick: Callable[[str], None] = lambda name: None,
) -> None:
    """Make each table, in the order given; `tick` is called with its name before.

    Raises duckdb.Error with a note of which query it was.
    """
    stands = dict(db.execute("select table_name, table_type from information_schema.tables").fetchall())
    for one in made:
        tick(one.table)
        if stands.get(one.table) == ("BASE TABLE" if _is_view(one) else "VIEW"):
            # An earlier version made it as the other of the two, which cannot be replaced.
            db.execute(f'drop {"table" if _is_view(one) else "view"} "{one.table}"')
        if isinstance(one, Step):
            one.make(db)
            continue
        try:
            db.execute(f'create or replace {"view" if _is_view(one) else "table"} "{one.table}" as\n{one.sql}')
        except duckdb.Error as error:
            error.add_note(f"in queries/{one.folder}/{one.table}.sql")
            raise


def _is_view(one: Query | Step) -> bool:
    return isinstance(one, Query) and one.is_view


def fetched(result: duckdb.DuckDBPyConnection) -> Iterator[tuple[Any, ...]]:
    """The rows of a query as they are needed, so that Python never holds them all.

    Read them to the end before asking the same connection for anything else.
    """
    while block := result.fetchmany(ROWS_AT_ONCE):
        yield from block


def fill_table(
    db: duckdb.DuckDBPyConnection, table: str, columns: Mapping[str, str], rows: Sequence[Sequence[Any]]
) -> None:
    """Make a step's table: columns by name with their SQL types, and its rows."""
    shape = ", ".join(f'"{name}" {kind}' for name, kind in columns.items())
    db.execute(f'create or replace table "{table}" ({shape})')
    if rows:
        by_column = [list(values) for values in zip(*rows, strict=True)]
        listed = ", ".join(f"unnest(?::{kind}[])" for kind in columns.values())
        db.execute(f'insert into "{table}" select {listed}', by_column)


def read_query(path: Path) -> Query:
    """Split one file into what its header promises and the SELECT below it.

    The header is taken at its word, since parsing all files takes longer than most runs of them; a test parses them.
    """
    sql = path.read_text(encoding="utf-8")
    said: dict[str, list[str]] = {"one row": [], "per": [], "reads": [], "view": [], "gives": []}
    field = None
    for line in sql.splitlines():
        if not (part := HEADER_LINE.match(line)):
            if not line.startswith("--"):
                break
            continue
        field = part["field"] or field
        if field:
            said[field].append(part["rest"] or part["more"])
    return Query(
        table=path.stem,
        folder=path.parent.name,
        one_row=tuple(name for name in re.split(r",\s*", ", ".join(said["one row"])) if name != "-"),
        reads=tuple(name for name in re.split(r",\s*", ", ".join(said["reads"])) if name != "-"),
        gives=tuple(name for line in said["gives"] for name in GIVEN_NAMES.findall(line)[0].split(", ")),
        sql=sql,
        per_vehicle=said["per"] == ["vehicle"],
        is_view=bool(said["view"]),
    )


def parsed(db: duckdb.DuckDBPyConnection, sql: str, path: Path) -> Any:
    """DuckDB's parse of one SELECT; nothing is run. Raises ValueError with file and place where it is none."""
    row = db.execute("select json_serialize_sql(?)", [sql]).fetchone()
    tree: Any = json.loads(row[0]) if row else {"error": True}
    if tree.get("error_type") == "not implemented":
        raise ValueError(f"{path}: found a statement that is no SELECT")
    if tree.get("error"):
        raise ValueError(f"{path}: {tree.get('error_message')} (at byte {tree.get('position', '?')})")
    if len(tree["statements"]) != 1:
        raise ValueError(f"{path}: found {len(tree['statements'])} statements, expected one SELECT")
    return tree


def tables_in(tree: Any) -> frozenset[str]:
    """The tables a `parsed` SELECT refers to, its own CTEs left out."""
    found: set[str] = set()
    _walk(tree, frozenset(), found)
    return frozenset(found)


def _walk(node: Any, ctes: frozenset[str], found: set[str]) -> None:
    """Collect table names below a parse node; `ctes` are the names that mean a CTE here."""
    if isinstance(node, list):
        for part in node:
            _walk(part, ctes, found)
        return
    if not isinstance(node, dict):
        return
    if node.get("type") == "RECURSIVE_CTE_NODE":
        ctes = ctes | {node["cte_name"].lower()}
    for entry in (node.get("cte_map") or {}).get("map") or []:
        # A CTE's body sees only those before it.
        _walk(entry["value"], ctes, found)
        ctes = ctes | {entry["key"].lower()}
    if node.get("type") == "BASE_TABLE":
        names = tuple(part.lower() for part in node["qualified_name"]["path"])
        if not (len(names) == 1 and names[0] in ctes):
            found.add(".".join(names))
    for key, value in node.items():
        if key != "cte_map":
            _walk(value, ctes, found)
