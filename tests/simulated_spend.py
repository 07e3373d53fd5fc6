"""A fleet whose spend is known to come by chance alone, so that it is known how often a band of 80 % must hold it.

Vehicles run a gamma-distributed distance each week, more in summer; planned work falls due by distance or months and
is done some days off; its bills scatter about the plan's cost; repairs come by a Poisson process over the distance,
each vehicle at a rate of its own, with log-normal costs. The first year's history has no money, as on record cards.
Run as a script it prints how many months lay inside their bands, by fleet.
"""

import math
import random
import sys
import tempfile
from datetime import date, timedelta
from pathlib import Path

FIRST_DAY, LAST_DAY = date(2021, 1, 1), date(2026, 6, 30)
MONEY_FROM = date(2022, 1, 1)
# Task: every so many km, every so many months, hours at 60.00 an hour.
TASKS = (("oil", 9_000, None, 2.5), ("brakes", 24_000, None, 7.0), ("inspection", None, 6, 3.0))
SETTINGS = """
[fleet]
currency = "EUR"
[workshop]
labour_rate = 60.0
[money]
inflation_per_year = 0.0
"""


def simulated_spend(fleet: Path, seed: int, vehicles: int = 40) -> Path:
    """Write the fleet folder."""
    chance = random.Random(seed)
    fleet.mkdir(parents=True, exist_ok=True)
    registered, read = ["vehicle_id,class,in_service_on,in_service_odometer"], ["vehicle_id,read_at,reading"]
    history = ["vehicle_id,done_on,task,kind,labour_cost"]
    for number in range(vehicles):
        name = f"V{number:02}"
        registered.append(f"{name},{'van' if number % 2 else 'truck'},{FIRST_DAY},0")
        odometers = _odometers(chance)
        read += [f"{name},{FIRST_DAY + timedelta(day)},{odometers[day]:.1f}" for day in range(7, len(odometers), 7)]
        for day, task, cost in [*_planned(odometers, chance), *_repairs(odometers, chance)]:
            done_on = FIRST_DAY + timedelta(day)
            paid = f"{cost:.2f}" if done_on >= MONEY_FROM else ""
            history.append(f"{name},{done_on},{task},{'scheduled' if task else 'repair'},{paid}")
    tasks = ["class,task,every_distance,every_months,labour_hours"]
    tasks += [f"*,{task},{km or ''},{months or ''},{hours}" for task, km, months, hours in TASKS]
    settings = SETTINGS.replace("[workshop]", f"records_from = {MONEY_FROM}\n[workshop]")
    files = {"vehicles": registered, "readings": read, "history": history, "tasks": tasks}
    for table, lines in files.items():
        (fleet / f"{table}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    (fleet / "fleet.toml").write_text(settings, encoding="utf-8")
    return fleet


def _odometers(chance: random.Random) -> list[float]:
    """The odometer at the end of each day from the first on: weeks of gamma distances, a quarter more in July."""
    mean, found = chance.lognormvariate(math.log(65), 0.3), [0.0]
    while len(found) <= (LAST_DAY - FIRST_DAY).days:
        day = FIRST_DAY + timedelta(len(found))
        season = 1 - 0.25 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 15) / 365)
        a_day = chance.gammavariate(4, mean * season / 4)
        found += [found[-1] + a_day * number for number in range(1, 8)]
    return found


def _planned(odometers: list[float], chance: random.Random) -> list[tuple[int, str, float]]:
    last, found = (LAST_DAY - FIRST_DAY).days, []
    for task, km, months, hours in TASKS:
        done, reached = 0, 0.0
        # Where in its interval the vehicle stands at the start is chance too.
        ahead = chance.random()
        while True:
            if km:
                day = next((at for at in range(done, last + 1) if odometers[at] >= reached + km * ahead), last + 1)
            else:
                day = done + round((months or 0) * 30.4375 * ahead)
            day = max(done + 1, day + round(chance.gauss(0, 6)))
            if day > last:
                break
            found.append((day, task, hours * 60 * chance.lognormvariate(-0.02, 0.2)))
            done, reached, ahead = day, odometers[day], 1.0
    return found


def _repairs(odometers: list[float], chance: random.Random) -> list[tuple[int, str, float]]:
    rate, found = chance.gammavariate(4, 1 / 4) / 12_000, []
    for day in range(1, (LAST_DAY - FIRST_DAY).days + 1):
        if chance.random() < rate * (odometers[day] - odometers[day - 1]):
            found.append((day, "", chance.lognormvariate(5.5, 0.8)))
    return found


def main(seeds: list[int]) -> None:
    """Print the coverage and the bias of the mean, by fleet and over all of them."""
    from fleetreport.trials.money_backtest import make_money_backtest
    from fleetreport.trials.money_looks import scores

    inside = whole = 0
    for seed in seeds:
        with tempfile.TemporaryDirectory() as folder:
            found = make_money_backtest(simulated_spend(Path(folder) / "fleet", seed), LAST_DAY, Path(folder) / "out")
        months = sum(look.in_band for look in found.months)
        years = sum(look.in_band for look in found.years)
        inside, whole = inside + months, whole + len(found.months)
        bias = {one.estimator: one.bias for one in scores(found.years)}
        print(f"{seed}: {months} of {len(found.months)} months and {years} of {len(found.years)} years inside; "
              f"bias of the forecast {bias['forecast']:+.3f}, of the mean {bias['mean']:+.3f}", flush=True)  # fmt: skip
    print(f"all: {inside} of {whole} months inside, {inside / whole:.3f}")


if __name__ == "__main__":
    main([int(seed) for seed in sys.argv[1:]] or [1, 2, 3])
