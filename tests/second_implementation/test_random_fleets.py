"""The random fleets reach every rule of the arithmetic many times, and the same seed gives the same bytes.

A counter of what arose over 200 seeds is held against `AT_LEAST`, about half of what was counted when this
was written: a generator that stops producing a case fails here instead of silently testing less.
"""

import re
from collections import Counter
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import plain_due
import plain_points
import pytest
from plain_cells import add_months, load, moment, raw_rows
from plain_due import DueRow, Judged, WorkedOut, work_out
from plain_fleet import Fleet, Vehicle, read_fleet
from plain_meters import KeptAndRefused, constant_rate, could_follow, days_apart, in_order
from plain_tasks import Service, Task, doers_of, tasks_in_force
from random_fleets import plain_rates, write_random_fleet

# fmt: off
AT_LEAST = {
    "1 intervals": 1068, "2 intervals": 1033, "3 intervals": 359, "anchored, distance": 580,
    "anchored, done": 652, "anchored, hours": 306, "anchored, never done": 180, "anchored, time": 544,
    "anchored: exactly at the tolerance": 97, "anchored: inside": 8021, "anchored: outside by up to 2 %": 872,
    "constant rate of hours": 121, "constant rate of odometer": 255, "covered by another": 1297,
    "covered in a chain": 451, "due exactly on A": 161, "due on the last day of `due`": 77,
    "due on the last day of the horizon": 31, "due the day after": 65, "due the day after the horizon": 53,
    "expiry alone": 195, "expiry beside others": 128, "first_* of its own, never done": 183,
    "fixed with first_*, never done": 123, "fixed, distance": 570, "fixed, done": 637, "fixed, hours": 266,
    "fixed, never done": 198, "fixed, time": 575, "fixed: before step 1": 1116,
    "fixed: half-way between two dates": 40, "fixed: half-way between two steps of a meter": 117,
    "follow-up not pending": 347, "follow-up pending": 149, "gain of exactly the most per day": 24,
    "governed by None": 681, "governed by date": 501, "governed by distance": 1179, "governed by hours": 204,
    "governed by time": 924, "history after A": 770, "history in a folder": 51, "history repeated": 65,
    "history without odometer": 1913, "in a circle of covers": 436, "in miles": 200,
    "last_done, distance": 545, "last_done, done": 610, "last_done, hours": 285, "last_done, never done": 183,
    "last_done, time": 539, "late": 2170, "left exactly 0": 33, "meter changes after A": 85,
    "meter changes of hours": 131, "meter changes, first above final": 80, "no record": 156,
    "no record, but an expiry": 46, "not yet in service": 22, "occurrences 0": 1378, "occurrences 1": 1201,
    "occurrences 2": 377, "occurrences 3": 533, "on time": 2934, "on time: exactly at the tolerance": 82,
    "one reading only": 363, "only first_*, done": 175, "only first_*, never done": 48,
    "overdue and due on A": 15, "overdue without a per cent": 69, "own distance_unit": 169,
    "own tasks and cells": 466, "rate 0": 191, "rate none": 107, "readings after A": 1042,
    "readings in a folder": 47, "readings on the day of a change": 852, "readings repeated": 123,
    "records_from after in service False": 98, "records_from after in service True": 127, "refused hours": 73,
    "refused in_service_hours": 3, "refused in_service_odometer": 8, "refused odometer": 303,
    "refused reading": 753, "retired after A": 32, "retired before A": 27, "retired on A": 12,
    "several lines a day": 683, "several refused in a row": 282, "severe duty": 1210, "status due": 321,
    "status later": 1026, "status overdue": 1193, "status unknown": 456, "status upcoming": 493,
    "the same, by part of a day": 8, "top_up with a task": 605, "two largest sets": 159,
    "two triggers on the earliest day": 27, "with and without a time": 244, "with times": 157,
    "yearly on 29 February": 70, "yearly, done": 362, "yearly, never done": 141,
}
# fmt: on


