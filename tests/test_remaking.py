"""A run that leaves what has not changed ends as one that makes everything: tables, files, and nothing written twice.

The other side of each comparison is a store made anew.
"""

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path

import duckdb
import pytest
from conftest import QUERIES
from hypothesis import given, settings
from hypothesis import strategies as st
from test_week import files_of
from trust.same_bytes import small_fleet

from fleetreport import remaking
from fleetreport.query import Query, Step, fill_table, load_queries, run_all
from fleetreport.reading.rows import find_files
from fleetreport.remaking import MADE_FROM, run_changed
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.storing.store import opened_store
from fleetreport.week import PARTS, STEPS, make_week, work_out

AS_OF = date(2026, 11, 25)
Rows = dict[str, list[tuple[object, ...]]]


def a_query(table: str, *reads: str) -> Query:
    """Sums what it reads, and counts one more."""
    sums = " + ".join(f"(select coalesce(sum(x), 0) from {name})" for name in reads)
    return Query(table, "pages", (), reads, ("x",), f"select 1 + {sums} as x")


def a_step(table: str, beside: str, *reads: str) -> Step:
    """The same by Python, with a second table of the sum doubled."""

    def make(db: duckdb.DuckDBPyConnection) -> None:
        (x,) = db.execute(a_query(table, *reads).sql).fetchall()[0]
        fill_table(db, table, {"x": "bigint"}, [[x]])
        fill_table(db, beside, {"x": "bigint"}, [[2 * x]])

    return Step(table, reads, make, beside=(beside,))


# a and b are given; d reads what c makes beside itself only, and v is a view.
MADE: list[Query | Step] = [
    a_query("sum_a", "a"), a_step("c", "c_beside", "sum_a", "b"), a_query("sum_b", "b"), a_query("d", "c_beside"),
    a_query("v", "sum_b")._replace(is_view=True), a_query("e", "v", "a"), a_query("f", "d", "e"),
]  # fmt: skip
GIVEN = st.lists(st.integers(0, 2), max_size=2)


def everything(db: duckdb.DuckDBPyConnection) -> Rows:
    names = db.execute("select table_name from information_schema.tables order by 1").fetchall()
    return {name: db.execute(f'from "{name}"').fetchall() for (name,) in names if name != MADE_FROM}


@settings(deadline=None, max_examples=25)
@given(st.lists(st.tuples(GIVEN, GIVEN), min_size=1, max_size=4))
def test_tables_end_as_if_all_were_made(turns: list[tuple[list[int], list[int]]]) -> None:
    db = duckdb.connect()
    for turn in turns:
        fresh = duckdb.connect()
        for each in (db, fresh):
            for name, rows in zip("ab", turn, strict=True):
                fill_table(each, name, {"x": "integer"}, [[row] for row in rows])
        run_changed(db, MADE)
        run_all(fresh, MADE)
        assert everything(db) == everything(fresh)


def made_in(db: duckdb.DuckDBPyConnection, monkeypatch: pytest.MonkeyPatch, **more: set[str]) -> list[str]:
    """What a run makes again."""
    found: list[str] = []
    with monkeypatch.context() as patched:
        patched.setattr(remaking, "run_all", lambda db, made, tick: found.extend(one.table for one in made))
        run_changed(db, MADE, **more)
    return found


@pytest.fixture
def made_once() -> duckdb.DuckDBPyConnection:
    db = duckdb.connect()
    for name in "ab":
        fill_table(db, name, {"x": "integer"}, [[1], [2]])
    run_changed(db, MADE)
    return db


