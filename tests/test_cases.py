"""Worked examples of single queries, one a file: a sentence, the tables given, the table expected.

A file lies in cases/<table>/ and its name says what holds. Columns that are left out are blank; column types come
from a full run, since a blank column tells nothing.
"""

from pathlib import Path

import pytest
from conftest import ALL_QUERIES, RunOf
from worked_cases import CASES, run_case

BY_TABLE = {query.table: query for query in ALL_QUERIES}


@pytest.mark.parametrize("path", sorted(CASES.rglob("*.txt")), ids=lambda path: f"{path.parent.name}: {path.stem}")
def test_case(path: Path, run_of: RunOf) -> None:
    query = BY_TABLE[path.parent.name]
    db, expected = run_case(path, query, run_of(query))
    named = ", ".join(f'"{column}"' for column in expected.columns)
    # Both sides through the column's own type, so that 60000 and 60000.0000000 are the same.
    types = {c[0]: c[1] for c in db.execute(f'describe "{query.table}"').fetchall()}
    shape = ", ".join(f'"{column}" {types[column]}' for column in expected.columns)
    db.execute(f"create table hoped ({shape})")
    for row in expected.rows:
        db.execute(f"insert into hoped values ({', '.join('?' * len(row))})", row)
    found = db.execute(f'select {named} from "{query.table}" order by all').fetchall()
    assert found == db.execute("from hoped order by all").fetchall()
