"""Every page a run writes, in a real browser and through the Nu HTML checker.

axe-core (WCAG 2.2 A and AA, and its own good practice) finds nothing at any impact, at desktop width in light and at
phone width in dark colours, with every list unfolded; the page asks nothing of any network, says nothing on the
console, and is never wider than the window. Skipped where Chromium, Node.js or Java are not installed, or `npm ci` was
not run in tests/browser.
"""

import json
import shutil
import subprocess
from datetime import date
from pathlib import Path
from textwrap import dedent
from typing import Any
from urllib.parse import parse_qs, urlsplit

import duckdb
import pytest
from conftest import SAMPLE_FLEET
from report_fixture import report_tables
from test_forecast import ITEMS, SETTINGS, TASK_ITEMS, TASKS, VEHICLES
from test_money_backtest import HISTORY, READINGS

from fleetreport.checking.fleet_check import check_fleet
from fleetreport.pages.frame import natural_order
from fleetreport.pages.page import week_page
from fleetreport.starting.guide_pages import write_guide_pages
from fleetreport.trials.changes import read_changes
from fleetreport.trials.money_backtest import make_money_backtest
from fleetreport.trials.what_if import make_what_if
from fleetreport.week import make_week

BROWSER = Path(__file__).parent / "browser"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
NODE, JAVA = shutil.which("node"), shutil.which("java")
MODULES = BROWSER / "node_modules"

pytestmark = pytest.mark.skipif(
    not (CHROMIUM and NODE and MODULES.is_dir()), reason="needs Chromium, Node.js and `npm ci` in tests/browser"
)


@pytest.fixture(scope="module")
def pages(
    sample_week: Path, full_backtest: duckdb.DuckDBPyConnection, tmp_path_factory: pytest.TempPathFactory
) -> list[Path]:
    """The pages of the sample fleet's week, of its check and of a backtest, and those of `other_pages`."""
    row = full_backtest.execute("select path from duckdb_databases() where path is not null").fetchone()
    assert row is not None
    backtest = Path(row[0]).parent / "out" / "backtest.html"
    checked = tmp_path_factory.mktemp("checked")
    check_fleet(SAMPLE_FLEET, date(2026, 11, 25), checked)
    # Of the vehicles' pages those with the most and the least on them; the rest are made by the same template.
    sheets = sorted(sample_week.glob("vehicles/*.html"), key=lambda page: page.stat().st_size)
    kept = sample_week / "weeks" / "2026-W48" / "index.html"
    week = [*sorted(sample_week.glob("*.html")), kept, sheets[0], sheets[-1]]
    return [*week, checked / "check.html", backtest, *other_pages(tmp_path_factory.mktemp("others"))]


def other_pages(folder: Path) -> list[Path]:
    """A guide; the what-if and the judged forecasts of a fleet of two; and that fleet's week in German."""
    (folder / "guide").mkdir()
    guide = write_guide_pages(folder / "guide")["due_dates"]
    fleet = folder / "fleet"
    fleet.mkdir()
    tables = {
        "vehicles": VEHICLES.replace("2025-11-25", "2024-01-01"), "tasks": TASKS, "items": ITEMS, "readings": READINGS,
        "task_items": TASK_ITEMS, "history": HISTORY + "    V1,2026-11-20,lost,repair,1,1\n",
    }  # fmt: skip
    for name, text in tables.items():
        (fleet / f"{name}.csv").write_text(dedent(text).lstrip("\n"), encoding="utf-8")
    settings = dedent(SETTINGS)
    (fleet / "fleet.toml").write_text(settings, encoding="utf-8")
    changed = read_changes("72", [], [], "", [])
    what_if, judged, german = folder / "what_if", folder / "judged", folder / "german"
    make_what_if(fleet, date(2026, 11, 25), what_if, changed)
    make_money_backtest(fleet, date(2026, 11, 25), judged)
    (fleet / "fleet.toml").write_text(settings.replace("[fleet]", '[fleet]\nlanguage = "de"'), encoding="utf-8")
    make_week(fleet, date(2026, 11, 25), german)
    make_what_if(fleet, date(2026, 11, 25), german, changed)
    check_fleet(fleet, date(2026, 11, 25), german)
    vehicle = sorted(german.glob("vehicles/*.html"))[0]
    return [guide, what_if / "what_if.html", judged / "backtest_money.html", *sorted(german.glob("*.html")), vehicle]


@pytest.fixture(scope="module")
def seen(pages: list[Path]) -> list[dict[str, Any]]:
    call = [str(NODE), str(BROWSER / "look_at.mjs"), str(CHROMIUM), *map(str, pages)]
    done = subprocess.run(call, capture_output=True, text=True, check=False, timeout=2400)
    assert done.returncode == 0, done.stderr
    found: list[dict[str, Any]] = json.loads(done.stdout)
    return found


def test_every_page_is_looked_at(pages: list[Path], seen: list[dict[str, Any]]) -> None:
    named = ["check.html", "backtest.html", "backtest_money.html", "what_if.html", "due_dates.html", "week.html",
             "order.html", "forecast.html", "records.html", "jobcards.html", "index.html"]  # fmt: skip
    assert set(named) <= {page.name for page in pages}
    german = {page.name for page in pages if '<html lang="de">' in page.read_text(encoding="utf-8")[:60]}
    assert {"week.html", "order.html", "forecast.html", "what_if.html", "check.html", "index.html"} <= german
    assert len(seen) == 2 * len(pages)


