"""The rows of a vehicle's own page, typed, read for all vehicles at once.

`read_sheets` asks for each table once, whatever the number of vehicles, and hands out a `Sheet` a vehicle.
Knows nothing of how a row is shown.
"""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import NamedTuple, Protocol, TypeVar

import duckdb

from fleetreport.report.report_rows import DueRow, read_rows
from fleetreport.report.visit_rows import FollowUp


class SheetVehicle(NamedTuple):
    """`sheet_vehicles`: a vehicle in service. Lengths in `distance_unit`, money of the last 365 days."""

    vehicle_id: str
    title: str | None
    vehicle_class: str
    depot: str
    cost_centre: str
    distance_unit: str
    in_service_on: date
    duty: str
    make: str | None
    serial: str | None
    year: int | None
    tyre_size: str | None
    owner: str | None
    tasks: int
    tasks_overdue: int
    tasks_due: int
    not_judged: int
    warranty_until: date | None
    warranty_distance: Decimal | None
    warranty_left: Decimal | None
    is_in_warranty: bool
    planned: Decimal | None
    unplanned: Decimal | None
    paid: Decimal | None
    cost_per_distance: Decimal | None
    class_cost_per_distance: Decimal | None
    cost_per_hour: Decimal | None
    class_cost_per_hour: Decimal | None
    has_page: bool


class SheetMeter(NamedTuple):
    """`sheet_meters`: a meter, now and 12 weeks ahead, as the meter in use shows it, in `unit`."""

    vehicle_id: str
    meter: str
    unit: str
    last_on: date
    last: Decimal
    now: Decimal
    now_low: Decimal | None
    now_high: Decimal | None
    ahead_on: date
    ahead: Decimal | None
    ahead_low: Decimal | None
    ahead_high: Decimal | None
    rate: Decimal | None
    offset_now: Decimal


class SheetLine(NamedTuple):
    """Of `sheet_readings` those of a meter that are believed, since new, the earliest first."""

    vehicle_id: str
    meter: str
    days: list[date]
    values: list[float]


class RefusedReading(NamedTuple):
    """Of `sheet_readings` one that is refused: since new, as written, where it stands and why."""

    vehicle_id: str
    meter: str
    seq: int
    read_on: date
    value: Decimal
    written: str
    file: str
    line: int
    reason: str | None


class SheetTask(NamedTuple):
    """`sheet_tasks`: a task of the vehicle's plan, where it stands and the visit it is put on."""

    vehicle_id: str
    task: str
    title: str
    status: str
    governed_by: str | None
    due_on: date | None
    due_on_early: date | None
    due_on_late: date | None
    due_shown: Decimal | None
    unit: str
    last_done_on: date | None
    visit_on: date | None
    expires_on: date | None
    source: str | None
    why_unknown: str | None


class SheetHistory(NamedTuple):
    """`sheet_history`: a line of the history, `turn` 1 the latest of `lines`."""

    vehicle_id: str
    turn: int
    lines: int
    done_on: date
    what: str
    kind: str
    odometer: Decimal | None
    unit: str | None
    hours: Decimal | None
    is_meter_refused: bool
    amount: Decimal
    condition: str | None
    invoice: str | None
    note: str | None
    file: str
    line: int


class SheetCost(NamedTuple):
    """`sheet_costs`: money paid in a financial year, without tax."""

    vehicle_id: str
    financial_year: str
    begins_on: date
    is_running: bool
    planned: Decimal
    unplanned: Decimal
    paid: Decimal


class Sheet(NamedTuple):
    """All that one vehicle's page shows; `lines` by the meter."""

    vehicle: SheetVehicle
    meters: list[SheetMeter]
    lines: dict[str, SheetLine]
    refused: list[RefusedReading]
    tasks: list[SheetTask]
    at_hand: list[DueRow]
    followups: list[FollowUp]
    history: list[SheetHistory]
    costs: list[SheetCost]


class _OfVehicle(Protocol):
    @property
    def vehicle_id(self) -> str: ...


Row = TypeVar("Row", bound=_OfVehicle)


def read_sheets(db: duckdb.DuckDBPyConnection) -> list[Sheet]:
    """A sheet for each vehicle that has a page, by name. Reads the sheet_* tables, due_list and followups, once."""
    meters = _by_vehicle(read_rows(db, SheetMeter, "sheet_meters"))
    lines = _by_vehicle(_read_lines(db))
    refused = _by_vehicle(
        read_rows(db, RefusedReading, "sheet_readings", ("vehicle_id", "meter", "seq"), "not is_believed")
    )
    tasks = _by_vehicle(read_rows(db, SheetTask, "sheet_tasks", ("vehicle_id", "due_on", "task")))
    shown = "vehicle_id in (select vehicle_id from sheet_vehicles where has_page)"
    due = _by_vehicle(read_rows(db, DueRow, "due_list", (), f"status <> 'upcoming' and {shown}"))
    followups = _by_vehicle(read_rows(db, FollowUp, "followups", ("vehicle_id", "since_on"), shown))
    history = _by_vehicle(read_rows(db, SheetHistory, "sheet_history", ("vehicle_id", "turn")))
    costs = _by_vehicle(read_rows(db, SheetCost, "sheet_costs", ("vehicle_id", "begins_on")))
    return [
        Sheet(
            vehicle, meters[vehicle.vehicle_id], {line.meter: line for line in lines[vehicle.vehicle_id]},
            refused[vehicle.vehicle_id], tasks[vehicle.vehicle_id], due[vehicle.vehicle_id],
            followups[vehicle.vehicle_id], history[vehicle.vehicle_id], costs[vehicle.vehicle_id],
        )
        for vehicle in read_rows(db, SheetVehicle, "sheet_vehicles")
        if vehicle.has_page
    ]  # fmt: skip


def _read_lines(db: duckdb.DuckDBPyConnection) -> list[SheetLine]:
    """A row a meter, its readings as lists: most are read for nothing but a place in the drawing."""
    rows = db.execute(
        """select vehicle_id, meter, list(read_on order by seq), list(value::double order by seq) from sheet_readings
        where is_believed group by vehicle_id, meter order by vehicle_id, meter"""
    ).fetchall()
    return [SheetLine(*row) for row in rows]


def without_page(db: duckdb.DuckDBPyConnection) -> frozenset[str]:
    """The vehicles in service that are too many to be shown one by one."""
    rows = db.execute("select vehicle_id from sheet_vehicles where not has_page").fetchall()
    return frozenset(vehicle for (vehicle,) in rows)


def _by_vehicle(rows: Iterable[Row]) -> defaultdict[str, list[Row]]:
    found: defaultdict[str, list[Row]] = defaultdict(list)
    for row in rows:
        found[row.vehicle_id].append(row)
    return found
