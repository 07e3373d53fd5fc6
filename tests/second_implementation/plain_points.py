"""Where a task falls due, trigger by trigger, given the services so far.

It is used alike for today, for judging a past service (given those before it) and for looking ahead (given
imagined ones).

It does not know the as-of date, a status, or when a meter will reach a due point.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_FLOOR, Decimal

from plain_cells import add_months
from plain_tasks import COLUMN_OF, Service, Task

ONE_YEARS_LEAD = timedelta(days=60)


@dataclass(frozen=True)
class DuePoint:
    """Where one trigger falls due: `at` (km, h) for a meter, `on` for a date.

    Both are None for a meter trigger that cannot be worked out. `interval` is the one that led here, in km,
    h or days; None for an expiry.
    """

    trigger: str
    at: Decimal | None
    on: date | None
    interval: Decimal | None


@dataclass(frozen=True)
class Start:
    """Where never-done tasks count from: in service, by trigger on the accumulated scale."""

    day: date
    at: dict[str, Decimal]
    records_missing: bool


def due_points(task: Task, start: Start, services: Sequence[Service]) -> list[DuePoint]:
    """Where a task that is no follow-up is due after the services so far; expiries left out.

    Empty where nothing is pending, and where records are missing and the task was never recorded.
    """
    if not services and start.records_missing:
        return []
    points = [year_point(task.every_year_on, start, services)] if task.every_year_on else []
    for trigger in COLUMN_OF:
        if not services:
            points.append(first_point(task, trigger, start))
        elif trigger not in task.interval:
            continue  # a first_* alone has no say once the task was done
        elif task.basis == "fixed":
            points.append(step_after(trigger, task.interval[trigger], start, services[-1]))
        elif task.basis == "anchored":
            points.append(anchored_point(task, trigger, start, services))
        else:
            points.append(further(trigger, services[-1], task.interval[trigger]))
    return [point for point in points if point is not None]


def further(trigger: str, service: Service, interval: Decimal) -> DuePoint | None:
    """A point one interval after a service."""
    if trigger == "time":
        return later_by_months(service.day, interval)
    return later_by_meter(trigger, service.done[trigger], interval)


def later_by_months(day: date, months: Decimal) -> DuePoint | None:
    """A date `months` after `day`; None beyond the calendar."""
    on = add_months(day, int(months))
    return DuePoint("time", None, on, Decimal((on - day).days)) if on else None


def later_by_meter(trigger: str, at: Decimal | None, interval: Decimal) -> DuePoint:
    """A meter value one interval after `at`."""
    return DuePoint(trigger, None if at is None else at + interval, None, interval)


def first_point(task: Task, trigger: str, start: Start) -> DuePoint | None:
    """Where a task never done is due: first_* after in service, else an interval after it or the step."""
    if trigger not in task.first and trigger not in task.interval:
        return None
    length = task.first.get(trigger, task.interval.get(trigger, Decimal(0)))
    if task.basis == "fixed" and trigger not in task.first:
        if trigger == "time":
            return time_step(start.day, length, 1)
        steps = max(1, int((start.at[trigger] / length).to_integral_value(ROUND_FLOOR)) + 1)
        return DuePoint(trigger, steps * length, None, length)
    if trigger == "time":
        return later_by_months(start.day, length)
    return later_by_meter(trigger, start.at[trigger], length)


def step_after(trigger: str, interval: Decimal, start: Start, service: Service) -> DuePoint | None:
    """Basis fixed: the step after the one nearest to the service, a tie for the later, never below step 1."""
    if trigger == "time":
        return time_step(start.day, interval, nearest_time_step(start.day, interval, service.day) + 1)
    done = service.done[trigger]
    if done is None:
        return DuePoint(trigger, None, None, interval)
    return DuePoint(trigger, (nearest_meter_step(interval, done) + 1) * interval, None, interval)


def nearest_meter_step(interval: Decimal, done: Decimal) -> int:
    """The k >= 1 for which k x interval is nearest to `done`, the later one of two."""
    below = max(1, int((done / interval).to_integral_value(ROUND_FLOOR)))
    return below + 1 if (below + 1) * interval - done <= done - below * interval else below


def nearest_time_step(start: date, months: Decimal, day: date) -> int:
    """The k >= 1 for which `start` + k x months is nearest to `day` by days, the later one of two."""
    step = 1
    while True:
        here, there = add_months(start, step * int(months)), add_months(start, (step + 1) * int(months))
        if here is None or there is None or there - day > abs(day - here):
            return step
        step += 1


def time_step(start: date, months: Decimal, step: int) -> DuePoint | None:
    """Step k of time, counted from in service; its length is that from the step before."""
    on, before = add_months(start, step * int(months)), add_months(start, (step - 1) * int(months))
    return DuePoint("time", None, on, Decimal((on - before).days)) if on and before else None


def within_tolerance(off: Decimal, interval: Decimal, tolerance_pct: Decimal) -> bool:
    """Whether a service `off` its due point (early or late) still counts as done there."""
    return abs(off) * 100 <= tolerance_pct * interval


def done_near(point: DuePoint, service: Service, tolerance_pct: Decimal) -> bool:
    """Whether a service was done within the tolerance of a due point; not where that cannot be told."""
    assert point.interval is not None
    if point.on is not None:
        return within_tolerance(Decimal((service.day - point.on).days), point.interval, tolerance_pct)
    done = service.done[point.trigger]
    if done is None or point.at is None:
        return False
    return within_tolerance(done - point.at, point.interval, tolerance_pct)


def anchored_point(task: Task, trigger: str, start: Start, services: Sequence[Service]) -> DuePoint | None:
    """Basis anchored, service by service: the anchor is the due point if done near it, else the service."""
    expected = None if start.records_missing else first_point(task, trigger, start)
    for service in services:
        anchor = service
        if expected is not None and done_near(expected, service, task.tolerance_pct):
            anchor = Service(expected.on or service.day, {trigger: expected.at}, service.own)
        expected = further(trigger, anchor, task.interval[trigger])
    return expected


def year_point(month_day: str, start: Start, services: Sequence[Service]) -> DuePoint | None:
    """The yearly day due: the first after in service, or the one after that which the last service served."""
    year = start.day.year if not services else services[-1].day.year - 1
    while year < 9999:
        here, there = day_of_year(month_day, year), day_of_year(month_day, year + 1)
        if not services and here > start.day:
            return DuePoint("date", None, here, Decimal((here - day_of_year(month_day, year - 1)).days))
        if services and here - ONE_YEARS_LEAD <= services[-1].day < there - ONE_YEARS_LEAD:
            return DuePoint("date", None, there, Decimal((there - here).days))
        year += 1
    return None


def day_of_year(month_day: str, year: int) -> date:
    """MM-DD in a year; 29 February is the 28th in a common year."""
    month, day = map(int, month_day.split("-"))
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, month, day - 1)


def follow_up_points(task: Task, parents: Sequence[Service], services: Sequence[Service]) -> list[DuePoint]:
    """Where a follow-up is due after the last service of its parent; empty where it was met, or none."""
    if not parents or (services and services[-1].day >= parents[-1].day):
        return []
    points = [further(trigger, parents[-1], length) for trigger, length in task.first.items()]
    return [point for point in points if point is not None]
