"""The files of tests/cases: read, and their query run on the tables they give."""

import re
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.query import Query, beside_the_package, load_macros, run_all

CASES = Path(__file__).parent / "cases"
# Blank is no value; two quotation marks are a text without a letter.
CELLS: dict[str, str | None] = {"": None, "''": ""}


class Rows(NamedTuple):
    """A table as a case writes it: names of columns, then rows of text (None where blank)."""

    columns: list[str]
    rows: list[list[str | None]]


def read_case(path: Path) -> tuple[dict[str, Rows], Rows]:
    """The tables given and the table expected."""
    given: dict[str, Rows] = {}
    expected = None
    for block in re.split(r"\n\s*\n", path.read_text(encoding="utf-8").strip())[1:]:
        title, head, *lines = block.splitlines()
        columns = [name.strip() for name in head.split("|")]
        rows = [[CELLS.get(cell.strip(), cell.strip()) for cell in line.split("|")] for line in lines]
        assert all(len(row) == len(columns) for row in rows), (
            f"{path.name}: a row of {title} has not {len(columns)} cells"
        )
        if title.startswith("=> "):
            expected = Rows(columns, rows)
        else:
            given[title.strip()] = Rows(columns, rows)
    assert expected is not None, f"{path.name} expects nothing"
    return given, expected


def make_table(db: duckdb.DuckDBPyConnection, full_run: duckdb.DuckDBPyConnection, name: str, rows: Rows) -> None:
    """A table with the columns and types of a full run, filled with the rows of a case."""
    described = full_run.execute(f'describe "{name}"').fetchall()
    assert set(rows.columns) <= {column[0] for column in described}, f"{name} has no such columns"
    columns = ", ".join(f'"{column[0]}" {column[1]}' for column in described)
    db.execute(f'create table "{name}" ({columns})')
    named = ", ".join(f'"{column}"' for column in rows.columns)
    for row in rows.rows:
        db.execute(f'insert into "{name}" ({named}) values ({", ".join("?" * len(row))})', row)


def run_case(path: Path, query: Query, full_run: duckdb.DuckDBPyConnection) -> tuple[duckdb.DuckDBPyConnection, Rows]:
    """A database in which the query has run on what the case gives, and what the case expects."""
    given, expected = read_case(path)
    assert set(given) <= set(query.reads), f"{query.table} does not read {sorted(set(given) - set(query.reads))}"
    db = duckdb.connect()
    load_macros(db, beside_the_package("queries"))
    for table in query.reads:
        make_table(db, full_run, table, given.get(table, Rows([], [])))
    run_all(db, [query])
    return db, expected
