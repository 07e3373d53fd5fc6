"""Worked examples of single queries, one a file: a sentence, the tables given, the table expected.

A file lies in cases/<table>/ and its name says what holds. Columns that are left out are blank; column types come
from a full run, since a blank column tells nothing.
"""

import re
from pathlib import Path
from typing import NamedTuple

import duckdb
import pytest
from conftest import ALL_QUERIES, QUERIES, RunOf

from fleetreport.query import load_macros, run_all

CASES = Path(__file__).parent / "cases"
# Blank is no value; two quotation marks are a text without a letter.
CELLS: dict[str, str | None] = {"": None, "''": ""}
BY_TABLE = {query.table: query for query in ALL_QUERIES}


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
    described = full_run.execute(f'describe "{name}"').fetchall()
    assert set(rows.columns) <= {column[0] for column in described}, f"{name} has no such columns"
    columns = ", ".join(f'"{column[0]}" {column[1]}' for column in described)
    db.execute(f'create table "{name}" ({columns})')
    named = ", ".join(f'"{column}"' for column in rows.columns)
    for row in rows.rows:
        db.execute(f'insert into "{name}" ({named}) values ({", ".join("?" * len(row))})', row)


@pytest.mark.parametrize("path", sorted(CASES.rglob("*.txt")), ids=lambda path: f"{path.parent.name}: {path.stem}")
def test_case(path: Path, run_of: RunOf) -> None:
    query = BY_TABLE[path.parent.name]
    given, expected = read_case(path)
    assert set(given) <= set(query.reads), f"{query.table} does not read {sorted(set(given) - set(query.reads))}"
    db = duckdb.connect()
    load_macros(db, QUERIES)
    for table in query.reads:
        make_table(db, run_of(query), table, given.get(table, Rows([], [])))
    run_all(db, [query])
    named = ", ".join(f'"{column}"' for column in expected.columns)
    # Both sides through the column's own type, so that 60000 and 60000.0000000 are the same.
    types = {c[0]: c[1] for c in db.execute(f'describe "{query.table}"').fetchall()}
    shape = ", ".join(f'"{column}" {types[column]}' for column in expected.columns)
    db.execute(f"create table hoped ({shape})")
    for row in expected.rows:
        db.execute(f"insert into hoped values ({', '.join('?' * len(row))})", row)
    found = db.execute(f'select {named} from "{query.table}" order by all').fetchall()
    assert found == db.execute("from hoped order by all").fetchall()
