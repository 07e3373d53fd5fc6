"""Reports of a fleet's own: a query and a template in its folder, which reach the week's tables and nothing else."""

import re
import shutil
from datetime import date
from pathlib import Path

import duckdb
import pytest
from conftest import QUERIES, ROOT, WriteFleet

from fleetreport.own.queries import BESIDE, OF_THE_RUN, own_queries, with_own
from fleetreport.pages.own_reports import edition_of, own_pages, told_of_own_templates
from fleetreport.pages.page import week_page
from fleetreport.problem import WrongCall
from fleetreport.query import Step, load_queries
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.storing.store import open_only_to, opened_store, tables_and_views
from fleetreport.week import PARTS, STEPS, make_week

AS_OF = date(2026, 11, 25)
PACKAGE = ROOT / "fleetreport"


TABLES = {
    "vehicles": "vehicle_id,class,in_service_on\nV1,van,2020-01-01\n<b>V2</b>,van,2020-01-01\n",
    "tasks": "class,task,every_months\nvan,oil,12\n",
    "history": "vehicle_id,done_on,task\nV1,2025-01-10,oil\n<b>V2</b>,2026-10-01,oil\n",
}


@pytest.fixture(scope="module")
def a_week(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The database of a small fleet's week, made once for what does not need a run of its own."""
    folder = tmp_path_factory.mktemp("week")
    for name, text in TABLES.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    make_week(folder, AS_OF, folder / "out", folder / "store.duckdb")
    return folder / "store.duckdb"


@pytest.fixture
def fleet(write_fleet: WriteFleet) -> Path:
    folder = write_fleet(**TABLES)
    (folder / "reports").mkdir()
    return folder


def run(fleet: Path) -> Path:
    """A week of the fleet from its files."""
    make_week(fleet, AS_OF, fleet.parent / "out")
    return fleet.parent / "out"


def pages_of(fleet: Path, week: Path) -> dict[str, str]:
    """The own pages of the fleet over a week that is made already."""
    own = own_queries(fleet, [*load_queries(QUERIES, PARTS), *STEPS])
    with duckdb.connect(shutil.copy(week, fleet.parent / "copy.duckdb")) as db:
        for one in with_own([], own):
            assert isinstance(one, Step)
            one.make(db)
        words = edition_of(fleet, "en")
        with told_of_own_templates(fleet):
            return {**own_pages(db, own, words), "week": week_page(db, words)}


def write(fleet: Path, name: str, text: str) -> None:
    (fleet / "reports" / name).write_text(text, encoding="utf-8")


def refused(fleet: Path, week: Path) -> str:
    with pytest.raises(WrongCall) as caught:
        pages_of(fleet, week)
    return " ".join([*caught.value.messages, caught.value.help])


def test_a_query_alone_gives_a_table_and_a_plain_page(fleet: Path) -> None:
    write(fleet, "late.sql", "-- What is late.\nselect vehicle_id, task, due_on from due order by vehicle_id\n")
    out = run(fleet)
    assert (
        out / "data/late.csv"
    ).read_text() == "vehicle_id,task,due_on\n<b>V2</b>,oil,2027-10-01\nV1,oil,2026-01-10\n"
    page = (out / "late.html").read_text()
    assert "<h1><bdi>What is late</bdi></h1>" in page
    assert "&lt;b&gt;V2&lt;/b&gt;" in page
    assert "<b>V2</b>" not in page
    assert "Not due does not mean safe." in page


def test_queries_of_ones_own_may_read_each_other(fleet: Path, a_week: Path) -> None:
    write(fleet, "a.sql", "select count(*)::int as n from b")
    write(fleet, "b.sql", "from due")
    assert '<td class="figure"><bdi>2</bdi></td>' in pages_of(fleet, a_week)["a"]


def test_a_template_lays_out_the_rows_of_its_name(fleet: Path, a_week: Path) -> None:
    write(fleet, "late.sql", "select vehicle_id, due_on from due order by vehicle_id")
    write(
        fleet,
        "late.html",
        "{% for row in rows %}{{ row.vehicle_id }} {{ row.due_on | day }};{% endfor %}{{ week.as_of }}",
    )
    assert pages_of(fleet, a_week)["late"] == (
        "&lt;b&gt;V2&lt;/b&gt; 1\u00a0Oct\u00a02027;V1 10\u00a0Jan\u00a02026;2026-11-25"
    )


def test_a_query_in_the_place_of_ours_changes_our_reports(fleet: Path) -> None:
    note = "Depot North is closed on Friday."
    write(fleet, "notes.sql", f"select 1 as turn, '{note}' as note")
    assert note in (run(fleet) / "week.html").read_text()


def test_a_query_in_the_place_of_ours_gives_its_columns(fleet: Path, a_week: Path) -> None:
    write(fleet, "notes.sql", "select 1 as turn, 'a' as remark")
    assert "reports/notes.sql: found no column note, expected all that the query it stands for gives" in refused(
        fleet, a_week
    )


@pytest.mark.parametrize(
    ("sql", "said"),
    [
        ("from read_csv('/etc/passwd')", "found read_csv() in FROM"),
        ("select (select content from read_text('/etc/passwd'))", "found read_text() in FROM"),
        ("select 1 from due where exists (from glob('*'))", "found glob() in FROM"),
        ("with a as (from duckdb_settings()) from a", "found duckdb_settings() in FROM"),
        ("from '/etc/passwd'", "found no table '/etc/passwd'"),
        ("from 'https://example.org/a.csv'", "found no table 'https://example.org/a.csv'"),
        ("from input_history", "found no table 'input_history'"),
        ("copy due to 'stolen.csv'", "found a statement that is no SELECT"),
        ("attach 'other.duckdb'", "found a statement that is no SELECT"),
        ("drop table due", "found a statement that is no SELECT"),
        ("set enable_external_access = true", "found a statement that is no SELECT"),
        ("select 1 as a; select 2 as a", "found 2 statements, expected one SELECT"),
        ("select frm due", "Referenced column"),
        ("select * frm due", "syntax error"),
        ("from deu", "did you mean due?"),
        ("from own", "found 'own' among the tables it reads"),
        ("select 1 // 0 as a", "Division by zero"),
    ],
)
def test_a_query_that_is_more_than_a_look_at_the_tables_is_refused(
    fleet: Path, a_week: Path, sql: str, said: str
) -> None:
    write(fleet, "own.sql", sql)
    message = refused(fleet, a_week)
    assert message.startswith("reports/own.sql: ")
    assert said in message


def test_queries_in_a_circle_are_named(fleet: Path, a_week: Path) -> None:
    write(fleet, "a.sql", "from b")
    write(fleet, "b.sql", "from a")
    assert "queries in a circle: " in refused(fleet, a_week)


@pytest.mark.parametrize(("name", "said"), [
    ("Late.sql", "expected a-z, 0-9 and _"), ("history.sql", "the name of a table that no query makes"),
    ("week.sql", "the name of a page of the program's"), ("Late.html", "expected a-z, 0-9 and _"),
])  # fmt: skip
def test_names_that_are_taken_are_refused(fleet: Path, a_week: Path, name: str, said: str) -> None:
    write(fleet, name, "select 1 as one")
    assert said in refused(fleet, a_week)


@pytest.mark.parametrize(
    ("template", "said"),
    [
        ("{{ ''.__class__.__mro__[1].__subclasses__() }}", "access to attribute '__class__' of 'str' object is unsafe"),
        ("{{ rows.__init__.__globals__ }}", "unsafe"),
        ("{% include '../vehicles.csv' %}", "found no template '../vehicles.csv'"),
        ("{% include '/etc/passwd' %}", "found no template '/etc/passwd'"),
        ("{% import os %}", "own.html:1: expected token 'as'"),
        ("{{ week.nothing }}", "has no attribute 'nothing'"),
        ("{{ cycler.__init__.__globals__.os.popen('id').read() }}", "unsafe"),
        ("{% for i in range(999999999) %}{% endfor %}", "Range too big"),
        ("a\n{% for %}", "own.html:2: "),
        ("{{ 1 // 0 }}", "division"),
    ],
)
def test_a_template_reaches_nothing_but_its_values(fleet: Path, a_week: Path, template: str, said: str) -> None:
    write(fleet, "own.html", template)
    message = refused(fleet, a_week)
    assert message.startswith("reports/own.html")
    assert said in message


def test_a_template_in_the_place_of_ours_can_build_on_it(fleet: Path, a_week: Path) -> None:
    write(fleet, "week.html", """{% extends "ours/week.html" %}{% block title %}Ours{% endblock %}""")
    write(fleet, "_cautions.html", "<section id=cautions>Ask {{ week.fleet_name }}</section>")
    pages = pages_of(fleet, a_week)
    assert list(pages) == ["week"]
    assert "<title>Ours</title>" in pages["week"]
    assert "Ask fleet" in pages["week"] or "Ask week" in pages["week"]


def test_a_template_in_the_place_of_ours_is_told_with_its_line(fleet: Path, a_week: Path) -> None:
    write(fleet, "week.html", "one\n{{ page.nothing }}")
    assert refused(fleet, a_week).startswith("reports/week.html:2: ")
    write(fleet, "week.html", "{{ page.__class__.__mro__ }}")
    assert "unsafe" in refused(fleet, a_week)


def test_a_store_shut_off_reads_and_writes_only_where_it_may(fleet: Path, tmp_path: Path) -> None:
    """DuckDB's own lock, which stands behind the look at the query: `Securing DuckDB` in its documentation."""
    (tmp_path / "open").mkdir()
    (tmp_path / "secret.csv").write_text("a\n1\n")
    with opened_store(tmp_path / "store.duckdb", read_settings(fleet)) as db:
        open_only_to(db, tmp_path / "open")
        db.execute(f"copy (select 1 as a) to '{tmp_path / 'open/a.csv'}'")
        for sql in (
            f"from read_csv('{tmp_path / 'secret.csv'}')",
            f"copy (select 1) to '{tmp_path / 'open/../b.csv'}'",
            f"attach '{tmp_path / 'other.duckdb'}'",
            "install httpfs",
        ):
            with pytest.raises(duckdb.PermissionException):
                db.execute(sql)
        with pytest.raises(duckdb.InvalidInputException, match="locked"):
            db.execute("set enable_external_access = true")
    assert sorted(path.name for path in (tmp_path / "open").iterdir()) == ["a.csv"]


def test_the_guide_s_example_works(a_week: Path, fleet: Path) -> None:
    guide = (PACKAGE / "guide" / "own_reports.md").read_text(encoding="utf-8")
    for name, kind in (("long_standing.sql", "sql"), ("long_standing.html", "html")):
        (block,) = re.findall(rf"^```{kind} reports/{name}\n(.*?)^```$", guide, re.DOTALL | re.MULTILINE)
        write(fleet, name, block)
    page = pages_of(fleet, a_week)["long_standing"]
    assert "<title>Not read for a month</title>" in page
    assert "<li>V1: last read on 1\u00a0Jan\u00a02020, 2520 days ago</li>" in page
    assert "Not due does not mean safe." in page
    assert "default-src &#39;none&#39;" in page or "default-src 'none'" in page


def test_what_a_removed_report_published_goes_and_nothing_else(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """Its page and table, from the folder and from the week kept there; not a file that somebody put or changed."""
    fleet, out = write_fleet(**TABLES), tmp_path / "out"
    own = fleet / "reports"
    own.mkdir()
    for name in ("plates", "seats", "lamps"):
        (own / f"{name}.sql").write_text("select vehicle_id from vehicles", encoding="utf-8")
    make_week(fleet, AS_OF, out)
    (out / "seats.html").write_text("by hand", encoding="utf-8")
    (out / "mine.html").write_text("mine", encoding="utf-8")
    (out / ".own_reports").open("a", encoding="utf-8").write(f"{'0' * 64}  ../outside.html\n{'0' * 64}  mine.html\n")
    for name in ("plates", "seats"):
        (own / f"{name}.sql").unlink()
    make_week(fleet, AS_OF, out)
    for folder in (out, out / "weeks/2026-W48"):
        assert not (folder / "plates.html").exists()
        assert not (folder / "data/plates.csv").exists()
        assert (folder / "lamps.html").exists()
        assert (folder / "data/lamps.csv").exists()
        assert (folder / ".own_reports").read_text(encoding="utf-8").count("\n") == 2
    assert (out / "seats.html").read_text(encoding="utf-8") == "by hand"
    assert (out / "mine.html").read_text(encoding="utf-8") == "mine"
    (own / "lamps.sql").unlink()
    make_week(fleet, AS_OF, out)
    assert not (out / "lamps.html").exists()
    assert not (out / ".own_reports").exists()


def test_every_table_that_a_run_writes_for_itself_has_a_name_that_is_taken(a_week: Path) -> None:
    """Else a report of that name would take its place, or be written over."""
    made = [*load_queries(QUERIES, PARTS), *STEPS]
    by_makers = {name for one in made for name in (one.table, *(one.beside if isinstance(one, Step) else ()))}
    with duckdb.connect(str(a_week), read_only=True) as db:
        stand = {name for _, name in tables_and_views(db)}
    assert stand - by_makers == (OF_THE_RUN | BESIDE) & stand
    assert (OF_THE_RUN | BESIDE) - stand == set()
