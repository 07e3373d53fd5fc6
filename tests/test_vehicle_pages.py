"""A page a vehicle, and the index: files that no file system mixes up, figures of the tables, links that lead on."""

import re
from html import unescape
from pathlib import Path

import duckdb
import pytest
from conftest import SAMPLE_FLEET, WriteFleet
from hypothesis import given
from hypothesis import strategies as st
from test_week import AS_OF

from fleetreport.pages.frame import vehicle_page_path
from fleetreport.pages.meter_chart import nice_step
from fleetreport.pages.vehicle_pages import vehicle_pages
from fleetreport.week import make_week

# Names that DOS and its heirs keep for devices, with any ending (Microsoft, "Naming Files, Paths, and Namespaces").
DEVICES = {"con", "prn", "aux", "nul", *(f"{name}{n}" for name in ("com", "lpt") for n in range(10))}


@given(st.lists(st.text(min_size=1), min_size=2, max_size=30, unique=True))
def test_every_vehicle_has_a_file_of_its_own_that_any_file_system_takes(names: list[str]) -> None:
    files = [vehicle_page_path(name) for name in names]
    assert len({file.casefold() for file in files}) == len(names)
    for file in files:
        assert re.fullmatch(r"vehicles/[a-z0-9-]+_[0-9a-f]{12}\.html", file)
        assert len(file) <= 70
        assert file.removeprefix("vehicles/").removesuffix(".html") not in DEVICES


@pytest.mark.parametrize("name", ["../../etc/passwd", "CON", "a/b\\c", "V:1?*", "", "ÄÖ", "V1", "v1", "V 1"])
def test_names_that_differ_only_in_what_a_file_name_cannot_hold_differ(name: str) -> None:
    others = {vehicle_page_path(other) for other in ("v-1", "V-1", "CON.", "con")}
    assert vehicle_page_path(name) not in others
    assert ".." not in vehicle_page_path(name)


def test_links_of_the_week_lead_to_files_that_were_written(sample_week: Path) -> None:
    """Every link of every page of the newest week and of the kept one, fragments too."""
    kept = sample_week / "weeks" / "2026-W48"
    pages = [*sample_week.glob("*.html"), *kept.glob("*.html"), *sample_week.glob("vehicles/*.html")]
    assert len(pages) > 70
    followed = 0
    for page in pages:
        for link in re.findall(r'<a [^>]*href="([^"]+)"', page.read_text(encoding="utf-8")):
            target, _, fragment = unescape(link).partition("#")
            place = page.parent / target if target else page
            assert place.is_file(), f"{page.name}: {link}"
            if fragment and target:
                assert f'id="{fragment}"' in place.read_text(encoding="utf-8"), f"{page.name}: {link}"
            followed += 1
    assert followed > 500


def test_a_vehicles_page_says_what_the_tables_say(full_run: duckdb.DuckDBPyConnection) -> None:
    pages = dict(vehicle_pages(full_run))
    in_service = full_run.execute("select count(*) from sheet_vehicles").fetchone()
    assert in_service == (len(pages),)
    for vehicle, overdue in full_run.execute("select vehicle_id, tasks_overdue from sheet_vehicles").fetchall():
        page = pages[vehicle_page_path(vehicle)]
        assert page.count('<li class="overdue">') == overdue
    refused = full_run.execute("select vehicle_id, count(*) from sheet_readings where not is_believed group by all")
    for vehicle, count in refused.fetchall():
        assert pages[vehicle_page_path(vehicle)].count('class="m-refused" d="M') - 1 >= count, vehicle


def test_a_meter_of_the_history_that_is_not_believed_is_marked(full_run: duckdb.DuckDBPyConnection) -> None:
    """Beside the task's own figure, which is by the other readings, it would seem to be what counts."""
    pages = dict(vehicle_pages(full_run))
    refused = full_run.execute(
        """select h.vehicle_id, count(distinct (h.file, h.line)) from sheet_history h
            join refused_readings r on r.file = h.file and r.line = h.line and r."table" = 'history' group by all"""
    ).fetchall()
    assert refused
    marked = {name: page.count("not believed; the other readings count") for name, page in pages.items()}
    assert {name: n for name, n in marked.items() if n} == {vehicle_page_path(name): n for name, n in refused}


def test_of_a_large_fleet_those_that_press_most_have_a_page_and_it_is_said(
    tmp_path: Path, write_fleet: WriteFleet
) -> None:
    fleet = write_fleet(
        settings="[week]\nvehicle_pages = 1\n",
        vehicles="vehicle_id,class,in_service_on\nV1,van,2026-11-01\nV2,van,2020-01-01\nV3,van,2026-11-01\n",
        tasks="class,task,every_months\nvan,oil,12\n",
    )
    done = make_week(fleet, AS_OF, tmp_path / "out", tmp_path / "store.duckdb")
    assert [path.name for path in (tmp_path / "out").glob("vehicles/*")] == [vehicle_page_path("V2").split("/")[1]]
    assert any("1 of 3 vehicles have a page" in note for note in done.notes)
    index = (tmp_path / "out" / "index.html").read_text(encoding="utf-8")
    assert "1 of 3 vehicles in service have a page" in index
    assert vehicle_page_path("V1") not in index
    records = (tmp_path / "out" / "records.html").read_text(encoding="utf-8")
    assert "1 of 3 vehicles are listed here" in records


@pytest.mark.parametrize(("span", "step"), [(1, 0.5), (8, 2), (70_000, 20_000), (0.01, 0.005), (399, 100)])
def test_a_scale_has_round_steps(span: float, step: float) -> None:
    """By hand: the smallest of 1, 2, 5 times a power of ten with at most four steps in the span."""
    assert nice_step(span) == pytest.approx(step)


def test_index_answers_with_the_figures_of_the_tables(sample_week: Path, full_run: duckdb.DuckDBPyConnection) -> None:
    page = unescape((sample_week / "index.html").read_text(encoding="utf-8")).replace("\u00a0", " ")
    week = full_run.execute("select tasks_overdue, vehicles_overdue, tasks_due from week_at_a_glance").fetchall()[0]
    assert f"{week[0]} tasks overdue on {week[1]} vehicles, {week[2]} due on" in page
    packs, cost = full_run.execute("select packs_today, cost_today from order_summary").fetchall()[0]
    assert f"{packs} packs from" in page
    assert f"for {cost:,.2f} EUR today." in page
    for name in ("week.xlsx", "forecast.xlsx", "due.ics", "data/due.csv", "mail/week.eml"):
        assert f'href="{name}"' in page
    assert "No earlier week is kept here" in page
    assert SAMPLE_FLEET.as_posix() not in page
