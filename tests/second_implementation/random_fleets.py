"""Small random fleets that exercise every rule of the contract's arithmetic.

`write_random_fleet` writes a folder and gives the as-of date; the same seed writes the same bytes.
`plain_rates` gives a stand-in daily rate for each meter, so that the arithmetic can be tried without the
program's estimator.

It does not know the right answers. All dates lie within 2019-2027 and every cell is clean.
"""

import csv
from collections.abc import Mapping
from datetime import date, timedelta
from decimal import ROUND_DOWN, Decimal
from pathlib import Path
from random import Random

from plain_cells import COLUMNS, SEVENTH_PLACE, add_months
from plain_fleet import read_fleet
from plain_meters import constant_rate, kept_readings
from random_records import Cells, Gauge, lines_for, make_gauge, readings_of, service_days

CLASSES = ["van", "truck", "bus", "trailer"]
NAMES = [
    "oil_change", "inspection", "brakes", "tyres", "greasing", "coolant", "belt", "air_filter", "retorque",
    "safety_test", "underbody", "small_service",
]  # fmt: skip
DAYS = {"due": [7, 7, 0, 14, 3], "horizon": [56, 56, 28, 90, 400]}
YEARLY = ["02-29", "01-15", "03-01", "06-30", "11-30", "12-31", "02-28"]


def write_random_fleet(folder: Path, seed: int) -> date:
    """Write 3-10 vehicles with tasks, readings and history into `folder`; gives the as-of date."""
    rng = Random(seed)
    as_of = date(2024, 6, 1) + timedelta(rng.randrange(900))
    if rng.random() < 0.3:
        as_of = rng.choice([date(2024, 2, 29), date(2025, 2, 28), date(2025, 8, 31), date(2026, 3, 31)])
    due_days, horizon = rng.choice(DAYS["due"]), rng.choice(DAYS["horizon"])
    ahead = [-1, -1, 0, 0, 0, 1, due_days, due_days + 1, horizon, horizon + 1, -40]
    folder.mkdir(parents=True, exist_ok=True)
    write_settings(rng, folder, as_of, due_days, horizon)
    classes = rng.sample(CLASSES, rng.randint(2, 4))
    tasks = [row for c in [*classes, "*"] for row in random_tasks(rng, c, 3 if c == "*" else 6)]
    tables: dict[str, list[Cells]] = {name: [] for name in COLUMNS} | {"tasks": tasks}
    for number in range(rng.randint(3, 10)):
        add_vehicle(rng, f"V{number + 1:02}", rng.choice(classes), as_of, ahead, tables)
    if rng.random() < 0.3:
        stray = {"vehicle_id": "V99", "done_on": as_of.isoformat(), "task": "oil_change", "odometer": "1000"}
        tables["history"].append(stray)
    for name, rows in tables.items():
        write_table(rng, folder, name, rows)
    return as_of


def write_settings(rng: Random, folder: Path, as_of: date, due_days: int, horizon: int) -> None:
    """fleet.toml, or none where all is as by default."""
    fleet = [f'distance_unit = "{rng.choice(["km", "mi"])}"'] if rng.random() < 0.5 else []
    if rng.random() < 0.35:
        since = as_of - timedelta(rng.choice([0, 30, 200, 365, 700, 1200]))
        fleet.append(f"records_from = {since.isoformat()}")
    most = {"km": rng.choice([1500, 1500, 1000, 800]), "h": rng.choice([24, 24, 12])}
    parts = ["[fleet]", *fleet]
    if (due_days, horizon) != (7, 56) or rng.random() < 0.5:
        parts += ["[week]", f"due_days = {due_days}", f"horizon_days = {horizon}"]
    if most != {"km": 1500, "h": 24}:
        parts += ["[meters]", f"most_per_day = {{ km = {most['km']}, h = {most['h']} }}"]
    (folder / "fleet.toml").write_text("\n".join(parts) + "\n", encoding="utf-8")


