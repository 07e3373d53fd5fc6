"""Clean series of meter readings, a slip planted in one of them, and what the diagnosis makes of it.

    python tests/planted_slips.py [--series 400] [--buses readings.csv]

prints, for each kind of slip, how many readings were refused, and for how many of these the kind and the suggestion
were the true ones. `--buses` takes a CSV file with columns vehicle_id, read_on and odometer_mi, and plants in its
series as well. Everything is drawn from a seed.
"""

import argparse
import csv
import random
from collections import Counter
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from fleetreport.meters.believed import DAY, longest_chain
from fleetreport.meters.diagnose import EPOCH, Diagnosis, OtherVehicle, diagnose_meter
from fleetreport.meters.restarts import MeterChange, Reading, to_units
from fleetreport.meters.slips import KM_PER_MILE

MOST = {"km": 1500, "mi": 1500, "h": 24}
LIMIT = 100_000


class Series(NamedTuple):
    """One vehicle's true readings: times in microseconds, numbers in `unit`."""

    name: str
    unit: str
    points: list[tuple[int, Decimal]]


class Planted(NamedTuple):
    """A series with one slip in it: `at` is the place of the slipped reading, `truth` what should be suggested."""

    points: list[tuple[int, Decimal]]
    at: int
    truth: str


def microseconds(day: date, hour: int = 0) -> int:
    return (datetime(day.year, day.month, day.day, hour) - EPOCH) // timedelta(microseconds=1)


def daily_car(chance: random.Random, name: str) -> Series:
    """Read on most working days at the end of the shift, whole km."""
    return _driven(
        chance, name, "km", every=1, skipped=0.3, a_day=chance.uniform(15, 90), start=chance.randint(9, 180_000)
    )


def weekly_truck(chance: random.Random, name: str) -> Series:
    """Read once a week, whole mi."""
    return _driven(
        chance, name, "mi", every=7, skipped=0.1, a_day=chance.uniform(60, 300), start=chance.randint(99, 500_000)
    )


def hour_meter(chance: random.Random, name: str) -> Series:
    """Read every few days, tenths of an hour."""
    return _driven(
        chance, name, "h", every=3, skipped=0.2, a_day=chance.uniform(2, 9), start=chance.randint(100, 15_000)
    )


def _driven(
    chance: random.Random, name: str, unit: str, every: int, skipped: float, a_day: float, start: int
) -> Series:
    reading, day, points = float(start), date(2024, chance.randint(1, 12), chance.randint(1, 28)), []
    places = Decimal("0.1") if unit == "h" else Decimal(1)
    for _ in range(chance.randint(60, 150)):
        for _ in range(every):
            day += timedelta(days=1)
            reading += min(MOST[unit] * 0.6, a_day * chance.gammavariate(2, 0.5))
        if chance.random() >= skipped:
            hour = 17 if every == 1 else 0
            points.append((microseconds(day, hour), Decimal(reading).quantize(places)))
    return Series(name, unit, points)


def bus_series(path: Path) -> list[Series]:
    """The series of a CSV file, one a vehicle, whole mi."""
    found: dict[str, list[tuple[int, Decimal]]] = {}
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            point = microseconds(date.fromisoformat(row["read_on"])), Decimal(row["odometer_mi"])
            found.setdefault(row["vehicle_id"], []).append(point)
    return [Series(name, "mi", sorted(points)) for name, points in found.items() if len(points) >= 20]


def plant(kind: str, series: Series, fleet: Sequence[Series], chance: random.Random) -> Planted | None:
    """A slip of one kind in one reading, or None where this series has no reading that it could befall."""
    at = chance.randrange(1, len(series.points))
    time, number = series.points[at]
    if kind in ("date slip", "clock slip"):
        return _planted_time(kind, series, at, chance)
    if kind == "another vehicle":
        same_day = [n for s in fleet for t, n in s.points if s is not series and s.unit == series.unit and t == time]
        names = [s.name for s in fleet for t, _ in s.points if s is not series and s.unit == series.unit and t == time]
        if not names:
            return None
        pick = chance.randrange(len(names))
        wrong, truth = same_day[pick], names[pick]
    else:
        slipped = _wrong_number(kind, number, series.unit, chance)
        if slipped is None:
            return None
        wrong, truth = slipped, _plain(number)
    points = series.points.copy()
    points[at] = (time, wrong)
    return Planted(points, at, truth)


