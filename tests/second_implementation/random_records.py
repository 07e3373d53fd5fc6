"""What a random vehicle leaves behind: a course of driving, readings of it (some wrong) and lines of work.

Values come from coarse grids and many days are aimed, so that exact ties and boundaries occur often: a
service done exactly at the tolerance, half-way between two steps, due exactly on the as-of date, a gain of
exactly the most per day.

It does not know files, plans of tasks, or what the right answer is.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

from plain_cells import add_months

Cells = dict[str, str]


@dataclass
class Gauge:
    """A meter's true course in its own unit: what it gained since in service, and what it displays."""

    start: date
    first: float
    rate: int | None  # the same every day; None: erratic
    gained: Callable[[date], float]
    changes: list[tuple[date, float, float]] = field(default_factory=list)

    def true(self, day: date) -> float:
        """On the accumulated scale."""
        return self.first + self.gained(day)

    def shown(self, day: date, new_on_the_day: bool = True) -> float:
        """On the meter in the vehicle, the new one on the day of a change if asked."""
        value = self.true(day)
        for changed_on, final, first in self.changes:
            if day > changed_on or (day == changed_on and new_on_the_day):
                value -= final - first
        return value

    def change_on(self, rng: Random, day: date) -> None:
        """Fit another meter; a second-hand one may start above the end of the old one."""
        final = self.shown(day)
        first = rng.choice([0, 0, 0, 5000, final + 20000, final, max(0, final - 400)])
        self.changes.append((day, final, float(first)))


