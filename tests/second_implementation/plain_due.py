"""The arithmetic of the contract, section 2, in plain and slow Python: the oracle of the program's SQL.

`work_out` reads a clean folder and gives what is due, how many services were on time, which readings are not
believed, and each time a task comes up within the horizon. Nothing is rounded: distances are km, hours are
h, percentages are exact fractions.

It does not know how a daily rate is estimated (it is given the rates), items, money, or how to print.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from plain_cells import add_days
from plain_fleet import Fleet, Vehicle, read_fleet
from plain_meters import KeptAndRefused, Meter, Rates, accumulated, changes_of, kept_readings, meters_of
from plain_points import DuePoint, Start, due_points, follow_up_points
from plain_tasks import METER_OF, ORDER, Service, Task, services_of, tasks_in_force


@dataclass(frozen=True)
class DueRow:
    """A row of due.csv before printing, in km, h, and km or h a day; distance_unit is that to print in."""

    vehicle_id: str
    task: str
    title: str
    status: str
    governed_by: str | None
    due_on: date | None
    days_left: int | None
    due_odometer: Decimal | None
    distance_left: Decimal | None
    due_hours: Decimal | None
    hours_left: Decimal | None
    distance_unit: str
    last_done_on: date | None
    last_done_odometer: Decimal | None
    odometer_now: Decimal | None
    odometer_read_on: date | None
    rate_per_day: Decimal | None
    late_by_pct: Fraction | None


@dataclass(frozen=True)
class WorkedOut:
    """due and occurrences by (vehicle_id, task); on_time (done, on time) by (class, YYYY-MM).

    refused_readings holds file, line, column and text of the cells judged implausible; kept is by
    (vehicle_id, meter).
    """

    due: dict[tuple[str, str], DueRow]
    on_time: dict[tuple[str, str], tuple[int, int]]
    refused_readings: set[tuple[str, int, str, str]]
    occurrences: dict[tuple[str, str], list[date]]
    kept: dict[tuple[str, str], KeptAndRefused]


@dataclass(frozen=True)
class Judged:
    """A due point against the as-of date. `left` is in km, h or days; on is None where there is no date."""

    point: DuePoint
    on: date | None
    left: Decimal | None
    past: bool
    workable: bool


@dataclass(frozen=True)
class Case:
    """One vehicle and all that is asked of it again and again."""

    fleet: Fleet
    vehicle: Vehicle
    as_of: date
    meters: dict[str, Meter]
    start: Start
    plan: dict[str, Task]
    services: dict[str, list[Service]]

    def points(self, task: Task, services: Sequence[Service], until: date) -> list[DuePoint]:
        """Where the task is due given `services`, and those up to `until` of the task it follows."""
        if task.after:
            parents = [service for service in self.services[task.after] if service.day <= until]
            return follow_up_points(task, parents, services)
        return due_points(task, self.start, services)

    def no_record(self, task: Task, services: Sequence[Service]) -> bool:
        """Whether nothing can be said because the records begin too late."""
        counts_from_a_record = bool(task.interval or task.first or task.every_year_on)
        return self.start.records_missing and counts_from_a_record and not services and not task.after


def work_out(fleet: Path, as_of: date, rates: Rates) -> WorkedOut:
    """Everything, from a clean folder. `rates`: km or h a day by (vehicle_id, meter), None where not known.

    Raises what `plain_fleet.read_fleet` raises.
    """
    read = read_fleet(fleet)
    kept = kept_readings(read, as_of)
    due: dict[tuple[str, str], DueRow] = {}
    occurrences: dict[tuple[str, str], list[date]] = {}
    on_time: dict[tuple[str, str], tuple[int, int]] = {}
    for vehicle in read.vehicles.values():
        case = case_of(read, vehicle, as_of, meters_of(vehicle.vehicle_id, kept, rates))
        count_on_time(case, on_time)
        if vehicle.in_service_on > as_of or (vehicle.retired_on and vehicle.retired_on <= as_of):
            continue
        for name, task in case.plan.items():
            row = due_row(case, task)
            due[vehicle.vehicle_id, name] = row
            occurrences[vehicle.vehicle_id, name] = times_it_comes_up(case, task, row)
    refused = {reading.cell for both in kept.values() for reading in both.refused}
    return WorkedOut(due, on_time, refused, occurrences, kept)


def case_of(fleet: Fleet, vehicle: Vehicle, as_of: date, meters: dict[str, Meter]) -> Case:
    """Gather what the tasks of one vehicle need."""
    at_start = {}
    for trigger, meter in METER_OF.items():
        changes = changes_of(fleet, vehicle.vehicle_id, meter, as_of)
        at_start[trigger] = accumulated(vehicle.in_service[meter], vehicle.in_service_on, changes)
    since = fleet.settings.records_from
    start = Start(vehicle.in_service_on, at_start, since is not None and since > vehicle.in_service_on)
    plan = tasks_in_force(fleet, vehicle)
    lines = [line for line in fleet.history if line.vehicle_id == vehicle.vehicle_id]
    names = {*plan, *(task.after for task in plan.values() if task.after)}
    services = {name: services_of(name, plan, lines, meters, as_of) for name in names}
    return Case(fleet, vehicle, as_of, meters, start, plan, services)


def judge(case: Case, point: DuePoint) -> Judged:
    """When the point is or was reached, and whether it is past."""
    if point.trigger not in METER_OF:
        assert point.on is not None
        days = (point.on - case.as_of).days
        return Judged(point, point.on, Decimal(days), days < 0, True)
    meter = case.meters[METER_OF[point.trigger]]
    now, last = meter.carried(case.as_of), meter.last
    if point.at is None or now is None or last is None:
        return Judged(point, None, None, False, False)
    left = point.at - now
    if left < 0 and not meter.rate:
        return Judged(point, last.day, left, True, True)
    if meter.rate is None:
        return Judged(point, None, None, False, False)
    if meter.rate == 0:
        return Judged(point, case.as_of if left == 0 else None, left, False, True)
    days = math.ceil(Fraction(left) / Fraction(meter.rate))
    on = add_days(case.as_of, days)
    return Judged(point, last.day if left < 0 and on is None else on, left, left < 0, True)


def soonest(judged: Sequence[Judged]) -> Judged | None:
    """The earliest that has a date; a tie in the order distance, hours, time, date."""
    dated = [(one.on, ORDER.index(one.point.trigger), one) for one in judged if one.on]
    return min(dated, key=lambda entry: entry[:2])[2] if dated else None


def status_of(case: Case, judged: Sequence[Judged], no_record: bool) -> str:
    """overdue, due, upcoming, later or unknown."""
    first = soonest(judged)
    days = (first.on - case.as_of).days if first and first.on else None
    if any(one.past for one in judged):
        return "overdue"
    if days is not None and days <= case.fleet.settings.due_days:
        return "due"
    if no_record or not all(one.workable for one in judged):
        return "unknown"
    if days is not None and days <= case.fleet.settings.horizon_days:
        return "upcoming"
    return "later"


def late_by_pct(judged: Sequence[Judged]) -> Fraction | None:
    """The greatest amount past, in per cent of the interval that led to it; None where nothing is past."""
    late = [
        Fraction(-one.left) / Fraction(one.point.interval) * 100
        for one in judged
        if one.past and one.left is not None and one.point.interval is not None
    ]
    return max(late, default=None)


def expiry_point(task: Task) -> list[DuePoint]:
    """The expiry of a task, if it has one."""
    return [DuePoint("date", None, task.expires_on, None)] if task.expires_on else []


def due_row(case: Case, task: Task) -> DueRow:
    """The row of one task."""
    services = case.services[task.task]
    points = case.points(task, services, case.as_of) + expiry_point(task)
    judged = [judge(case, point) for point in points]
    first = soonest(judged)
    due_on = first.on if first else None
    governed_by = first.point.trigger if first else None
    by_meter = {one.point.trigger: one for one in judged if one.point.trigger in METER_OF}
    distance, hours = by_meter.get("distance"), by_meter.get("hours")
    odometer = case.meters["odometer"]
    return DueRow(
        vehicle_id=case.vehicle.vehicle_id,
        task=task.task,
        title=task.title,
        status=status_of(case, judged, case.no_record(task, services)),
        governed_by=governed_by,
        due_on=due_on,
        days_left=(due_on - case.as_of).days if due_on else None,
        due_odometer=distance.point.at if distance else None,
        distance_left=distance.left if distance else None,
        due_hours=hours.point.at if hours else None,
        hours_left=hours.left if hours else None,
        distance_unit=case.fleet.settings.distance_unit,
        last_done_on=services[-1].day if services else None,
        last_done_odometer=services[-1].done["distance"] if services else None,
        odometer_now=odometer.carried(case.as_of),
        odometer_read_on=odometer.last.day if odometer.last else None,
        rate_per_day=case.meters["hours" if governed_by == "hours" else "odometer"].rate,
        late_by_pct=late_by_pct(judged),
    )


def times_it_comes_up(case: Case, task: Task, row: DueRow) -> list[date]:
    """The days up to the horizon: first max(A, due_on), each next as if the one before had been done.

    An expiry date after it comes up on its own.
    """
    services = case.services[task.task]
    if row.due_on is None:
        return []
    end = add_days(case.as_of, case.fleet.settings.horizon_days) or date.max
    imagined = list(services)
    days: list[date] = []
    day: date | None = max(case.as_of, row.due_on)
    while day is not None and day <= end:
        days.append(day)
        if task.after:
            break
        imagined.append(Service(day, {t: case.meters[m].carried(day) for t, m in METER_OF.items()}, True))
        points = case.points(task, imagined, case.as_of)
        points += [point for point in expiry_point(task) if point.on and point.on > day]
        first = soonest([judge(case, point) for point in points])
        next_day = add_days(day, 1)
        day = max(first.on, next_day) if first and first.on and next_day else None
    return days


def count_on_time(case: Case, on_time: dict[tuple[str, str], tuple[int, int]]) -> None:
    """Add the judged services of one vehicle to `on_time`."""
    for task in case.plan.values():
        services = case.services[task.task]
        for place, service in enumerate(services):
            points = case.points(task, services[:place], service.day)
            verdicts = [in_time(task, point, service) for point in points]
            judged = [verdict for verdict in verdicts if verdict is not None]
            if not service.own or not judged:
                continue
            key = (case.vehicle.vehicle_class, service.day.strftime("%Y-%m"))
            done, in_time_so_far = on_time.get(key, (0, 0))
            on_time[key] = (done + 1, in_time_so_far + all(judged))


def in_time(task: Task, point: DuePoint, service: Service) -> bool | None:
    """Whether the service passed the point by no more than the tolerance; None where that cannot be told."""
    assert point.interval is not None
    if point.on is not None:
        over = Decimal((service.day - point.on).days)
    else:
        done = service.done[point.trigger]
        if done is None or point.at is None:
            return None
        over = done - point.at
    return over * 100 <= task.tolerance_pct * point.interval
