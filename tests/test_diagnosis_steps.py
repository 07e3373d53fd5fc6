"""Diagnoses in a whole run: another vehicle's reading, an exchanged meter, and the suggested line, which settles it."""

from datetime import date, timedelta
from pathlib import Path

import duckdb
import pytest
from conftest import WriteFleet

from fleetreport.week import make_week

AS_OF = date(2026, 3, 1)
FIRST = date(2026, 1, 1)
VEHICLES = """
    vehicle_id,class,depot,distance_unit,in_service_on,in_service_odometer
    V01,van,North,km,2025-12-31,60000
    V02,van,North,mi,2025-12-31,15000
    "V,3",truck,South,km,2025-12-31,184000
"""
TASKS = """
    class,task,every_distance
    *,oil,10000
"""


def fleet_readings() -> str:
    """V01 goes 50 km a day, V02 30 mi; V,3 goes 100 km and gets another meter on 1 February that nobody reports."""
    lines = ["vehicle_id,read_at,reading"]
    for n in range(59):
        day = FIRST + timedelta(days=n)
        # On the 20th day V01's line holds what V02 showed.
        lines.append(f"V01,{day},{15000 + 30 * (n + 1) if n == 20 else 60000 + 50 * (n + 1)}")
        lines.append(f"V02,{day},{15000 + 30 * (n + 1)}")
        lines.append(f'"V,3",{day},{100 * (n - 31) + 30 if n >= 32 else 184000 + 100 * (n + 1)}')
    return "\n".join(lines)


def run(fleet: Path) -> duckdb.DuckDBPyConnection:
    make_week(fleet, AS_OF, fleet / "out")
    return duckdb.connect(fleet / ".fleetreport" / "store.duckdb", read_only=True)


@pytest.fixture
def fleet(write_fleet: WriteFleet) -> Path:
    return write_fleet(vehicles=VEHICLES, tasks=TASKS, readings=fleet_readings())


def test_another_vehicle_of_the_same_day_is_named(fleet: Path) -> None:
    db = run(fleet)
    found = db.execute(
        "select value, diagnosis, suggested_value, suggested_column from quarantine where value = '15630'"
    ).fetchall()
    assert found == [("15630", "Probably the reading of another vehicle: it fits V02 that day.", "V02", "vehicle_id")]


def test_a_suggested_line_once_added_lets_the_readings_stand(fleet: Path) -> None:
    db = run(fleet)
    refused = db.execute("select count(*) from quarantine where diagnosis like 'The meter was probably%'").fetchall()
    lines = db.execute("select csv_line, readings_settled from suggested_meter_changes").fetchall()
    db.close()
    assert refused == [(27,)]
    assert lines == [('"V,3",2026-02-01,odometer,187200,0,km', 27)]
    assert "&#34;V,3&#34;,2026-02-01,odometer,187200,0,km" in (fleet / "out" / "week.html").read_text(encoding="utf-8")
    (fleet / "meter_changes.csv").write_text(
        f"vehicle_id,changed_on,meter,final_reading,first_reading,unit\n{lines[0][0]}\n", encoding="utf-8"
    )
    again = run(fleet)
    assert again.execute("select value from quarantine").fetchall() == [("15630",)]
    assert again.execute("select count(*) from suggested_meter_changes").fetchall() == [(0,)]
    again.close()


def test_nothing_refused_makes_empty_tables(write_fleet: WriteFleet) -> None:
    db = run(write_fleet(vehicles=VEHICLES, tasks=TASKS))
    assert db.execute("select count(*) from diagnoses").fetchall() == [(0,)]
    assert db.execute("select count(*) from suggested_meter_changes").fetchall() == [(0,)]