def make_gauge(rng: Random, start: date, first: float, rates: list[int], profile: str) -> Gauge:
    """A course of one profile: constant, stopped (at some day, or from the first), or erratic."""
    rate = rng.choice(rates)
    if profile == "constant":
        return Gauge(start, first, rate, lambda day: rate * max(0, (day - start).days))
    if profile == "stopped":
        ran = rng.choice([0, 0, 100, 300])
        return Gauge(start, first, None, lambda day: rate * min(ran, max(0, (day - start).days)))
    pace = [rng.choice([0, rate // 2, rate, 2 * rate]) for _ in range(500)]

    def gained(day: date) -> float:
        weeks, days = divmod(max(0, (day - start).days), 7)
        return sum(pace[:weeks]) * 7 + pace[weeks] * days

    return Gauge(start, first, None, gained)


def figure(value: float) -> str:
    """As typed: no decimals where there are none."""
    return str(int(value)) if value == int(value) else f"{value:.1f}"


def stamped(rng: Random, day: date, mode: str) -> str:
    """A day, or a moment on it from a coarse clock."""
    if mode == "date" or (mode == "mixed" and rng.random() < 0.5):
        return day.isoformat()
    clock = rng.choice(["06:00", "12:00", "18:00", "18:00:00"])
    return f"{day.isoformat()}{rng.choice(['T', ' '])}{clock}"


def mistyped(rng: Random, value: float) -> float:
    """A digit too many or too few, two swapped, or a slip of some thousands."""
    digits = str(int(value))
    choice = rng.randrange(4)
    if choice == 0:
        return value * 10
    if choice == 1:
        return float(digits[:-1] or "0")
    if choice == 2 and len(digits) > 2:
        place = rng.randrange(len(digits) - 1)
        return float(digits[:place] + digits[place + 1] + digits[place] + digits[place + 2 :])
    return max(0.0, value + rng.choice([-30000, -5000, 3000, 40000]))


def spoil(rng: Random, values: list[float]) -> list[float]:
    """Make some of the values wrong: single ones, a run of them, the first, the last, or two exchanged."""
    wrong = list(values)
    kind = rng.choice(["single", "run", "half", "first", "last", "swap", "rollback"])
    if kind == "swap" and len(wrong) > 2:
        place = rng.randrange(len(wrong) - 1)
        wrong[place], wrong[place + 1] = wrong[place + 1], wrong[place]
    elif kind in ("run", "half", "rollback") and len(wrong) > 3:
        length = len(wrong) // 2 if kind == "half" else rng.randint(2, 4)
        at = rng.randrange(max(1, len(wrong) - length + 1))
        shift = -rng.choice([1000, 20000]) if kind == "rollback" else rng.choice([50000, 7000])
        wrong[at : at + length] = [max(0.0, value + shift) for value in wrong[at : at + length]]
    else:
        at = {"first": 0, "last": len(wrong) - 1}.get(kind, rng.randrange(len(wrong)))
        wrong[at] = mistyped(rng, wrong[at])
    return wrong


def readings_of(
    rng: Random, vehicle: str, meter: str, gauge: Gauge, unit: str, as_of: date, how_many: int
) -> list[Cells]:
    """Rows of `readings` for one meter, some of them dated after the as-of date."""
    every, last = rng.choice([1, 7, 7, 14, 30]), as_of - timedelta(rng.choice([0, 0, 0, 1, 3, 10, 30, 200]))
    days = [last - timedelta(every * back) for back in range(how_many)]
    days += [as_of + timedelta(rng.choice([1, 7, 20])) for _ in range(rng.randrange(3))] if how_many else []
    days += [day for day in days if rng.random() < 0.08]
    days = sorted(day for day in days if day >= gauge.start)
    moments = [(day, gauge.shown(day)) for day in days]
    for changed_on, final, first in gauge.changes:
        middle = rng.choice([final, first, (final + first) / 2])
        moments += [(changed_on, value) for value in (final, first, middle) if rng.random() < 0.6]
    moments.sort()
    values = [value + rng.choice([0] * 12 + [0.5, 20]) * (gauge.rate is None) for _, value in moments]
    if len(values) > 1 and rng.random() < 0.35:
        values = spoil(rng, values)
    mode = rng.choice(["date", "date", "time", "mixed"])
    rows = [
        {"read_at": stamped(rng, day, mode), "reading": figure(value)}
        for (day, _), value in zip(moments, values, strict=True)
    ]
    if rows and gauge.rate is None and rng.random() < 0.5:
        rows += brink(rng, gauge, meter, as_of)
    for row in rows:
        row["vehicle_id"] = vehicle
        row["meter"] = meter if meter == "hours" else rng.choice([meter, meter, ""])
        row["unit"] = rng.choice(["", unit])
        row["source"] = rng.choice(["", "depot", "driver"])
    return rows


def brink(rng: Random, gauge: Gauge, meter: str, as_of: date) -> list[Cells]:
    """Two readings whose gain is exactly the most per day, or a little more."""
    most = 1500 if meter == "odometer" else 24
    day = max(gauge.start, as_of - timedelta(rng.choice([2, 5, 9])))
    value = gauge.shown(day)
    over = rng.choice([0, 0, 1])
    early, late, days = rng.choice([("T06:00", "T18:00", 1.5), ("", "T18:00", 1), ("", "", 1), ("T18:00", "T06:00", 1)])
    return [
        {"read_at": day.isoformat() + early, "reading": figure(value)},
        {"read_at": (day + timedelta(1)).isoformat() + late, "reading": figure(value + most * days + over)},
    ]


def days_for(rng: Random, trigger: str, length: float, gauge: Gauge, since: date) -> date | None:
    """The day one interval after `since`, by the calendar or by a meter of constant rate."""
    if trigger == "months":
        return add_months(since, int(length))
    if gauge.rate:
        return since + timedelta(int(length // gauge.rate))
    return since + timedelta(rng.choice([30, 60, 90, 182]))


def half_way(rng: Random, trigger: str, length: float, gauge: Gauge, since: date) -> date | None:
    """A day exactly half-way between two steps, where there is one."""
    if trigger == "months":
        step = rng.randint(1, 3)
        here, there = (
            add_months(gauge.start, int(length) * step),
            add_months(gauge.start, int(length) * (step + 1)),
        )
        return here + (there - here) // 2 if here and there else None
    if gauge.rate:
        step = int(gauge.true(since) // length) + 1
        ahead = (step + 0.5) * length - gauge.first
        return gauge.start + timedelta(int(ahead // gauge.rate))
    return None


def service_days(rng: Random, cells: Cells, gauges: dict[str, Gauge], as_of: date, ahead: list[int]) -> list[date]:
    """Days a task was done, aimed at due points, tolerances, half-way points and days `ahead` of A."""
    names = [n for n in ("distance", "hours", "months") if cells.get(f"every_{n}") or cells.get(f"first_{n}")]
    start = gauges["distance"].start
    if not names or rng.random() < 0.15:
        return [start + timedelta(rng.randrange(1, 700))] if rng.random() < 0.5 else []
    metered = [name for name in names if name in gauges and gauges[name].rate]
    name = rng.choice(metered if metered and rng.random() < 0.5 else names)
    gauge = gauges.get(name, gauges["distance"])
    length = float(cells.get(f"every_{name}") or cells[f"first_{name}"])
    first = float(cells.get(f"first_{name}") or length)
    share = float(cells.get("late_tolerance_pct") or 10) / 100
    days: list[date] = []
    day = days_for(rng, name, first, gauge, start)
    while day and day <= as_of + timedelta(30) and len(days) < 60:
        since = days[-1] if days else start
        slack = int((day - since).days * share)
        day += timedelta(rng.choice([0, 0, 0, slack, -slack, slack + 1, -slack - 1, 10, -10, 3 * slack]))
        if cells.get("basis") == "fixed" and rng.random() < 0.5:
            day = half_way(rng, name, length, gauge, day) or day
        day = max(day, since + timedelta(1))
        days.append(day)
        day = days_for(rng, name, length, gauge, day)
    days = days[-rng.choice([1, 3, 8]) :]
    if rng.random() < 0.7:
        days = aimed_last(name, length, gauge, days, as_of + timedelta(rng.choice(ahead)), as_of)
    return days


def aimed_last(name: str, length: float, gauge: Gauge, days: list[date], due: date, as_of: date) -> list[date]:
    """The same days, but the last done one interval before `due`."""
    last = add_months(due, -int(length)) if name == "months" else None
    if name != "months" and gauge.rate:
        last = due - timedelta(int(length // gauge.rate))
    if last is None or not gauge.start < last <= as_of:
        return days
    return [day for day in days if day < last] + [last]


def lines_for(
    rng: Random, vehicle: str, task: str, day: date, gauges: dict[str, Gauge], unit: str, wrong: float
) -> list[Cells]:
    """One or two rows of `history` for a day of work."""
    gauge, hours = gauges["distance"], gauges.get("hours")
    row = {"vehicle_id": vehicle, "done_on": day.isoformat(), "task": task}
    row["kind"] = rng.choice(["", "", "scheduled", "scheduled", "repair", "check"] + ["top_up"] * (rng.random() < 0.3))
    row["unit"] = rng.choice(["", unit])
    if rng.random() < 0.75:
        value = gauge.shown(day, rng.random() < 0.7)
        row["odometer"] = figure(mistyped(rng, value) if rng.random() < wrong else max(0, value))
    if hours and rng.random() < 0.6:
        value = hours.shown(day)
        row["hours"] = figure(mistyped(rng, value) if rng.random() < wrong else max(0, value))
    if rng.random() < 0.2:
        row |= {"item": "oil_5w30", "quantity": rng.choice(["5", "5.5"]), "parts_cost": "40.00"}
    rows = [row]
    if rng.random() < 0.1:
        again = dict(row, invoice="B2", kind=rng.choice(["scheduled", "top_up"]))
        if "odometer" in row and gauge.rate is None:
            again["odometer"] = figure(float(row["odometer"]) + rng.choice([0, 10]))
        rows.append(again)
    return rows