def test_the_same_seed_writes_the_same_bytes(tmp_path: Path) -> None:
    both = []
    for name in ("one", "two"):
        as_of = write_random_fleet(tmp_path / name, 7)
        files = sorted((tmp_path / name).rglob("*.*"))
        both.append((as_of, [(f.relative_to(tmp_path / name), f.read_bytes()) for f in files if f.is_file()]))
    assert both[0] == both[1]
    assert len(both[0][1]) >= 4


def test_all_dates_lie_within_2019_to_2027(tmp_path: Path) -> None:
    for seed in range(60):
        as_of = write_random_fleet(tmp_path / str(seed), seed)
        text = as_of.isoformat() + "".join(f.read_text() for f in (tmp_path / str(seed)).rglob("*.csv"))
        years = {int(year) for year in re.findall(r"(\d{4})-\d\d-\d\d", text)}
        assert years <= set(range(2019, 2028))
        assert years


def test_random_fleets_reach_every_rule_many_times(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: Counter[str] = Counter()
    watch_boundaries(monkeypatch, seen)
    for seed in range(200):
        folder = tmp_path / str(seed)
        as_of = write_random_fleet(folder, seed)
        worked = work_out(folder, as_of, plain_rates(folder, as_of))
        fleet = read_fleet(folder)
        plans = {name: tasks_in_force(fleet, vehicle) for name, vehicle in fleet.vehicles.items()}
        for (vehicle, name), row in worked.due.items():
            count_row(fleet, fleet.vehicles[vehicle], plans[vehicle], row, seen)
            seen[f"occurrences {min(3, len(worked.occurrences[vehicle, name]))}"] += 1
        count_folder(folder, fleet, as_of, seen)
        count_meters(fleet, worked, seen)
        seen["on time"] += sum(good for _, good in worked.on_time.values())
        seen["late"] += sum(done - good for done, good in worked.on_time.values())
    print("", *sorted(seen.items()), sep="\n")
    assert {name: seen[name] for name, least in AT_LEAST.items() if seen[name] < least} == {}


def watch_boundaries(monkeypatch: pytest.MonkeyPatch, seen: Counter[str]) -> None:
    """Count exact ties where they are decided."""
    within, nearest, time_step = (
        plain_points.within_tolerance,
        plain_points.nearest_meter_step,
        plain_points.nearest_time_step,
    )
    in_time, soonest = plain_due.in_time, plain_due.soonest

    def watched_within(off: Decimal, interval: Decimal, tolerance_pct: Decimal) -> bool:
        beyond = abs(off) * 100 - tolerance_pct * interval
        seen["anchored: exactly at the tolerance"] += beyond == 0 and off != 0
        seen["anchored: outside by up to 2 %"] += 0 < beyond <= 2 * interval
        seen["anchored: inside"] += beyond < 0
        return within(off, interval, tolerance_pct)

    def watched_nearest(interval: Decimal, done: Decimal) -> int:
        seen["fixed: half-way between two steps of a meter"] += (done / interval) % 1 == Decimal("0.5")
        seen["fixed: before step 1"] += done < interval
        return nearest(interval, done)

    def watched_time_step(start: date, months: Decimal, day: date) -> int:
        step = time_step(start, months, day)
        here, before = (add_months(start, k * int(months)) for k in (step, step - 1))
        seen["fixed: half-way between two dates"] += bool(here and before and here - day == day - before)
        return step

    def watched_in_time(task: Task, point: plain_points.DuePoint, service: Service) -> bool | None:
        if point.on is not None and point.interval is not None:
            over = Decimal((service.day - point.on).days) * 100 - task.tolerance_pct * point.interval
            seen["on time: exactly at the tolerance"] += over == 0
        elif point.at is not None and point.interval is not None:
            over = ((service.done[point.trigger] or 0) - point.at) * 100 - task.tolerance_pct * point.interval
            seen["on time: exactly at the tolerance"] += over == 0
        return in_time(task, point, service)

    def watched_soonest(judged: Sequence[Judged]) -> Judged | None:
        days = sorted(one.on for one in judged if one.on)
        seen["two triggers on the earliest day"] += len(days) > 1 and days[0] == days[1]
        return soonest(judged)

    monkeypatch.setattr(plain_points, "within_tolerance", watched_within)
    monkeypatch.setattr(plain_points, "nearest_meter_step", watched_nearest)
    monkeypatch.setattr(plain_points, "nearest_time_step", watched_time_step)
    monkeypatch.setattr(plain_due, "in_time", watched_in_time)
    monkeypatch.setattr(plain_due, "soonest", watched_soonest)


def count_row(fleet: Fleet, vehicle: Vehicle, plan: dict[str, Task], row: DueRow, seen: Counter[str]) -> None:
    """The status, the trigger, the basis and the boundaries of one row of due.csv."""
    task, since = plan[row.task], fleet.settings.records_from
    done = "never done" if row.last_done_on is None else "done"
    no_record = since is not None and since > vehicle.in_service_on and done == "never done"
    seen[f"status {row.status}"] += 1
    seen[f"governed by {row.governed_by}"] += 1
    if task.after:
        seen[f"follow-up {'pending' if row.due_on else 'not pending'}"] += 1
    elif task.interval:
        seen[f"{task.basis}, {done}"] += 1
        seen.update(f"{task.basis}, {trigger}" for trigger in task.interval)
        seen[f"{len(task.interval)} intervals"] += 1
    seen["only first_*, " + done] += bool(task.first and not task.interval and not task.after)
    seen["first_* of its own, never done"] += bool(task.first and task.interval and done == "never done")
    seen["fixed with first_*, never done"] += bool(task.first) and task.basis == "fixed" and done == "never done"
    seen["yearly, " + done] += bool(task.every_year_on)
    seen["yearly on 29 February"] += task.every_year_on == "02-29"
    seen["no record"] += no_record and not task.after
    seen["no record, but an expiry"] += no_record and task.expires_on is not None
    seen["expiry alone"] += task.expires_on is not None and not (task.first or task.interval or task.every_year_on)
    seen["expiry beside others"] += task.expires_on is not None and bool(task.interval)
    seen["left exactly 0"] += row.distance_left == 0 or row.hours_left == 0
    seen["due exactly on A"] += row.days_left == 0
    seen["due on the last day of `due`"] += row.days_left == fleet.settings.due_days
    seen["due the day after"] += row.days_left == fleet.settings.due_days + 1
    seen["due on the last day of the horizon"] += row.days_left == fleet.settings.horizon_days
    seen["due the day after the horizon"] += row.days_left == fleet.settings.horizon_days + 1
    seen["overdue and due on A"] += row.status == "overdue" and row.days_left == 0
    seen["overdue without a per cent"] += row.status == "overdue" and row.late_by_pct is None
    seen["severe duty"] += vehicle.severe
    doers = doers_of(row.task, plan)
    seen["covered by another"] += len(doers) > 1
    seen["covered in a chain"] += any(row.task not in plan[other].covers for other in doers - {row.task})
    seen["in a circle of covers"] += any(row.task in doers_of(other, plan) for other in doers - {row.task})
    seen["rate 0"] += row.rate_per_day == 0
    seen["rate none"] += row.rate_per_day is None


def count_folder(folder: Path, fleet: Fleet, as_of: date, seen: Counter[str]) -> None:
    """What the files hold."""
    for table in ("readings", "history"):
        rows = list(raw_rows(folder, table, needed=False))
        seen[f"{table} in a folder"] += (folder / table).is_dir()
        seen[f"{table} repeated"] += len(rows) - len({tuple(sorted(row.raw.items())) for row in rows})
        for row in rows:
            day = moment(row.raw["read_at"])[0] if table == "readings" else date.fromisoformat(row.raw["done_on"])
            seen[f"{table} after A"] += day > as_of
    seen["history without odometer"] += sum(not row.cells["odometer"] for row in load(folder, "history"))
    seen["top_up with a task"] += sum(line.kind == "top_up" and line.task != "" for line in fleet.history)
    days = Counter((line.vehicle_id, line.task, line.day) for line in fleet.history)
    seen["several lines a day"] += sum(count > 1 for count in days.values())
    seen["own tasks and cells"] += len(fleet.vehicle_tasks)
    seen["own distance_unit"] += sum(bool(cells["distance_unit"]) for cells in fleet.vehicle_tasks.values())
    for change in fleet.meter_changes:
        seen["meter changes, first above final"] += change.first > change.final
        seen["meter changes after A"] += change.day > as_of
        seen["meter changes of hours"] += change.meter == "hours"
        key = (change.vehicle_id, change.meter, change.day)
        same_day = [w for w in fleet.written if (w.vehicle_id, w.meter, w.day) == key]
        seen["readings on the day of a change"] += len(same_day)
    for vehicle in fleet.vehicles.values():
        seen["not yet in service"] += vehicle.in_service_on > as_of
        seen["in miles"] += vehicle.distance_unit == "mi"
        if vehicle.retired_on:
            seen["retired " + ("before A", "on A", "after A")[sign((vehicle.retired_on - as_of).days) + 1]] += 1
        if fleet.settings.records_from:
            seen[f"records_from after in service {fleet.settings.records_from > vehicle.in_service_on}"] += 1


def sign(number: int) -> int:
    return (number > 0) - (number < 0)


def count_meters(fleet: Fleet, worked: WorkedOut, seen: Counter[str]) -> None:
    """Which readings were refused, and how."""
    seen.update(f"refused {column}" for _, _, column, _ in worked.refused_readings)
    for (_, meter), both in worked.kept.items():
        most = fleet.settings.most_per_day[meter]
        rate = constant_rate(both.kept)
        seen[f"constant rate of {meter}"] += rate is not None and rate > 0
        seen["one reading only"] += len(both.kept) + len(both.refused) == 1
        seen["two largest sets"] += largest_sets(both, most) > 1
        seen["several refused in a row"] += sum(refused_in_a_row(both))
        clocks = {reading.clock is None for reading in both.kept if reading.column == "reading"}
        seen["with and without a time"] += len(clocks) == 2
        seen["with times"] += clocks == {False}
        for earlier, later in pairwise(both.kept):
            allowed = Fraction(most) * max(Fraction(1), days_apart(earlier, later))
            seen["gain of exactly the most per day"] += Fraction(later.value - earlier.value) == allowed
            seen["the same, by part of a day"] += (
                Fraction(later.value - earlier.value) == allowed and days_apart(earlier, later).denominator > 1
            )


def largest_sets(both: KeptAndRefused, most: Decimal) -> int:
    """How many sets of readings are as large as the one kept."""
    ordered = in_order(both.kept + both.refused)
    length, ways = [1] * len(ordered), [1] * len(ordered)
    for b in range(len(ordered)):
        for a in range(b):
            if could_follow(ordered[a], ordered[b], most):
                if length[a] + 1 > length[b]:
                    length[b], ways[b] = length[a] + 1, 0
                ways[b] += ways[a] * (length[a] + 1 == length[b])
    return sum(w for size, w in zip(length, ways, strict=True) if size == max(length))


def refused_in_a_row(both: KeptAndRefused) -> list[bool]:
    """Whether each refused reading stands next to another refused one."""
    ordered = in_order(both.kept + both.refused)
    places = [place for place, reading in enumerate(ordered) if reading.cell in {r.cell for r in both.refused}]
    return [place + 1 in places for place in places]
