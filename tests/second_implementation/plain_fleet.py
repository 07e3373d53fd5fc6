"""Read a clean fleet folder of CSV files into plain records.

`read_fleet` is the only door in; every record remembers the file and the line it came from.
It does not know what a due date is.
"""

import tomllib
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from pathlib import Path
from typing import Any

from plain_cells import Row, in_meter_unit, load, moment


@dataclass(frozen=True)
class Settings:
    """What fleet.toml says that the arithmetic needs; most_per_day by meter, in km and in h."""

    distance_unit: str
    records_from: date | None
    due_days: int
    horizon_days: int
    most_per_day: dict[str, Decimal]


@dataclass(frozen=True)
class Vehicle:
    """One vehicle; in_service holds its readings at in service by meter (km, h), as displayed then."""

    vehicle_id: str
    vehicle_class: str
    distance_unit: str
    in_service_on: date
    in_service: dict[str, Decimal]
    severe: bool
    retired_on: date | None
    row: Row


@dataclass(frozen=True)
class Written:
    """A meter value somebody wrote down: the displayed value in km or h, and the cell it stands in."""

    vehicle_id: str
    meter: str
    day: date
    clock: time | None
    value: Decimal
    file: str
    line: int
    column: str
    text: str


@dataclass(frozen=True)
class MeterChange:
    """A new meter: the last value of the old one and the first of the new one, in km or h."""

    vehicle_id: str
    meter: str
    day: date
    final: Decimal
    first: Decimal


@dataclass(frozen=True)
class HistoryLine:
    """A line of work, by the cell of its file; kind is filled."""

    vehicle_id: str
    day: date
    task: str
    kind: str
    file: str
    line: int


@dataclass(frozen=True)
class Fleet:
    """The whole folder; expiries hold the latest date per vehicle and task."""

    settings: Settings
    vehicles: dict[str, Vehicle]
    written: list[Written]
    meter_changes: list[MeterChange]
    history: list[HistoryLine]
    tasks: dict[tuple[str, str], dict[str, str]]
    vehicle_tasks: dict[tuple[str, str], dict[str, str]]
    expiries: dict[tuple[str, str], date]


def read_fleet(folder: Path) -> Fleet:
    """Read the folder. Raises FileNotFoundError without vehicles or tasks."""
    vehicles = read_vehicles(folder)
    written = [w for v in vehicles.values() for w in written_at_in_service(v)]
    history, written_in_history = read_history(folder, vehicles)
    return Fleet(
        settings=read_settings(folder / "fleet.toml"),
        vehicles=vehicles,
        written=written + read_readings(folder, vehicles) + written_in_history,
        meter_changes=read_meter_changes(folder, vehicles),
        history=history,
        tasks={(r.cells["class"], r.cells["task"]): r.cells for r in load(folder, "tasks", fill_task, needed=True)},
        vehicle_tasks={(r.cells["vehicle_id"], r.cells["task"]): r.cells for r in load(folder, "vehicle_tasks")},
        expiries=read_expiries(folder),
    )


def read_settings(path: Path) -> Settings:
    """fleet.toml, or the contract's defaults where it is silent."""
    said: dict[str, Any] = {}
    if path.exists():
        said = tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
    fleet, week = said.get("fleet", {}), said.get("week", {})
    most = said.get("meters", {}).get("most_per_day", {})
    since = fleet.get("records_from")
    return Settings(
        distance_unit=fleet.get("distance_unit", "km"),
        records_from=date.fromisoformat(since) if isinstance(since, str) else since,
        due_days=week.get("due_days", 7),
        horizon_days=week.get("horizon_days", 56),
        most_per_day={"odometer": Decimal(most.get("km", 1500)), "hours": Decimal(most.get("h", 24))},
    )


def fill_task(cells: dict[str, str]) -> None:
    """Defaults of a class's task."""
    for column, default in (("distance_unit", "km"), ("basis", "last_done"), ("late_tolerance_pct", "10")):
        cells[column] = cells[column] or default


def read_vehicles(folder: Path) -> dict[str, Vehicle]:
    """Vehicles by vehicle_id."""

    def fill(cells: dict[str, str]) -> None:
        for column, default in (
            ("distance_unit", "km"),
            ("in_service_odometer", "0"),
            ("in_service_hours", "0"),
            ("duty", "normal"),
        ):
            cells[column] = cells[column] or default

    vehicles = {}
    for row in load(folder, "vehicles", fill, needed=True):
        cells = row.cells
        vehicles[cells["vehicle_id"]] = Vehicle(
            vehicle_id=cells["vehicle_id"],
            vehicle_class=cells["class"],
            distance_unit=cells["distance_unit"],
            in_service_on=date.fromisoformat(cells["in_service_on"]),
            in_service={
                "odometer": in_meter_unit("odometer", cells["in_service_odometer"], cells["distance_unit"]),
                "hours": in_meter_unit("hours", cells["in_service_hours"], "h"),
            },
            severe=cells["duty"] == "severe",
            retired_on=date.fromisoformat(cells["retired_on"]) if cells["retired_on"] else None,
            row=row,
        )
    return vehicles


