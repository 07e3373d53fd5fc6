"""What if: the live sheet against the command, recalculated by LibreOffice; the page; a vehicle's own interval."""

import re
import shutil
import subprocess
from decimal import Decimal
from pathlib import Path

import pytest
from conftest import WriteFleet
from openpyxl import load_workbook
from test_forecast import AS_OF, ITEMS, REPAIRED, TASK_ITEMS, rows_of, small_fleet

from fleetreport.trials.changes import read_changes
from fleetreport.trials.what_if import make_what_if
from fleetreport.week import make_week

VEHICLES = """
    vehicle_id,class,cost_centre,in_service_on
    V1,van,north,2025-11-25
    V2,truck,,2025-11-25
"""
TASKS = """
    class,task,title,every_months,every_distance,labour_hours,category
    *,oil,Oil and filter,2,,2,oils
    truck,hubs,Hubs,,7000,1.3,wheels
"""
READINGS = """
    vehicle_id,read_at,reading
    V1,2025-11-25,0
    V1,2026-11-25,36500
    V2,2025-11-25,0
    V2,2026-11-25,36500
"""


def mixed_fleet(write_fleet: WriteFleet) -> Path:
    """Two classes, work by time and by distance, items and labour, repairs."""
    return small_fleet(
        write_fleet, vehicles=VEHICLES, tasks=TASKS, readings=READINGS, history=REPAIRED,
        items=ITEMS + "    seal,piece,,3.3333\n",
        task_items=TASK_ITEMS.replace("van,", "*,") + "    truck,hubs,seal,4\n",
    )  # fmt: skip


def recalculated(book: Path, cells: dict[str, float | str], folder: Path) -> dict[str, tuple[float, float]]:
    """The sheet What-if after LibreOffice recalculated it with these cells changed: as it is and what if, by line."""
    changed = load_workbook(book)
    sheet = changed["What-if"]
    for cell, value in cells.items():
        sheet[cell] = value
    folder.mkdir()
    changed.save(folder / "changed.xlsx")
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless", "--norestore", "--convert-to",
         "xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "out"), str(folder / "changed.xlsx")],
        check=True, capture_output=True, timeout=180,
    )  # fmt: skip
    found = load_workbook(folder / "out" / "changed.xlsx", data_only=True)["What-if"]
    lines = list(found.iter_rows(min_row=9, max_col=3, values_only=True))
    ends = next(at for at, line in enumerate(lines) if line[0] is None)
    return {str(name): (round(float(base), 2), round(float(new), 2)) for name, base, new in lines[:ends]}


def cell_of(book: Path, named: str, aside: int) -> str:
    """The cell so many columns right of the one that holds a text, on the sheet What-if."""
    sheet = load_workbook(book)["What-if"]
    found = next(cell for row in sheet.iter_rows(min_row=9) for cell in row if cell.value == named and cell.column > 4)
    return str(found.offset(column=aside).coordinate)


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_the_live_sheet_is_the_forecast_and_the_command(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """Unchanged it is the forecast to the cent; with the same labour rate, price and class retired, what-if's answer.

    Checked by LibreOffice, month by month. Distance is in proportion: with a tenth more it is near the command's.
    """
    fleet = mixed_fleet(write_fleet)
    make_week(fleet, AS_OF, tmp_path / "out", tmp_path / "store.duckdb")
    book = tmp_path / "out" / "forecast.xlsx"
    months = {row["month"]: float(row["total"]) for row in rows_of(tmp_path / "out", "forecast_totals")
              if row["level"] == "month"}  # fmt: skip
    same = recalculated(book, {}, tmp_path / "same")
    assert {name: same[name] for name in months} == {name: (total, total) for name, total in months.items()}
    assert same["All"][1] == round(sum(months.values()), 2)
    cells: dict[str, float | str] = {
        cell_of(book, "An hour", 2): 71.5,
        cell_of(book, "oil (oil)", 2): 9.37,
        cell_of(book, "truck", 2): "yes",
    }
    changed = recalculated(book, cells, tmp_path / "changed")
    command = make_what_if(fleet, AS_OF, tmp_path / "if", read_changes("71.5", [], ["oil=9.37"], "", ["truck"]))
    asked = {line.key[2]: float(line.changed[2]) for line in command.lines if line.key[0] == "month"}
    assert {name: changed[name][1] for name in asked if name} == asked
    assert {name: changed[name][0] for name in months} == months

    further = recalculated(book, {cell_of(book, "van", 1): 1.1, cell_of(book, "truck", 1): 1.1}, tmp_path / "further")
    command = make_what_if(fleet, AS_OF, tmp_path / "far", read_changes("", [], [], "+10%", []))
    whole = next(line for line in command.lines if line.key[0] == "all")
    assert further["All"][1] == pytest.approx(float(whole.changed[2]), rel=0.03)
    assert further["All"][1] > further["All"][0]


def test_the_page_of_a_what_if(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """Self-contained under a policy that allows no script; the chart said in words, its figures in a table."""
    make_what_if(mixed_fleet(write_fleet), AS_OF, tmp_path, read_changes("72", ["oil=1mo"], [], "", []))
    page = (tmp_path / "what_if.html").read_text(encoding="utf-8")
    assert "default-src 'none'" in page
    assert not re.search(r"<script|<img|https?://(?!www\.w3\.org)|style=\"", page)
    assert re.search(r'<svg[^>]*role="img"[^>]*aria-labelledby="chart-what-if-title', page)
    assert "Labour at 72 an hour" in page
    assert "maker&#39;s schedule and the law come first" in page
    with (tmp_path / "data" / "what_if.csv").open(encoding="utf-8") as file:
        whole = next(line for line in file if line.startswith("all,")).split(",")
    assert f"{Decimal(whole[12]):,.2f}" in page


def test_an_interval_replaces_a_vehicles_own(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """V1 has 4 months of its own where its class has 2; asked for 3, both have 3: 4 times each in the year ahead."""
    fleet = small_fleet(write_fleet, vehicle_tasks="vehicle_id,task,every_months\nV1,oil,4\n")
    done = make_what_if(fleet, AS_OF, tmp_path / "out", read_changes("", ["oil=3mo"], [], "", []))
    totals = {line.key[3]: line for line in done.lines if line.key[0] == "cost centre"}
    assert totals["north"].base[2] < totals[""].base[2]
    assert totals["north"].changed[2] == pytest.approx(totals[""].changed[2], abs=Decimal("0.05"))
