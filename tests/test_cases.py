"""Worked examples of single queries, one a file: a sentence, the tables given, the table expected.

A file lies in cases/<table>/ and its name says what holds. Columns that are left out are blank; column types come
from a full run, since a blank column tells nothing. The first report that DEVELOPERS.md builds is run here too.
"""

import ast
from pathlib import Path
from typing import Any

import duckdb
import pytest
from conftest import ALL_QUERIES, ROOT, RunOf
from guide_blocks import blocks_of
from worked_cases import CASES, Rows, run_case

from fleetreport.languages.catalogues import CATALOGUES, joined
from fleetreport.query import Query, parsed, read_query, tables_in
from fleetreport.workbooks import workshop_sheets

BY_TABLE = {query.table: query for query in ALL_QUERIES}


def found_and_expected(db: duckdb.DuckDBPyConnection, query: Query, expected: Rows) -> tuple[list[Any], list[Any]]:
    """The columns expected of a query's table, and the rows expected, in one order."""
    named = ", ".join(f'"{column}"' for column in expected.columns)
    # Both sides through the column's own type, so that 60000 and 60000.0000000 are the same.
    types = {c[0]: c[1] for c in db.execute(f'describe "{query.table}"').fetchall()}
    shape = ", ".join(f'"{column}" {types[column]}' for column in expected.columns)
    db.execute(f"create table hoped ({shape})")
    for row in expected.rows:
        db.execute(f"insert into hoped values ({', '.join('?' * len(row))})", row)
    found = db.execute(f'select {named} from "{query.table}" order by all').fetchall()
    return found, db.execute("from hoped order by all").fetchall()


@pytest.mark.parametrize("path", sorted(CASES.rglob("*.txt")), ids=lambda path: f"{path.parent.name}: {path.stem}")
def test_case(path: Path, run_of: RunOf) -> None:
    query = BY_TABLE[path.parent.name]
    db, expected = run_case(path, query, run_of(query))
    found, hoped = found_and_expected(db, query, expected)
    assert found == hoped


def test_the_report_that_developers_md_builds(
    tmp_path: Path, full_run: duckdb.DuckDBPyConnection, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its query, case, sheet and words as they stand there, taken in by the same code as our own."""
    blocks = {block.file: block.text for block in blocks_of(ROOT / "DEVELOPERS.md") if block.file}
    for file, text in blocks.items():
        (tmp_path / file).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / file).write_text(text, encoding="utf-8")
    [query_file], [case] = tmp_path.glob("queries/*/*.sql"), tmp_path.glob("tests/cases/*/*.txt")
    query = read_query(query_file)
    assert query.table not in BY_TABLE
    assert case.parent.name == query.table
    db, expected = run_case(case, query, full_run)
    found, hoped = found_and_expected(db, query, expected)
    assert found == hoped
    assert set(query.reads) == tables_in(parsed(db, query.sql, query_file))
    described = db.execute(f'describe "{query.table}"').fetchall()
    assert tuple(column[0] for column in described) == query.gives

    [entry] = eval(blocks["fleetreport/workbooks/workshop_sheets.py"].strip(), vars(workshop_sheets))  # noqa: S307
    monkeypatch.setattr(workshop_sheets, "SHEETS", (entry,))
    for language, folder in (("en", "english"), ("de", "german")):
        words = ast.literal_eval("{" + blocks[f"fleetreport/languages/{folder}/books.py"] + "}")
        assert not words.keys() & CATALOGUES[language].keys()
        [(_, sheet)] = workshop_sheets.workshop_sheets(db, joined(CATALOGUES[language], words))
        assert len(list(sheet[3])) == len(expected.rows)
        assert [column.heading for column in sheet[2]][-1] == words["heading.Days ago"]