def written_at_in_service(vehicle: Vehicle) -> list[Written]:
    """The two readings at in service; `text` is what the cell holds, blank where the default stands."""
    return [
        Written(
            vehicle_id=vehicle.vehicle_id,
            meter=meter,
            day=vehicle.in_service_on,
            clock=None,
            value=value,
            file=vehicle.row.file,
            line=vehicle.row.line,
            column=f"in_service_{meter}",
            text=vehicle.row.raw[f"in_service_{meter}"],
        )
        for meter, value in vehicle.in_service.items()
    ]


def unit_of(cells: dict[str, str], meter: str, vehicles: dict[str, Vehicle]) -> str:
    """The unit written, else h for hours and the vehicle's unit for the odometer."""
    if meter == "hours":
        return cells["unit"] or "h"
    vehicle = vehicles.get(cells["vehicle_id"])
    return cells["unit"] or (vehicle.distance_unit if vehicle else "km")


def read_readings(folder: Path, vehicles: dict[str, Vehicle]) -> list[Written]:
    """Rows of `readings`."""

    def fill(cells: dict[str, str]) -> None:
        cells["meter"] = cells["meter"] or "odometer"
        cells["unit"] = unit_of(cells, cells["meter"], vehicles)

    result = []
    for row in load(folder, "readings", fill):
        cells = row.cells
        day, clock = moment(cells["read_at"])
        value = in_meter_unit(cells["meter"], cells["reading"], cells["unit"])
        place = (row.file, row.line, "reading", row.raw["reading"])
        result.append(Written(cells["vehicle_id"], cells["meter"], day, clock, value, *place))
    return result


def read_meter_changes(folder: Path, vehicles: dict[str, Vehicle]) -> list[MeterChange]:
    """Rows of `meter_changes`, earliest first."""

    def fill(cells: dict[str, str]) -> None:
        cells["meter"] = cells["meter"] or "odometer"
        cells["first_reading"] = cells["first_reading"] or "0"
        cells["unit"] = unit_of(cells, cells["meter"], vehicles)

    changes = []
    for row in load(folder, "meter_changes", fill):
        cells, meter = row.cells, row.cells["meter"]
        changes.append(
            MeterChange(
                vehicle_id=cells["vehicle_id"],
                meter=meter,
                day=date.fromisoformat(cells["changed_on"]),
                final=in_meter_unit(meter, cells["final_reading"], cells["unit"]),
                first=in_meter_unit(meter, cells["first_reading"], cells["unit"]),
            )
        )
    return sorted(changes, key=lambda change: change.day)


def read_history(folder: Path, vehicles: dict[str, Vehicle]) -> tuple[list[HistoryLine], list[Written]]:
    """Rows of `history`, and the meter values written on them (the unit is that of the odometer)."""

    def fill(cells: dict[str, str]) -> None:
        cells["unit"] = unit_of(cells, "odometer", vehicles)

    lines, written = [], []
    for row in load(folder, "history", fill):
        cells, vehicle_id = row.cells, row.cells["vehicle_id"]
        day = date.fromisoformat(cells["done_on"])
        kind = cells["kind"] or ("scheduled" if cells["task"] else "repair")
        lines.append(HistoryLine(vehicle_id, day, cells["task"], kind, row.file, row.line))
        for meter, unit in (("odometer", cells["unit"]), ("hours", "h")):
            if cells[meter]:
                value = in_meter_unit(meter, cells[meter], unit)
                place = (row.file, row.line, meter, row.raw[meter])
                written.append(Written(vehicle_id, meter, day, None, value, *place))
    return lines, written


def read_expiries(folder: Path) -> dict[tuple[str, str], date]:
    """The latest expires_on by vehicle and task."""
    latest: dict[tuple[str, str], date] = {}
    for row in load(folder, "expiries"):
        key = (row.cells["vehicle_id"], row.cells["task"])
        expires_on = date.fromisoformat(row.cells["expires_on"])
        latest[key] = max(expires_on, latest.get(key, expires_on))
    return latest
