"""Checks against values from outside the project: declared once, run by test_published.py, listed by the guide page.

A file of this folder is one source. It says how the value was come by, and for each value the clause, what it is, the
text expected, and a function that lets the program work it out. What is got is printed with as many decimals as the
expected text has; the two texts must be the same.
"""

import functools
import re
from collections.abc import Callable, Iterable
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any, NamedTuple

import duckdb
from conftest import ALL_QUERIES
from worked_cases import CASES, run_case

from fleetreport.query import Query, beside_the_package, load_macros

READ, QUOTED, MEMORY, RUN = "read there", "read where it is quoted", "from memory", "run beforehand and frozen"
NUMBER = re.compile(r"-?\d+(?:\.(?P<decimals>\d+))?")
BY_TABLE = {query.table: query for query in ALL_QUERIES}

Work = Callable[[], object]


class Check(NamedTuple):
    """One published value: its source, where it stands there, what it is, the text expected, how it is worked out."""

    source: "Source"
    clause: str
    what: str
    expected: str
    work: Work

    def got(self) -> str:
        """What the program comes to, written as the expected text is."""
        return shown(self.work(), self.expected)


class Source:
    """A standard, handbook, set of open data or library: its name, how its values were come by, a remark."""

    def __init__(self, name: str, come_by: str, remark: str = "") -> None:
        self.name, self.come_by, self.remark = name, come_by, remark
        self.checks: list[Check] = []

    def says(self, clause: str, what: str, expected: object) -> Callable[[Work], Work]:
        """Declare what the source says; the function below it lets the program work it out."""

        def declare(work: Work) -> Work:
            self.checks.append(Check(self, clause, what, str(expected), functools.cache(work)))
            return work

        return declare

    def says_each(
        self, clause: str, what: str, values: Iterable[tuple[Any, ...]]
    ) -> Callable[[Callable[..., object]], Callable[..., object]]:
        """Declare several values: each is the function's arguments and, last, what is expected.

        `what` may name the arguments by place: "{0} + {1} months".
        """

        def declare(work: Callable[..., object]) -> Callable[..., object]:
            for *arguments, expected in values:
                self.says(clause, what.format(*arguments), expected)(functools.partial(work, *arguments))
            return work

        return declare


def shown(value: object, expected: str) -> str:
    """A value written as `expected` is: as many decimals, lists with commas, yes and no."""
    if isinstance(value, list | tuple):
        texts = expected.split(", ") if len(expected.split(", ")) == len(value) else [""] * len(value)
        return ", ".join(shown(one, text) for one, text in zip(value, texts, strict=True))
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None:
        return "none"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return value
    number = NUMBER.match(expected)
    places = len((number and number["decimals"]) or "")
    return str(Decimal(str(value)).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP))


# What the worked examples take the types of columns from; set by conftest.py and by page.py.
full_run_of: list[Callable[[Query], duckdb.DuckDBPyConnection]] = []


def in_case(name: str, column: str, **where: object) -> list[object] | object:
    """What the query of tests/cases/`name`.txt gives in one column, the rows in order; a single one by itself."""
    path = Path(CASES / f"{name}.txt")
    query = BY_TABLE[path.parent.name]
    db, _ = run_case(path, query, full_run_of[-1](query))
    said = " and ".join(f'"{key}" = ?' for key in where) or "true"
    found = db.execute(f'from "{query.table}" where {said} order by all', list(where.values()))
    at = [name for name, *_ in found.description].index(column)
    values = [row[at] for row in found.fetchall()]
    db.close()
    assert values, f"{name}: nothing where {where}"
    return values[0] if len(values) == 1 else values


@functools.cache
def macros() -> duckdb.DuckDBPyConnection:
    """A database that knows the macros, and no table."""
    db = duckdb.connect()
    load_macros(db, beside_the_package("queries"))
    return db


def sql(expression: str, *parameters: object) -> Any:
    """One value by the program's own macros."""
    row = macros().execute(f"select {expression}", list(parameters)).fetchone()
    assert row is not None
    return row[0]