def random_intervals(rng: Random, prefix: str, unit: str, likely: float) -> Cells:
    """Some of PREFIX_distance, PREFIX_months and PREFIX_hours, from coarse grids."""
    distances = {
        "km": [5000, 10000, 10000, 10050, 15000, 20000, 30000, 5025],
        "mi": [3000, 5000, 5025, 6000, 10000],
    }
    grids = {"distance": distances[unit], "months": [1, 2, 3, 6, 6, 12, 24], "hours": [100, 250, 500]}
    weights = {"distance": likely, "months": likely * 0.8, "hours": likely * 0.5}
    return {f"{prefix}_{name}": str(rng.choice(grid)) for name, grid in grids.items() if rng.random() < weights[name]}


def random_task(rng: Random, others: list[str]) -> Cells:
    """The cells of one task, without its key."""
    unit = rng.choice(["km", "km", "mi"])
    row = {
        "distance_unit": unit if unit == "mi" else rng.choice(["", "km"]),
        "title": rng.choice(["", "A title"]),
    }
    row["basis"] = rng.choice(["", "last_done", "fixed", "fixed", "anchored", "anchored"])
    row["late_tolerance_pct"] = rng.choice(["", "", "10", "5", "20", "12.5", "0"])
    kind = rng.random()
    if kind < 0.14:
        row["after"] = rng.choice(others)
        row |= random_intervals(rng, "first", unit, 0.7) or {"first_months": "1"}
        row |= random_intervals(rng, "every", unit, 0.1)
        if "first_distance" in row:
            row["first_distance"] = rng.choice(["50", "100", "500", "1000"])
        return row
    if kind < 0.19:
        return row | (random_intervals(rng, "first", unit, 0.9) or {"first_distance": "1000"})
    if kind < 0.33:
        row["every_year_on"] = rng.choice(YEARLY)
    if kind > 0.25:
        row |= random_intervals(rng, "every", unit, 0.65) or {"every_months": "6"}
    if rng.random() < 0.35:
        row |= random_intervals(rng, "severe", unit, 0.6)
    if rng.random() < 0.3:
        row |= random_intervals(rng, "first", unit, 0.5)
    return row


def random_tasks(rng: Random, vehicle_class: str, most: int) -> list[Cells]:
    """Rows of `tasks` for one class, with covers in chains and, at times, in a circle."""
    names = rng.sample(NAMES, rng.randint(2, most))
    rows = []
    for name in names:
        others = [n for n in NAMES if n != name]
        within = [n for n in names if n != name]
        row = random_task(rng, within if rng.random() < 0.8 else others)
        if rng.random() < 0.3:
            row["covers"] = " ".join(rng.sample(within, min(len(within), rng.randint(1, 2))))
        rows.append({"class": vehicle_class, "task": name} | row)
    if rng.random() < 0.15 and len(rows) > 2:
        rows[0]["covers"], rows[1]["covers"], rows[2]["covers"] = names[1], names[2], names[0]
    return rows


def random_start(rng: Random, as_of: date) -> date:
    """A day of being put in service: aimed at a due day today, at a month's end, anywhere, or after A."""
    choice = rng.random()
    if choice < 0.25:
        due = as_of + timedelta(rng.choice([-1, 0, 0, 1, 7, 8]))
        return add_months(due, -rng.choice([6, 12, 12, 24])) or as_of
    if choice < 0.45:
        return as_of - timedelta(rng.choice([50, 100, 100, 200, 300, 400]))
    if choice < 0.65:
        return rng.choice([date(2024, 2, 29), date(2023, 8, 31), date(2022, 12, 31), date(2023, 1, 31)])
    if choice < 0.7:
        return as_of + timedelta(rng.choice([0, 1, 30]))
    return as_of - timedelta(rng.randrange(60, 1500))


