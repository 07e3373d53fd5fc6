"""The queries of a fleet's own reports: `reports/NAME.sql` in the fleet folder.

Such a file makes the table NAME, from the tables of the week; one named as a query of ours takes its place, and
must then give the same columns. It may do nothing but read tables: its parse is walked before anything runs, and
refused with anything that would reach a file or a network or change the database. (Besides, a run shuts DuckDB off from
the outside before the first query: see `storing.store.open_only_to`.)

Knows nothing of pages: `pages/own_reports.py` shows the tables.
"""

import re
from collections.abc import Collection, Iterable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import duckdb

from fleetreport.alike import LEAST_LIKE, nearest_names, question
from fleetreport.problem import WrongCall
from fleetreport.query import Query, Step, in_order, parsed, tables_in
from fleetreport.storing.store import open_only_to
from fleetreport.tables import TABLES

FOLDER = "reports"
NAME = re.compile(r"[a-z][a-z0-9_]{0,59}")
# Functions in FROM that make rows out of nothing but what is given to them; any other might open something.
HARMLESS = {"unnest", "range", "generate_series"}
# Made by the run itself.
OF_THE_RUN = {"run", *(table.name for table in TABLES)}
# Written by the run besides, for itself: the input as it was read, lists of the settings, the weeks before, what was
# made of what. No report may have their names, or read them.
BESIDE = {
    "budget_last_month", "carried_meters", "confirmed", "depot_hours", "due_last_week", "events_last_week",
    "file_counts", "fleetreport_store", "forecast_last_month", "last_month", "last_week", "load_log", "made_from",
    "price_growth", "problems", "published", "setting_names", "visits_last_week", "wording_rules", "input_files",
    "input_unshaped",
    *(f"input_{table.name}" for table in TABLES),
}  # fmt: skip


class OwnQuery(NamedTuple):
    """One file: the table it makes, what it reads, its SELECT, and the columns it must give (of ours, else none)."""

    table: str
    reads: tuple[str, ...]
    sql: str
    must_give: tuple[str, ...]

    @property
    def file(self) -> str:
        """How the file is named to a person."""
        return f"{FOLDER}/{self.table}.sql"

    def make(self, db: duckdb.DuckDBPyConnection) -> None:
        """Make the table. Raises WrongCall with the file's name where DuckDB cannot, or columns are missing."""
        try:
            db.execute(f'create or replace table "{self.table}" as\n{self.sql}')
        except duckdb.Error as error:
            raise WrongCall(f"{self.file}: {str(error).splitlines()[0]}") from None
        found = [name for name, *_ in db.execute(f'describe "{self.table}"').fetchall()]
        if missing := [name for name in self.must_give if name not in found]:
            raise WrongCall(
                f"{self.file}: found no column {', '.join(missing)}, expected all that the query it stands for gives: "
                f"{', '.join(self.must_give)}"
            )


def own_queries(fleet: Path, made: Sequence[Query | Step]) -> list[OwnQuery]:
    """The queries of the fleet's folder `reports`, in order of their names; none where there is no such folder.

    `made` is what makes a week. Raises WrongCall naming the file for one that cannot be taken.
    """
    paths = sorted((fleet / FOLDER).glob("*.sql"))
    ours = {one.table: one.gives for one in made if isinstance(one, Query)}
    of_no_query = OF_THE_RUN | {one.table for one in made} - set(ours)
    wrong = []
    for path in paths:
        if not NAME.fullmatch(path.stem):
            wrong.append(
                f"{FOLDER}/{path.name}: found {path.stem!r} as a name, expected a-z, 0-9 and _, a letter first"
            )
        elif path.stem in of_no_query | BESIDE:
            wrong.append(f"{FOLDER}/{path.name}: found the name of a table that no query makes, expected another name")
    if wrong:
        raise WrongCall(*wrong)
    there = of_no_query | set(ours) | {path.stem for path in paths}
    with duckdb.connect(config={"threads": 1}) as parser:
        open_only_to(parser)
        return [_own_query(parser, path, there, ours.get(path.stem, ())) for path in paths]


def with_own(made: Iterable[Query | Step], own: Sequence[OwnQuery]) -> list[Query | Step]:
    """What makes a week with the fleet's own queries, in order: each in the place of ours of the same name, or added.

    Raises WrongCall where they read each other in a circle.
    """
    steps = {query.table: Step(query.table, query.reads, query.make) for query in own}
    ours = [steps.pop(one.table, one) for one in made]
    try:
        return in_order([*ours, *steps.values()])
    except ValueError as error:
        raise WrongCall(f"{FOLDER}: {error}") from None


def _own_query(
    parser: duckdb.DuckDBPyConnection, path: Path, there: Collection[str], must_give: tuple[str, ...]
) -> OwnQuery:
    shown = f"{FOLDER}/{path.name}"
    try:
        sql = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise WrongCall(f"{shown}: cannot be read as UTF-8 text: {error}") from None
    try:
        tree = parsed(parser, sql, Path(shown))
    except ValueError as error:
        raise WrongCall(str(error).splitlines()[0], help="a report of your own is one SELECT") from None
    if outside := sorted(_functions_in_from(tree) - HARMLESS):
        raise WrongCall(
            f"{shown}: found {', '.join(outside)}() in FROM, expected tables of the week",
            help="a report of your own reads tables only; a file of yours comes in through the fleet folder",
        )
    reads = tables_in(tree)
    if path.stem in reads:
        raise WrongCall(f"{shown}: found {path.stem!r} among the tables it reads, expected others: it makes that table")
    for name in sorted(reads - set(there)):
        raise WrongCall(
            f"{shown}: found no table {name!r}, expected one of the week",
            help=question(nearest_names(name, sorted(there), LEAST_LIKE, 1))
            or "each file of the program's folder queries/ makes one",
        )
    return OwnQuery(path.stem, tuple(sorted(reads)), sql, must_give)


def _functions_in_from(node: Any) -> set[str]:
    """The names of all functions that stand where a table does."""
    if isinstance(node, list):
        return set[str]().union(*(_functions_in_from(part) for part in node))
    if not isinstance(node, dict):
        return set()
    found = set[str]().union(*(_functions_in_from(part) for part in node.values()))
    if node.get("type") == "TABLE_FUNCTION":
        found.add(str(node.get("function", {}).get("function_name", "?")).lower())
    return found
