"""The weekly run as a whole: the same call gives the same bytes, a failed run leaves what was there."""

import csv
import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from datetime import date
from pathlib import Path

import duckdb
import openpyxl
import pytest
from conftest import ROOT, SAMPLE_FLEET, WriteFleet

from fleetreport import __version__
from fleetreport.problem import CannotReadOrWrite
from fleetreport.published_tables import PUBLISHED, PUBLISHED_MONEY
from fleetreport.week import make_week

AS_OF = date(2026, 11, 25)
# The contract's columns, in its order; more may follow. Tables that the contract does not name may change.
COLUMNS = {
    "due": "vehicle_id task title status governed_by due_on days_left due_odometer distance_left due_hours hours_left "
    "distance_unit last_done_on last_done_odometer odometer_now odometer_read_on rate_per_day due_on_early due_on_late "
    "late_by_pct",
    "items_needed": "item title unit needed safety on_hand on_order to_order",
    "order": "item pack size count price cost supplier",
    "loads": "file table rows_read rows_loaded rows_repeated rows_quarantined",
    "quarantine": "file line table column value reason scope",
    "on_time": "class month done on_time on_time_pct",
    "unmatched": "description lines vehicles cost labour_hours first_on last_on file line nearest_tasks rule",
}


def files_of(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_same_call_twice_writes_the_same_bytes(sample_week: Path, tmp_path: Path) -> None:
    make_week(SAMPLE_FLEET, AS_OF, tmp_path / "again", tmp_path / "store.duckdb")
    first, again = files_of(sample_week), files_of(tmp_path / "again")
    orders = [name for name in first if name.startswith("orders/")]
    kept = "weeks/2026-W48/"
    sheets = [name for name in first if name.startswith("vehicles/")]
    assert len(sheets) == 59
    pages = ["index.html", "week.html", "order.html", "jobcards.html", "records.html", "forecast.html"]
    others = [
        "week.xlsx",
        "forecast.xlsx",
        "jobcards.csv",
        "mail/week.eml",
        "mail/order.eml",
        "mail/forecast.eml",
        "due.ics",
    ]
    tables = [f"data/{name}.csv" for name in (*PUBLISHED, *PUBLISHED_MONEY)]
    written = [*tables, *pages, *others, *orders, *sheets]
    assert sorted(first) == sorted([*written, *(kept + name for name in written)])
    assert len(orders) == 8
    assert [name for name in first if first[name] != again[name]] == []


def test_order_and_splitting_of_rows_change_nothing_but_where_they_stand(sample_week: Path, tmp_path: Path) -> None:
    """Readings in reverse, in one file instead of many: the same due list."""
    fleet = tmp_path / "fleet"
    shutil.copytree(SAMPLE_FLEET, fleet, ignore=shutil.ignore_patterns(".fleetreport"))
    rows = []
    for path in sorted((fleet / "history").glob("*.csv")):
        with path.open(encoding="utf-8-sig", newline="") as file:
            rows += list(csv.DictReader(file))
    shutil.rmtree(fleet / "history")
    names = sorted({name for row in rows for name in row if name})
    with (fleet / "history.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, names, restval="", extrasaction="ignore")
        writer.writeheader()
        writer.writerows(reversed(rows))
    make_week(fleet, AS_OF, tmp_path / "out", tmp_path / "store.duckdb")
    assert (tmp_path / "out/data/due.csv").read_bytes() == (sample_week / "data/due.csv").read_bytes()


@pytest.mark.parametrize("table", PUBLISHED)
def test_published_tables_have_the_columns_of_the_contract_first(sample_week: Path, table: str) -> None:
    with (sample_week / "data" / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        header = next(csv.reader(file))
    expected = COLUMNS.get(table, "").split()
    assert header[: len(expected)] == expected


def as_csv_text(cell: object) -> str:
    return "" if cell is None else str(cell).lower() if isinstance(cell, bool) else str(cell)


def test_parquet_on_request_holds_the_same_rows(tmp_path: Path, write_fleet: WriteFleet) -> None:
    fleet = write_fleet(
        vehicles="vehicle_id,class,in_service_on\nV1,van,2026-01-01\n", tasks="class,task,every_months\nvan,oil,12\n"
    )
    make_week(fleet, AS_OF, tmp_path / "out", parquet=True)
    db = duckdb.connect()
    for table in PUBLISHED:
        rows = db.execute(f"from '{tmp_path}/out/data/{table}.parquet'").fetchall()
        with (tmp_path / "out" / "data" / f"{table}.csv").open(encoding="utf-8", newline="") as file:
            shown = list(csv.reader(file))[1:]
        assert [[as_csv_text(cell) for cell in row] for row in rows] == shown


def test_a_failed_run_leaves_the_reports_and_the_store_of_the_last_one(tmp_path: Path, write_fleet: WriteFleet) -> None:
    fleet = write_fleet(
        vehicles="vehicle_id,class,in_service_on\nV1,van,2026-01-01\n", tasks="class,task,every_months\nvan,oil,12\n"
    )
    out, store = tmp_path / "out", tmp_path / "store.duckdb"
    make_week(fleet, AS_OF, out, store)
    before = files_of(out)
    (fleet / "readings.csv").write_text("vehicle_id,reading\nV1,100\n")
    with pytest.raises(CannotReadOrWrite, match="read_at: found no column"):
        make_week(fleet, AS_OF, out, store)
    assert files_of(out) == before
    with duckdb.connect(store, read_only=True) as db:
        assert db.execute("select vehicle_id, task, status from due").fetchall() == [("V1", "oil", "upcoming")]


def test_other_files_in_the_output_folder_are_left_alone(tmp_path: Path, write_fleet: WriteFleet) -> None:
    fleet = write_fleet(
        vehicles="vehicle_id,class,in_service_on\nV1,van,2026-01-01\n", tasks="class,task,every_months\nvan,oil,12\n"
    )
    out = tmp_path / "out"
    out.mkdir()
    (out / "mine.txt").write_text("keep me")
    make_week(fleet, AS_OF, out)
    assert (out / "mine.txt").read_text() == "keep me"
    assert not list(out.glob(".writing-*"))


def test_what_a_killed_run_left_goes_after_a_day_and_another_runs_folder_stays(
    tmp_path: Path, write_fleet: WriteFleet
) -> None:
    fleet = write_fleet(
        vehicles="vehicle_id,class,in_service_on\nV1,van,2026-01-01\n", tasks="class,task,every_months\nvan,oil,12\n"
    )
    old, young = tmp_path / "out" / ".writing-old", tmp_path / "out" / ".writing-young"
    for folder in (old, young):
        folder.mkdir(parents=True)
    two_days_ago = old.stat().st_mtime - 2 * 24 * 60 * 60
    os.utime(old, (two_days_ago, two_days_ago))
    make_week(fleet, AS_OF, tmp_path / "out")
    assert [path.name for path in (tmp_path / "out").glob(".writing-*")] == [".writing-young"]


def test_the_days_of_three_weeks_differ(tmp_path: Path, sample_week: Path) -> None:
    """An earlier week is worked out as it stood: nothing dated later is used."""
    make_week(SAMPLE_FLEET, date(2026, 11, 18), tmp_path / "out", tmp_path / "store.duckdb")
    earlier = (tmp_path / "out/data/due.csv").read_text()
    assert earlier != (sample_week / "data/due.csv").read_text()
    with (tmp_path / "out/data/due.csv").open(encoding="utf-8", newline="") as file:
        days = [row["last_done_on"] for row in csv.DictReader(file)]
    assert max(days) <= "2026-11-18"


def test_the_command_says_what_it_made_and_is_quiet_otherwise(tmp_path: Path, write_fleet: WriteFleet) -> None:
    fleet = write_fleet(
        vehicles="vehicle_id,class,in_service_on\nV1,van,2026-01-01\n",
        tasks="class,task,every_months\nvan,oil,12\n",
        vehicle="vehicle_id\nV1\n",
    )
    call = [sys.executable, "-m", "fleetreport", "week", fleet, "--as-of", "2026-11-25", "--out", tmp_path / "out"]
    done = subprocess.run(call, capture_output=True, text=True, check=True)
    assert done.stdout == (
        "2026-11-25: 1 vehicle in service; 0 tasks overdue, 0 due, 0 not judged; 0 things of the input set aside\n"
        f"written: {tmp_path / 'out' / 'week.html'}, {tmp_path / 'out' / 'order.html'}, "
        f"{tmp_path / 'out' / 'week.xlsx'}, {tmp_path / 'out' / 'data'}\n"
    )
    assert done.stderr == "note: vehicle.csv: this file belongs to no table and was not read\n"


def test_version_and_help() -> None:
    version = subprocess.run(
        [sys.executable, "-m", "fleetreport", "--version"], capture_output=True, text=True, check=True
    )
    assert version.stdout == f"fleetreport {__version__}\n"
    shown = subprocess.run(
        [sys.executable, "-m", "fleetreport", "week", "--help"], capture_output=True, text=True, check=True
    )
    assert "fleetreport week sample_fleet --as-of 2026-11-25 --out out" in shown.stdout
    assert "Exit codes" in shown.stdout


def test_a_wheel_carries_its_queries_and_templates(tmp_path: Path) -> None:
    """Built, unpacked and run from elsewhere, so that nothing of the checkout is used."""
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", tmp_path]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    shutil.unpack_archive(wheel, tmp_path / "site", "zip")
    run = [sys.executable, "-P", "-m", "fleetreport", "week", SAMPLE_FLEET, "--as-of", "2026-11-25"]
    where = "import fleetreport.query as q; print(q.beside_the_package('queries'), q.beside_the_package('templates'))"
    environment = {"PYTHONPATH": str(tmp_path / "site"), "PATH": ""}
    found = subprocess.run(
        [sys.executable, "-P", "-c", where], cwd=tmp_path, env=environment, capture_output=True, text=True, check=True
    )
    inside = tmp_path / "site" / "fleetreport"
    assert found.stdout.split() == [str(inside / "queries"), str(inside / "templates")]
    done = subprocess.run(
        [*run, "--store", tmp_path / "store.duckdb"], cwd=tmp_path, env=environment, check=False, capture_output=True
    )
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "out" / "week.html").stat().st_size > 10_000


def test_every_visit_planned_stands_on_the_page_once(sample_week: Path) -> None:
    """In the strip of the weeks in which all work is planned, or in the list of what is dated beyond them: both
    together have as many visits as data/visits.csv, and no week is in both. (A planner looks half a year ahead, from
    memory of Great Britain's guide to maintaining roadworthiness; ISO 8601 weeks.)
    """
    with (sample_week / "data/visits.csv").open(encoding="utf-8", newline="") as file:
        visits = [row["iso_week"] for row in csv.DictReader(file)]
    page = (sample_week / "week.html").read_text(encoding="utf-8")
    strip = page.split('class="figures strip"')[1].split("</table>")[0]
    in_strip = {
        week: sum(int(n) for n in re.findall(r"(\d+)\u00a0visits?\b", cells))
        for week, cells in re.findall(r'<th scope="row">(\d{4}-W\d\d)(.*?)</tr>', strip, re.DOTALL)
    }
    dated = Counter(re.findall(r"<li>(\d{4}-W\d\d): ", page.split('id="visits"')[1].split("</section>")[0]))
    assert dated
    assert not dated.keys() & in_strip.keys()
    assert Counter(visits) == Counter({week: n for week, n in in_strip.items() if n}) + dated
    assert max(visits) >= "2027-W20"


def test_the_visits_sheet_names_tasks_as_people_do(sample_week: Path) -> None:
    """Titles, as on the cards; codes are for programs. Common practice, no published source."""
    with (sample_week / "data/visits.csv").open(encoding="utf-8", newline="") as file:
        titles = {(row["vehicle_id"], row["visit_on"]): row["task_titles"] for row in csv.DictReader(file)}
    sheet = openpyxl.load_workbook(sample_week / "week.xlsx", read_only=True)["Visits"]
    rows = list(sheet.iter_rows(values_only=True))
    at = {name: place for place, name in enumerate(rows[0])}
    shown = {(r[at["Vehicle"]], f"{r[at['Day']]:%Y-%m-%d}"): r[at["Tasks in working order"]] for r in rows[1:]}
    assert shown == titles
    assert "Engine oil and filter" in titles["L08", "2026-11-25"]
    assert "engine_oil" not in titles["L08", "2026-11-25"]
