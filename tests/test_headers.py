"""The header of every query tells the truth: what one row is, what it reads, what it gives, and where it stands in
the flow.
"""

from pathlib import Path
from tempfile import NamedTemporaryFile

import duckdb
import pytest
from conftest import ALL_QUERIES, LOOKED_AT, QUERIES, REPLAYED, RunOf

from fleetreport.query import Query, Step, in_order, load_macros, parsed, run_all, tables_in
from fleetreport.tables import TABLES
from fleetreport.week import STEPS

# The direction of flow: a query reads what is made in its own folder or in one before it.
FLOW = ("meters", "rates", "tasks", "items", "visits", "money", "record", "pages", *LOOKED_AT, *REPLAYED)
MADE = {query.table: query for query in ALL_QUERIES}

each_query = pytest.mark.parametrize("query", ALL_QUERIES, ids=lambda query: query.table)


@each_query
def test_gives_the_columns_it_says(query: Query, run_of: RunOf) -> None:
    described = run_of(query).execute(f'describe "{query.table}"').fetchall()
    assert tuple(column[0] for column in described) == query.gives


@each_query
def test_has_one_row_for_each_key(query: Query, run_of: RunOf) -> None:
    key = ", ".join(f'"{name}"' for name in query.one_row)
    if not key:
        assert run_of(query).execute(f'select count(*) from "{query.table}"').fetchall() == [(1,)]
        return
    twice = run_of(query).execute(f'select {key} from "{query.table}" group by all having count(*) > 1 limit 3')
    assert twice.fetchall() == []


@each_query
def test_says_what_it_reads(query: Query) -> None:
    path = QUERIES / query.folder / f"{query.table}.sql"
    assert set(query.reads) == tables_in(parsed(duckdb.connect(), query.sql, path))


@each_query
def test_reads_only_what_is_made_before_it(query: Query) -> None:
    upstream = [MADE[name].folder for name in query.reads if name in MADE]
    assert all(FLOW.index(folder) <= FLOW.index(query.folder) for folder in upstream)


def test_no_query_lies_outside_the_flow() -> None:
    assert {query.folder for query in ALL_QUERIES} == set(FLOW)
    assert sorted(path.name for path in QUERIES.glob("*.sql")) == ["macros.sql"]


@pytest.mark.parametrize(
    ("sql", "tables"),
    [
        ("with a as (select * from b) select * from a", {"b"}),
        (
            "with recursive a as (select 1 as n union all select n + 1 from a join c using (n)) select * from a",
            {"c"},
        ),
        ("with a as (select * from a) select * from a", {"a"}),
        ("from x where k in (select k from y) and exists (select 1 from z where z.k = x.k)", {"x", "y", "z"}),
        ("from p asof left join q on p.k = q.k and p.t >= q.t", {"p", "q"}),
        ("from p semi join q using (k) anti join r using (k)", {"p", "q", "r"}),
        ("select * from s1 union all (with b as (from s2) select * from b)", {"s1", "s2"}),
    ],
)
def test_what_a_query_refers_to_is_what_the_parser_sees(sql: str, tables: set[str]) -> None:
    assert tables_in(parsed(duckdb.connect(), sql, QUERIES)) == tables


def test_a_circle_of_queries_is_named() -> None:
    one, other = ALL_QUERIES[0], ALL_QUERIES[1]
    circle = [
        one._replace(table="a", reads=("b",)),
        other._replace(table="b", reads=("a",)),
    ]
    with pytest.raises(ValueError, match="queries in a circle: "):
        in_order(circle)


def test_a_query_that_lacks_a_table_it_reads_fails(full_run: duckdb.DuckDBPyConnection) -> None:
    """The order matters: without what it reads, a query cannot run, so none can be early by luck."""
    db = duckdb.connect()
    with pytest.raises(duckdb.CatalogException):
        run_all(db, [MADE["due"]])


def test_steps_say_what_they_read() -> None:
    made = set(MADE) | {step.table for step in STEPS} | {table.name for table in TABLES}
    known = made | {"run", "depot_hours", "confirmed", "price_growth", "wording_rules", "setting_names"}
    assert all(set(step.reads) <= known for step in STEPS)


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.table)
def test_a_step_reads_no_more_than_it_says_and_makes_all_it_says(
    step: Step, sample_week: Path, full_run: duckdb.DuckDBPyConnection
) -> None:
    """What a step read in silence could change without its table being made again."""
    with duckdb.connect() as alone:
        for name in step.reads:
            with NamedTemporaryFile(suffix=".parquet") as file:
                described = full_run.execute(f'describe "{name}"').fetchall()
                kinds = ", ".join(f'"{column}" {kind}' for column, kind, *_ in described)
                plain = ", ".join(f'"{c}"{"::varchar" * ("HUGEINT" in kind)} as "{c}"' for c, kind, *_ in described)
                full_run.execute(f"copy (select {plain} from \"{name}\") to '{file.name}' (format parquet)")
                alone.execute(f'create table "{name}" ({kinds})')
                alone.execute(f"insert into \"{name}\" from '{file.name}'")
        load_macros(alone, QUERIES)
        step.make(alone)
        for name in (step.table, *step.beside):
            found, expected = (db.execute(f'from "{name}"').fetchall() for db in (alone, full_run))
            assert sorted(found, key=repr) == sorted(expected, key=repr)


def test_no_due_date_hangs_on_a_suggestion() -> None:
    """What is suggested for a refused reading is shown and never applied."""
    suggested = {"diagnoses", "suggested_meter_changes"}
    readers = {query.table: query.folder for query in ALL_QUERIES if suggested & set(query.reads)}
    assert readers == {"quarantine": "record", "suggested_meter_changes": "record", "check_places": "check"}
