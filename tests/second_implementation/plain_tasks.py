"""The tasks of a vehicle and the days they were done.

`tasks_in_force` merges the plan for one vehicle; `services_of` gathers the days a task was done, or covered.

It does not know when a task is due.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from plain_cells import in_km
from plain_fleet import Fleet, HistoryLine, Vehicle, fill_task
from plain_meters import Meter, Reading

ORDER = ("distance", "hours", "time", "date")
METER_OF = {"distance": "odometer", "hours": "hours"}
COLUMN_OF = {"distance": "distance", "hours": "hours", "time": "months"}


@dataclass(frozen=True)
class Task:
    """A task in force for one vehicle; interval and first by trigger, in km, h and (time) months."""

    task: str
    title: str
    interval: dict[str, Decimal]
    first: dict[str, Decimal]
    basis: str
    every_year_on: str
    after: str
    covers: tuple[str, ...]
    tolerance_pct: Decimal
    expires_on: date | None


@dataclass(frozen=True)
class Service:
    """A day on which a task was done. `done` is by trigger: km, h; own: a line names the task itself."""

    day: date
    done: dict[str, Decimal | None]
    own: bool


def tasks_in_force(fleet: Fleet, vehicle: Vehicle) -> dict[str, Task]:
    """The tasks of the vehicle's class, of class `*` where the class lacks it, and its own, merged."""
    of_class = {t: row for (c, t), row in fleet.tasks.items() if c == vehicle.vehicle_class}
    of_all = {t: row for (c, t), row in fleet.tasks.items() if c == "*"}
    own = {t: row for (v, t), row in fleet.vehicle_tasks.items() if v == vehicle.vehicle_id}
    expiring = {t: on for (v, t), on in fleet.expiries.items() if v == vehicle.vehicle_id}
    result = {}
    for task in sorted({*of_class, *of_all, *own, *expiring}):
        general = of_class.get(task, of_all.get(task, {}))
        result[task] = merged_task(task, vehicle.severe, general, own.get(task, {}), expiring.get(task))
    return result


def merged_task(task: str, severe: bool, general: dict[str, str], own: dict[str, str], expires_on: date | None) -> Task:
    """One task: a filled own cell replaces the general one; a distance has the unit of its own row."""
    general_unit = general.get("distance_unit") or "km"
    own_unit = own.get("distance_unit") or general_unit
    cells = {**general, **{column: text for column, text in own.items() if text}}
    for column in ("title", "every_year_on", "after", "covers"):
        cells.setdefault(column, "")
    for column in ("distance_unit", "basis", "late_tolerance_pct"):
        cells.setdefault(column, "")
    fill_task(cells)

    def number(column: str) -> Decimal | None:
        if not cells.get(column):
            return None
        if column.endswith("_distance"):
            return in_km(Decimal(cells[column]), own_unit if own.get(column) else general_unit)
        return Decimal(cells[column])

    interval, first = {}, {}
    for trigger, name in COLUMN_OF.items():
        every, at_first = number(f"every_{name}"), number(f"first_{name}")
        hard = number(f"severe_{name}") if severe else None
        if hard is not None or every is not None:
            interval[trigger] = hard if hard is not None else every
        if at_first is not None:
            first[trigger] = at_first
    return Task(
        task=task,
        title=cells["title"],
        interval={trigger: value for trigger, value in interval.items() if value is not None},
        first=first,
        basis=cells["basis"],
        every_year_on=cells["every_year_on"],
        after=cells["after"],
        covers=tuple(cells["covers"].split()),
        tolerance_pct=Decimal(cells["late_tolerance_pct"]),
        expires_on=expires_on,
    )


def doers_of(task: str, in_force: dict[str, Task]) -> set[str]:
    """The task itself and every task in force that covers it, chains followed."""
    doers = {task}
    while True:
        more = {other.task for other in in_force.values() if doers & set(other.covers)} - doers
        if not more:
            return doers
        doers |= more


def services_of(
    task: str,
    in_force: dict[str, Task],
    lines: Sequence[HistoryLine],
    meters: dict[str, Meter],
    until: date,
) -> list[Service]:
    """The services of a task in order of day, up to `until`, from the history lines of one vehicle."""
    doers = doers_of(task, in_force)
    doings = [line for line in lines if line.task in doers and line.kind != "top_up" and line.day <= until]
    services = []
    for day in sorted({line.day for line in doings}):
        of_day = [line for line in doings if line.day == day]
        done = {trigger: meter_of_service(of_day, meters[meter], meter) for trigger, meter in METER_OF.items()}
        services.append(Service(day, done, any(line.task == task for line in of_day)))
    return services


def meter_of_service(lines: Sequence[HistoryLine], meter: Meter, column: str) -> Decimal | None:
    """The greatest kept value written on the lines of one service, else what the meter showed that day."""
    cells = {(line.file, line.line, column) for line in lines}

    def stands_on_a_line(reading: Reading) -> bool:
        return (reading.file, reading.line, reading.column) in cells

    values = [reading.value for reading in meter.kept if stands_on_a_line(reading)]
    return max(values) if values else meter.at(lines[0].day)