def _wrong_number(kind: str, number: Decimal, unit: str, chance: random.Random) -> Decimal | None:
    text = str(number)
    digits = [i for i, c in enumerate(text) if c.isdigit()]
    i = chance.choice(digits)
    if kind == "none":  # a number made up
        return Decimal(chance.randrange(1, 2 * int(number) + 2))
    if kind == "digit lost":
        return Decimal(text[:i] + text[i + 1 :]) if len(digits) > 2 else None
    if kind == "digit added":
        return Decimal(text[:i] + chance.choice("0123456789") + text[i:]) if i else None
    if kind == "wrong digit":
        return Decimal(text[:i] + chance.choice([d for d in "0123456789" if d != text[i]]) + text[i + 1 :])
    if kind == "digits swapped":
        j = i + 1
        return Decimal(text[:i] + text[j] + text[i] + text[j + 1 :]) if j in digits else None
    if kind == "miles as km" and unit == "km":
        return (number / KM_PER_MILE).quantize(Decimal(1))
    if kind == "km as miles" and unit == "mi":
        return (number * KM_PER_MILE).quantize(Decimal(1))
    return None


def _planted_time(kind: str, series: Series, at: int, chance: random.Random) -> Planted | None:
    time, number = series.points[at]
    true = EPOCH + timedelta(microseconds=time)
    try:
        if kind == "clock slip":
            wrong = true + timedelta(hours=chance.choice((-12, 12))) if true.hour else None
        else:
            month = (true.month + chance.choice((0, -2))) % 12 + 1
            wrong = chance.choice([
                lambda: true.replace(year=true.year - 1), lambda: true.replace(year=true.year + 1),
                lambda: true.replace(month=month) if abs(month - true.month) == 1 else None,
                lambda: true.replace(month=true.day, day=true.month) if true.day != true.month else None,
            ])()  # fmt: skip
    except ValueError:
        return None
    last = EPOCH + timedelta(microseconds=series.points[-1][0])
    if wrong is None or wrong > last:
        return None
    moved = (wrong - EPOCH) // timedelta(microseconds=1)
    points = sorted([*series.points[:at], *series.points[at + 1 :], (moved, number)])
    truth = true.date().isoformat() if kind == "date slip" else true.isoformat(timespec="minutes")
    return Planted(points, points.index((moved, number)), truth)


def roll_over(series: Series) -> Planted | None:
    """The series as an odometer of five figures shows it; the place of the first reading after it began again."""
    after = [i for i, (_, n) in enumerate(series.points) if n >= LIMIT]
    if not after or after[0] == 0 or series.points[0][1] >= LIMIT or series.points[-1][1] >= 2 * LIMIT:
        return None
    points = [(t, n - LIMIT if n >= LIMIT else n) for t, n in series.points]
    return Planted(points, after[0], _plain(series.points[after[0]][1]))


def exchange(series: Series, chance: random.Random) -> Planted:
    """The series with a new meter put in, unreported, on the way from one reading to the next."""
    at = chance.randrange(4, len(series.points) - 4)
    before, after = series.points[at - 1][1], series.points[at][1]
    final = before + (after - before) * chance.randrange(10) / 10
    points = series.points[:at] + [(t, n - final) for t, n in series.points[at:]]
    return Planted(points, at, _plain(final))


def diagnose_points(
    points: Sequence[tuple[int, Decimal]], unit: str, others: dict[int, list[OtherVehicle]] | None = None,
    added: Sequence[int] = (),
) -> tuple[list[Diagnosis], list[MeterChange]]:  # fmt: skip
    """What the contract's rule refuses of a series, diagnosed. `added`: what meters before had done, by place."""
    shown = [to_units(number, unit) for _, number in points]
    values = [s + to_units(Decimal(a), unit) for s, a in zip(shown, added or [0] * len(shown), strict=True)]
    most = to_units(Decimal(MOST[unit]), "h")
    kept = set(longest_chain([time for time, _ in points], values, most))
    readings = [
        Reading(t, v, s, n, unit, i in kept) for i, ((t, n), v, s) in enumerate(zip(points, values, shown, strict=True))
    ]
    return diagnose_meter(readings, most, points[-1][0] + DAY, others or {})


def vehicles_that_fit(number: Decimal, time: int, series: Series, fleet: Sequence[Series]) -> list[OtherVehicle]:
    """As other_vehicles_that_fit.sql: whose straight line comes within a day's drive of the number."""
    found = []
    for other in fleet:
        around = [p for p in (other.points[:1] + other.points) if p[0] <= time][-1:] + [
            p for p in other.points if p[0] > time
        ][:1]
        if other is series or other.unit != series.unit or len(around) < 2 or around[0][0] > time:
            continue
        (t0, n0), (t1, n1) = around
        (first_at, first), (last_at, last) = other.points[0], other.points[-1]
        drive = to_units(last - first, other.unit) * DAY // (last_at - first_at)
        line = to_units(n0, other.unit) + (to_units(n1 - n0, other.unit) * (time - t0)) // (t1 - t0)
        off = abs(to_units(number, other.unit) - line)
        if off <= drive:
            found.append(OtherVehicle(other.name, off, drive, t0 == time and n0 == number, False, len(fleet)))
    return found


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