def test_nothing_is_wrong_in_the_browser(seen: list[dict[str, Any]]) -> None:
    wrong = [
        f"{Path(one['page']).name} at {one['width']} px, {one['scheme']}: {finding}"
        for one in seen
        for finding in one["findings"]
    ]
    assert wrong == []


def test_what_is_wrong_would_be_seen(tmp_path: Path) -> None:
    """A page with planted faults: a picture without words, pale text, a wide table, a script, a request."""
    page = tmp_path / "bad.html"
    page.write_text(
        '<!DOCTYPE html><html lang="en"><title>Bad</title><main><h1>Bad</h1><img src="http://127.0.0.1:9/x.png">'
        '<p style="color:#aaa;background:#fff">Pale</p><div style="width:2000px">Wide</div></main>'
        '<script>console.log("said")</script></html>',
        encoding="utf-8",
    )
    call = [str(NODE), str(BROWSER / "look_at.mjs"), str(CHROMIUM), str(page)]
    done = subprocess.run(call, capture_output=True, text=True, check=True, timeout=300)
    for one in json.loads(done.stdout):
        said = "\n".join(one["findings"])
        for fault in ("image-alt", "color-contrast", "wider than the window", "console: said", "request: http://127"):
            assert fault in said


DEPOT = 'North & "yard" #2'


@pytest.fixture(scope="module")
def used(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What a reader sees who sorts, filters, opens the address again and does without the script."""
    folder = tmp_path_factory.mktemp("used")
    db = report_tables(60)
    for table in ("due_list", "depot_summary", "not_judged"):
        db.execute(f"update {table} set depot = ? where depot = 'North yard'", [DEPOT])
    (folder / "week.html").write_text(week_page(db), encoding="utf-8")
    call = [str(NODE), str(BROWSER / "use.mjs"), str(CHROMIUM), str(folder / "week.html"), "[data-name=lead]", DEPOT]
    done = subprocess.run([*call, "overdue"], capture_output=True, text=True, check=False, timeout=600)
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_a_list_is_sorted_by_pressing_a_head_and_by_keys(used: dict[str, Any]) -> None:
    """The whole list, also what is folded before; its head says the order (ARIA 1.2, aria-sort)."""
    rising, falling = used["rising"], used["falling"]
    assert len(rising["first"]) > len(used["before"]["first"]) > 1
    assert rising["first"] == sorted(rising["first"], key=natural_order)
    assert falling["first"] == rising["first"][::-1]
    assert (rising["sorted"][0], falling["sorted"][0]) == ("ascending", "descending")
    assert [*rising["sorted"][1:], *falling["sorted"][1:], *used["before"]["sorted"]].count(None) == 16


def test_filters_show_what_fits_and_say_how_much(used: dict[str, Any]) -> None:
    shown = used["filtered"]["shown"]
    both = [DEPOT, "overdue"]
    assert shown == [both] * used["unfiltered"]["shown"].count(both) != []
    assert used["filtered"]["live"] == f"{len(shown)} of {used['unfiltered']['all']} lines shown."
    assert used["filtered"]["role"] == "status"
    assert used["filtered"]["folded"] == 0
    assert used["cleared"]["shown"] == used["unfiltered"]["shown"]
    assert used["cleared"]["live"] == f"All {used['unfiltered']['all']} lines shown."


def test_the_address_brings_the_same_view_again(used: dict[str, Any]) -> None:
    assert parse_qs(urlsplit(used["address"]).query) == {"depot": [DEPOT], "status": ["overdue"], "sort": ["0.d.lead"]}
    again = used["again"]
    assert {name: again[name] for name in used["filtered"]} == used["filtered"]
    assert {name: again[name] for name in used["falling"]} == used["falling"]
    assert parse_qs(urlsplit(used["clearedAddress"]).query) == {"sort": ["0.d.lead"]}


def test_a_narrow_page_sorts_by_a_list_and_no_page_needs_the_script(used: dict[str, Any]) -> None:
    assert used["narrow"] == {"choice": True, "reachable": -1}
    assert used["narrowSorted"] == used["falling"]
    assert used["plain"] == {"box": False, "rows": used["unfiltered"]["all"], "buttons": 0}
    assert used["said"] == []


def test_nothing_reaches_over_the_edge_of_the_paper(used: dict[str, Any]) -> None:
    """A4 is 210 mm wide (ISO 216), Letter 8.5 in (ANSI/ASME Y14.1)."""
    assert used["paper"] == {"A4": [], "Letter": []}


@pytest.mark.skipif(not JAVA, reason="needs Java")
def test_the_nu_html_checker_has_nothing_to_say(pages: list[Path]) -> None:
    jar = MODULES / "vnu-jar" / "build" / "dist" / "vnu.jar"
    call = [str(JAVA), "-jar", str(jar), "--format", "json", *map(str, pages)]
    done = subprocess.run(call, capture_output=True, text=True, check=False, timeout=300)
    messages = json.loads(done.stderr)["messages"]
    assert [f"{Path(m['url']).name}:{m.get('lastLine')}: {m['message']}" for m in messages] == []
