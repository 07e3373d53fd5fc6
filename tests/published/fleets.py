"""Fleets of one vehicle for published values: by the program and by the second implementation, held alike."""

import tempfile
from datetime import date
from pathlib import Path

import plain_due
from small_fleets import fleet_folder

from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.storing.store import open_store
from fleetreport.week import makers_of, work_out

KM_IN_A_MILE = 1.609344


def worked_out(as_of: str, **tables: str) -> tuple[dict[str, dict[str, object]], plain_due.WorkedOut]:
    """The due list of V01 by task, as due.csv has it, and all that the second implementation makes of the folder."""
    made = makers_of(["due", "on_time"])
    with tempfile.TemporaryDirectory(prefix="published-") as folder:
        fleet = Path(folder) / "fleet"
        fleet.mkdir()
        fleet_folder(fleet, **tables)
        settings = read_settings(fleet)
        db = open_store(Path(folder) / "store.duckdb", settings)
        work_out(db, find_files(fleet)[0], settings, date.fromisoformat(as_of), "fleet", made=made)
        rates = {(v, m): rate for v, m, rate in db.execute("select vehicle_id, meter, rate from daily_rate").fetchall()}
        plain = plain_due.work_out(fleet, date.fromisoformat(as_of), rates)
        rows = db.execute("from due").fetchall()
        columns = [name for name, *_ in db.description]
        on_time = db.execute("select class, month, done, on_time from on_time").fetchall()
        db.close()
    assert {(one, month): (done, good) for one, month, done, good in on_time} == plain.on_time
    return {row[columns.index("task")]: dict(zip(columns, row, strict=True)) for row in rows}, plain


def due_row(as_of: str, task: str, **tables: str) -> plain_due.DueRow:
    """The row of one task of V01, in which both agree."""
    rows, plain = worked_out(as_of, **tables)
    row = plain.due["V01", task]
    assert (rows[task]["due_on"], rows[task]["status"]) == (row.due_on, row.status)
    shown, exact = rows[task]["due_odometer"], row.due_odometer
    assert (shown is None) == (exact is None)
    if shown is not None and exact is not None:
        per = KM_IN_A_MILE if row.distance_unit == "mi" else 1
        assert abs(float(str(shown)) - float(exact) / per) <= 0.0501
    return row


def due_of(as_of: str, task: str, **tables: str) -> date | None:
    """The day on which one task of V01 is due."""
    return due_row(as_of, task, **tables).due_on


def status_of(as_of: str, task: str, **tables: str) -> str:
    """The status of one task of V01."""
    return due_row(as_of, task, **tables).status


def on_time_of(as_of: str, **tables: str) -> tuple[int, int]:
    """How many services were done, and how many of them on time, over all months."""
    months = worked_out(as_of, **tables)[1].on_time.values()
    return sum(done for done, _ in months), sum(good for _, good in months)
