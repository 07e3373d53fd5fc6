"""Which vehicles a fleet has, for a file whose column of vehicles has a header that says nothing.

They are read as a run would read them, whatever format and columns they have. What cannot be read is passed over: the
run and the check say what is wrong with it. Nothing here looks at the file that is described.
"""

from pathlib import Path

from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.reading.files import find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.loading import stage
from fleetreport.storing.store import passing_store

# What makes a folder that of a fleet.
MARKS = ("fleet.toml", "vehicles.csv", "vehicles.xlsx")


def folder_of(path: Path) -> Path | None:
    """The fleet folder in which a file stands: the nearest above it that is one."""
    return next((up for up in path.absolute().parents if any((up / mark).exists() for mark in MARKS)), None)


def vehicles_of(fleet: Path) -> frozenset[str]:
    """The vehicle ids of a fleet folder; none where they cannot be read."""
    try:
        settings = read_settings(fleet)
    except (WrongCall, CannotReadOrWrite):
        settings = Settings()
    try:
        files, _ = find_files(fleet, settings.source, [])
    except CannotReadOrWrite:
        return frozenset()
    files = [file for file in files if file.table == "vehicles"]
    if not files:
        return frozenset()
    with passing_store(settings) as db:
        stage(db, files, settings, faults=[])
        rows = db.execute("select distinct vehicle_id from staged_vehicles where vehicle_id is not null").fetchall()
    return frozenset(vehicle for (vehicle,) in rows)