def add_vehicle(
    rng: Random, name: str, vehicle_class: str, as_of: date, ahead: list[int], tables: dict[str, list[Cells]]
) -> None:
    """One vehicle: its row, its own tasks, its readings, meter changes, history and expiries."""
    unit, start = rng.choice(["km", "km", "mi"]), min(random_start(rng, as_of), as_of + timedelta(30))
    profile = rng.choice(["constant", "constant", "constant", "erratic", "erratic", "stopped"])
    first = rng.choice([0, 0, 0, 5000, 40000, 60000, 95000, 12345.5])
    gauges = {"distance": make_gauge(rng, start, first, [50, 100, 100, 200, 250, 500], profile)}
    if rng.random() < 0.45:
        profile = rng.choice(["constant", "constant", "erratic", "stopped"])
        gauges["hours"] = make_gauge(rng, start, rng.choice([0, 0, 250, 1000.5]), [2, 4, 5, 8], profile)
    row = {"vehicle_id": name, "class": vehicle_class, "in_service_on": start.isoformat()}
    row["distance_unit"] = unit if unit == "mi" else rng.choice(["", "km"])
    row["duty"] = rng.choice(["", "normal", "severe"])
    row["in_service_odometer"] = f"{first:g}" if first else rng.choice(["", "0"])
    row["in_service_hours"] = f"{gauges['hours'].first:g}" if "hours" in gauges else ""
    if rng.random() < 0.12:
        row["retired_on"] = max(start, as_of + timedelta(rng.choice([-90, -1, 0, 1, 20]))).isoformat()
    tables["vehicles"].append(row)
    for meter, gauge in (("odometer", gauges["distance"]), ("hours", gauges.get("hours"))):
        if gauge:
            add_meter(rng, name, meter, gauge, unit if meter == "odometer" else "h", as_of, tables)
    add_own_tasks(rng, name, vehicle_class, tables)
    add_history(rng, name, vehicle_class, gauges, unit, as_of, ahead, tables)
    for task in rng.sample([*NAMES, "permit", "permit"], rng.choice([0, 0, 0, 1, 2])):
        for _ in range(rng.choice([1, 1, 2])):
            expires_on = as_of + timedelta(rng.choice([*ahead, -200, 200]))
            tables["expiries"].append({"vehicle_id": name, "task": task, "expires_on": expires_on.isoformat()})


def add_meter(
    rng: Random, name: str, meter: str, gauge: Gauge, unit: str, as_of: date, tables: dict[str, list[Cells]]
) -> None:
    """Meter changes (rarely two, rarely after A) and readings: many, one, or none."""
    for back in sorted(rng.sample([-10, 0, 14, 50, 90], rng.choice([0, 0, 0, 0, 1, 2])), reverse=True):
        day = as_of - timedelta(back)
        if day >= gauge.start:
            gauge.change_on(rng, day)
            _, final, first = gauge.changes[-1]
            change = {"vehicle_id": name, "changed_on": day.isoformat(), "final_reading": f"{final:.10g}"}
            change["first_reading"] = f"{first:.10g}" if first else ""
            change |= {"meter": meter, "unit": rng.choice(["", unit])}
            tables["meter_changes"].append(change)
    how_many = rng.choice([0, 1, 2, 4, 6, 8, 12, 12])
    tables["readings"] += readings_of(rng, name, meter, gauge, unit, as_of, how_many)


def add_own_tasks(rng: Random, name: str, vehicle_class: str, tables: dict[str, list[Cells]]) -> None:
    """Rows of `vehicle_tasks`: cells that replace the class's, and tasks only this vehicle has."""
    of_class = [row["task"] for row in tables["tasks"] if row["class"] in (vehicle_class, "*")]
    for task in dict.fromkeys(rng.sample([*of_class, *of_class, "own_task", "permit"], rng.choice([0, 0, 1, 2]))):
        cells = random_task(rng, [other for other in of_class if other != task] or ["belt"])
        if task in of_class:
            cells = {column: text for column, text in cells.items() if rng.random() < 0.5}
        if cells.get("after") and not any(column.startswith("first_") for column in cells):
            cells["first_months"] = "1"
        if rng.random() < 0.1:
            cells["covers"] = rng.choice([other for other in NAMES if other != task])
        tables["vehicle_tasks"].append({"vehicle_id": name, "task": task, "reason": "as agreed"} | cells)