KINDS = (
    "digit lost", "digit added", "digits swapped", "wrong digit", "miles as km", "km as miles", "another vehicle",
    "date slip", "none",
)  # fmt: skip


class Score(NamedTuple):
    """Counts over planted readings that were refused."""

    refused: int
    kind_right: int
    suggestion_right: int
    within_a_day: int
    alone: int
    alone_right: int


def score(kind: str, fleet: Sequence[Series], tries: int, chance: random.Random) -> Score:
    """Plant `tries` slips of one kind, one at a time."""
    count: Counter[str] = Counter()
    for _ in range(tries):
        series = chance.choice(fleet)
        planted = plant(kind, series, fleet, chance)
        if planted is None:
            continue
        time, number = planted.points[planted.at]
        others = {planted.at: vehicles_that_fit(number, time, series, fleet)}
        found, _ = diagnose_points(planted.points, series.unit, others)
        for one in found:
            if one.position == planted.at:
                count["refused"] += 1
                count["kind"] += one.kind == kind
                count["right"] += one.suggestion == planted.truth
                count["alone"] += one.others == 0
                count["alone right"] += one.others == 0 and one.suggestion == planted.truth
                count["near"] += one.suggestion == planted.truth or _near(one, planted, series)
    return Score(count["refused"], count["kind"], count["right"], count["near"], count["alone"], count["alone right"])


def _near(one: Diagnosis, planted: Planted, series: Series) -> bool:
    """Whether a suggested figure is within a day's use of the true one."""
    if one.target != "reading" or one.suggestion is None or "-" in planted.truth or not planted.truth[0].isdigit():
        return False
    (start, first), (end, last) = series.points[0], series.points[-1]
    a_day = (last - first) * DAY / (end - start)
    return abs(Decimal(one.suggestion) - Decimal(planted.truth)) <= max(a_day, Decimal(1))


def score_restart(kind: str, fleet: Sequence[Series], tries: int, chance: random.Random) -> Counter[str]:
    """Series with a restart: how often the refused readings are said to be due to it, and the line is the true one."""
    count: Counter[str] = Counter()
    for _ in range(tries):
        series = chance.choice(fleet)
        if kind == "rollover":
            low = series.points[0][1] - Decimal(chance.randrange(85_000, 99_000))
            moved = Series(series.name, series.unit, [(t, n - low) for t, n in series.points])
            planted = roll_over(moved) if series.unit != "h" else None
        else:
            planted = exchange(series, chance)
        if planted is None:
            continue
        found, changes = diagnose_points(planted.points, series.unit)
        count["series"] += 1
        count["readings"] += len(found)
        count["readings said to be due to it"] += sum(one.kind == kind for one in found)
        count["one line"] += [change.kind for change in changes] == [kind]
        if [change.kind for change in changes] == [kind]:
            (start, first), (end, last) = series.points[0], series.points[-1]
            gap = (planted.points[planted.at][0] - planted.points[planted.at - 1][0]) / DAY
            true = Decimal(LIMIT) if kind == "rollover" else Decimal(planted.truth)
            usual = float(last - first) * DAY / (end - start) * max(1, gap)
            off = abs(float(changes[0].final - changes[0].first - true))
            count["offset out by at most the usual use between two readings"] += off <= max(1.0, usual)
    return count


def main() -> None:
    """Print the table of hit rates."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--series", type=int, default=400, help="slips planted a kind and fleet")
    parser.add_argument("--buses", type=Path, help="a CSV file of vehicle_id, read_on, odometer_mi")
    parser.add_argument("--seed", type=int, default=1)
    call = parser.parse_args()
    chance = random.Random(call.seed)
    fleets = {
        "daily cars, km": [daily_car(chance, f"C{i}") for i in range(60)],
        "weekly trucks, mi": [weekly_truck(chance, f"T{i}") for i in range(60)],
        "hour meters": [hour_meter(chance, f"H{i}") for i in range(60)],
    }
    if call.buses:
        fleets["monthly buses, mi"] = bus_series(call.buses)
    for name, fleet in fleets.items():
        print(f"{name}: {len(fleet)} series")
        for kind in KINDS:
            found = score(kind, fleet, call.series, chance)
            if found.refused:
                shares = [f"{100 * part / found.refused:5.1f} %" for part in found[1:4]]
                alone = f"{100 * found.alone_right / max(1, found.alone):5.1f} % of {found.alone}"
                print(
                    f"  {kind:16} refused {found.refused:4}  kind {shares[0]}  value {shares[1]}  "
                    f"within a day's use {shares[2]}  value where nothing else fits {alone}"
                )
        for kind in ("rollover", "meter changed"):
            print(f"  {kind:16} {dict(score_restart(kind, fleet, call.series // 4, chance))}")


if __name__ == "__main__":
    main()