def test_only_what_reads_a_change_is_made_again(
    made_once: duckdb.DuckDBPyConnection, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert made_in(made_once, monkeypatch) == []
    # The same rows in another order are the same.
    fill_table(made_once, "b", {"x": "integer"}, [[2], [1]])
    assert made_in(made_once, monkeypatch) == []
    fill_table(made_once, "b", {"x": "integer"}, [[2], [1], [1]])
    assert made_in(made_once, monkeypatch) == ["c", "sum_b", "d", "v", "e", "f"]


def test_what_is_gone_is_made_again(made_once: duckdb.DuckDBPyConnection, monkeypatch: pytest.MonkeyPatch) -> None:
    made_once.execute("drop table c_beside")
    assert made_in(made_once, monkeypatch) == ["c"]


def test_what_is_asked_for_anew_is_made_with_all_that_reads_it(
    made_once: duckdb.DuckDBPyConnection, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert made_in(made_once, monkeypatch, anew={"v"}) == ["v", "e", "f"]


def test_another_program_makes_all_again(made_once: duckdb.DuckDBPyConnection, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(remaking, "program", lambda: "another")
    assert made_in(made_once, monkeypatch) == [one.table for one in MADE]


def test_the_program_is_its_code_its_queries_and_its_libraries(monkeypatch: pytest.MonkeyPatch) -> None:
    assert {"duckdb", "numpy", "scipy", "jinja2"} <= {name.lower() for name, _ in remaking._libraries()}
    now = remaking.program.__wrapped__()
    assert now == remaking.program.__wrapped__()
    monkeypatch.setattr(remaking, "_libraries", lambda: [("duckdb", "0")])
    assert now != remaking.program.__wrapped__()


def tables(fleet: Path, store: Path, as_of: date, anew: frozenset[str] | None) -> Rows:
    """Every table that a week makes, after a run, by name; `anew` None: all made."""
    found = read_settings(fleet)
    with opened_store(store, found) as db:
        work_out(db, find_files(fleet)[0], found, as_of, "fleet", anew=anew)
        names = [name for one in [*load_queries(QUERIES, PARTS), *STEPS] for name in remaking._tables(one)]
        return {name: sorted(db.execute(f'from "{name}"').fetchall(), key=repr) for name in names}


def in_file(name: str, old: str, new: str) -> Callable[[Path], None]:
    """Replace the first `old` in a file of the fleet folder."""

    def edit(fleet: Path) -> None:
        text = (fleet / name).read_text(encoding="utf-8")
        assert old in text
        (fleet / name).write_text(text.replace(old, new, 1), encoding="utf-8")

    return edit


# Each turn what a person changes between two runs, and the day of the run.
TURNS = (
    (
        AS_OF,
        [
            in_file("stock_takes.csv", ",22", ",12"),
            in_file("packs.csv", ",9.80,", ",9.90,"),
            in_file("fleet.toml", "labour_rate = 64.00", "labour_rate = 66.00"),
        ],
    ),
    (date(2026, 11, 26), [in_file("vehicles.csv", ",severe,", ",,"), in_file("tasks.csv", ",10000,6,", ",9000,6,")]),
)


def test_a_store_ends_as_a_new_one_would_whatever_was_changed(sample_week: Path, tmp_path: Path) -> None:
    fleet = small_fleet(tmp_path / "fleet", sample_week)
    tables(fleet, tmp_path / "kept.duckdb", AS_OF, frozenset())
    for turn, (as_of, edits) in enumerate(TURNS):
        for edit in edits:
            edit(fleet)
        kept = tables(fleet, tmp_path / "kept.duckdb", as_of, frozenset())
        fresh = tables(fleet, tmp_path / f"{turn}.duckdb", as_of, None)
        assert [name for name in kept if kept[name] != fresh[name]] == []


def times(out: Path) -> dict[Path, int]:
    return {path: path.stat().st_mtime_ns for path in sorted(out.rglob("*")) if path.is_file()}


def test_what_stands_is_not_written_again_and_what_was_touched_is(sample_week: Path, tmp_path: Path) -> None:
    fleet, out = small_fleet(tmp_path / "fleet", sample_week), tmp_path / "out"
    first = make_week(fleet, AS_OF, out)
    before, written = files_of(out), times(out)
    assert make_week(fleet, AS_OF, out) == first
    assert times(out) == written

    def comes_back() -> bool:
        """Whether all is written again, as it was."""
        make_week(fleet, AS_OF, out)
        all_new = times(out).keys() == written.keys() and not set(times(out).items()) & set(written.items())
        return all_new and files_of(out) == before

    page = out / "week.html"
    # The same length and the same time, by a copy put in its place.
    stand_in = tmp_path / "stand_in"
    stand_in.write_bytes(b"x" * page.stat().st_size)
    os.utime(stand_in, ns=(page.stat().st_atime_ns, page.stat().st_mtime_ns))
    stand_in.replace(page)
    assert comes_back()
    written = times(out)
    (out / "weeks" / "2026-W48" / "data" / "due.csv").unlink()
    assert comes_back()
    written = times(out)
    (fleet / "reports").mkdir()
    (fleet / "reports" / "below").mkdir()
    (fleet / "reports" / "below" / "said.html").write_text("said before", encoding="utf-8")
    (fleet / "reports" / "_lead.html").write_text("{% include 'below/said.html' %}", encoding="utf-8")
    make_week(fleet, AS_OF, out)
    assert not set(times(out).items()) & set(written.items())
    assert "said before" in page.read_text(encoding="utf-8")
    (fleet / "reports" / "below" / "said.html").write_text("said afterwards", encoding="utf-8")
    make_week(fleet, AS_OF, out)
    assert "said afterwards" in page.read_text(encoding="utf-8")