def add_history(
    rng: Random,
    name: str,
    vehicle_class: str,
    gauges: dict[str, Gauge],
    unit: str,
    as_of: date,
    ahead: list[int],
    tables: dict[str, list[Cells]],
) -> None:
    """Lines of work for the vehicle's tasks, follow-ups near what they follow, and some for no known task."""
    plan: dict[str, Cells] = {}
    for wanted in ("*", vehicle_class):
        plan |= {row["task"]: row for row in tables["tasks"] if row["class"] == wanted}
    for row in tables["vehicle_tasks"]:
        if row["vehicle_id"] == name:
            filled = {column: text for column, text in row.items() if text}
            plan[row["task"]] = {**plan.get(row["task"], {}), **filled}
    wrong = rng.choice([0.0, 0.0, 0.04, 0.15])
    dated: list[tuple[date, str]] = []
    for task, cells in plan.items():
        if not cells.get("after"):
            dated += [(day, task) for day in service_days(rng, cells, gauges, as_of, ahead)]
    for task, cells in plan.items():
        for day in [day for day, done in dated if done == cells.get("after") and rng.random() < 0.6]:
            dated.append((day + timedelta(rng.choice([0, 0, 1, 2, 10, 30, 31])), task))
    if rng.random() < 0.3:
        dated.append((gauges["distance"].start + timedelta(rng.randrange(300)), rng.choice(["", "painting"])))
    if rng.random() < 0.1:
        dated.append((gauges["distance"].start - timedelta(3), rng.choice(sorted(plan))))
    for day, task in [entry for entry in dated if entry[0] <= as_of + timedelta(60)]:
        tables["history"] += lines_for(rng, name, task, day, gauges, unit, wrong)


def write_table(rng: Random, folder: Path, name: str, rows: list[Cells]) -> None:
    """NAME.csv, or NAME/*.csv for readings and history at times, with some rows exported twice."""
    if not rows and name not in ("vehicles", "tasks"):
        return
    columns = [c for c in COLUMNS[name] if any(row.get(c) for row in rows) or rng.random() < 0.5]
    many = name in ("readings", "history") and rng.random() < 0.5
    if name not in ("readings", "history"):
        if rng.random() < 0.2:
            rows = [*rows, rows[0]]
        write_csv(folder / f"{name}.csv", columns, rows)
        return
    rng.shuffle(rows)
    if not many:
        write_csv(folder / f"{name}.csv", columns, [*rows, *again(rng, rows)])
        return
    cut = rng.randrange(len(rows) + 1)
    write_csv(folder / name / "a_first.csv", columns, rows[:cut])
    write_csv(folder / name / "b_second.csv", columns, [*again(rng, rows[:cut]), *rows[cut:]])


def again(rng: Random, rows: list[Cells]) -> list[Cells]:
    """Some rows once more, at times typed another way: 1000 as 1000.0."""
    repeated = []
    for row in rng.sample(rows, min(len(rows), rng.choice([0, 0, 1, 3]))):
        copy = dict(row)
        for column in ("reading", "odometer"):
            if copy.get(column) and "." not in copy[column] and rng.random() < 0.3:
                copy[column] += ".0"
        repeated.append(copy)
    return repeated


def write_csv(path: Path, columns: list[str], rows: list[Cells]) -> None:
    """One CSV file with a header."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(columns)
        writer.writerows([[row.get(column, "") for column in columns] for row in rows])


def plain_rates(folder: Path, as_of: date) -> Mapping[tuple[str, str], Decimal | None]:
    """km or h a day by (vehicle_id, meter): the constant one, else first to last kept, cut at 7 places."""
    rates: dict[tuple[str, str], Decimal | None] = {}
    for key, both in kept_readings(read_fleet(folder), as_of).items():
        rates[key] = None
        if len({reading.day for reading in both.kept}) > 1:
            first, last = both.kept[0], both.kept[-1]
            exact = constant_rate(both.kept)
            days = (last.day - first.day).days
            mean = (last.value - first.value) / days
            rate = Decimal(exact.numerator) / exact.denominator if exact is not None else mean
            rates[key] = rate.quantize(SEVENTH_PLACE, ROUND_DOWN)
    return rates
