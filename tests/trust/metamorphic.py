"""Relations that must hold between what comes out for a fleet and what comes out for the same fleet changed.

`python tests/trust/metamorphic.py [FIRST [LAST]]` holds the random fleets of these seeds to all of them and prints how
many rows were looked at and how many broke one; test_metamorphic.py does so for a few seeds. No right answer is
needed, so that what both implementations get wrong alike can be seen here.

Of the relations three are bounded by the contract, and so are they here:

- A service done now puts a task off, or makes it due a whole interval from now where that is sooner: the contract
  counts from what was done, so that a new vehicle's long first interval ends with it, and one done again soon after
  an early service of basis `anchored` counts where it was done.
- A longer interval brings no date nearer for basis `last_done`. For `fixed` the steps move and the nearest one may be
  an earlier one; for `anchored` the tolerance grows with the interval, and what was late counts as on the plan.
- A reading within the band leaves a status alone where both edges of the band say the same; where they do not, the
  reading decides. Where a service was done after the last reading, the reading also tells how far from its due point
  that was.
"""

import csv
import re
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

TESTS = Path(__file__).parent.parent
for folder in (TESTS.parent, TESTS, TESTS / "second_implementation"):
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))

from random_fleets import write_random_fleet  # noqa: E402

from fleetreport.query import Query, Step, beside_the_package, in_order, load_queries, needed_for, run_all  # noqa: E402
from fleetreport.reading.rows import find_files  # noqa: E402
from fleetreport.settings.fleet_toml import read_settings  # noqa: E402
from fleetreport.storing.loading import keep, stage  # noqa: E402
from fleetreport.storing.store import begin_run, opened_store  # noqa: E402
from fleetreport.week import PARTS, STEPS, load_macros, work_out  # noqa: E402

LOOKED_AT = (
    "due", "due_state", "open_points", "due_marks", "occurrences", "on_time", "refused_readings", "daily_rate",
    "distance_band", "meter_now", "task_plan", "task_covers",
)  # fmt: skip
# A row's place is not part of a result; a row number only joins the rows of one run.
PLACE = ("file", "line", "seq")
PLACED = re.compile(r" \([^()]*:\d+\)")
DAY = re.compile(r"\b(\d{4})(?=-\d\d(?:-\d\d)?\b)")
PER_MILE = Decimal("1.609344")
CYCLE = timedelta(146_097)  # days of 400 years of the Gregorian calendar: whole weeks, the same months
DISTANCES = {
    "vehicles": ("in_service_odometer",), "readings": ("reading",), "meter_changes": ("final_reading", "first_reading"),
    "history": ("odometer",), "tasks": ("every_distance", "first_distance", "severe_distance"),
    "vehicle_tasks": ("every_distance", "first_distance", "severe_distance"),
}  # fmt: skip
# What is written in the unit it came in.
IN_MILES = (
    "due_odometer",
    "last_done_odometer",
    "odometer_now",
    "rate_per_day",
    "distance_unit",
    "distance_left",
    "value",
    "reason",
)
RANK = {"later": 0, "upcoming": 1, "due": 2, "overdue": 3}

Cells = dict[str, str]
Row = dict[str, Any]
Change = Callable[[str, list[Cells]], list[Cells]]
Worked = dict[str, list[Row]]


class Verdict(NamedTuple):
    """How many rows a relation was held to, and those that broke it."""

    looked_at: int
    broken: list[str]


def made() -> list[Query | Step]:
    """What makes the tables that are looked at."""
    return in_order(needed_for(LOOKED_AT, in_order([*load_queries(beside_the_package("queries"), PARTS), *STEPS])))


def work(fleet: Path, as_of: date) -> Worked:
    """The tables that are looked at, as rows in order, without the places of rows in files."""
    settings = read_settings(fleet)
    with opened_store(fleet.parent / f"{fleet.name}.duckdb", settings) as db:
        work_out(db, find_files(fleet, settings.source)[0], settings, as_of, "fleet", made=made())
        return {table: _rows(db, table) for table in LOOKED_AT}


def shifted(fleet: Path, as_of: date, by: timedelta) -> Worked:
    """The same with every date and the as-of date moved: in the store, because files hold dates to 2199 only."""
    settings = read_settings(fleet)
    if since := settings.fleet.records_from:
        moved_fleet = settings.fleet.model_copy(update={"records_from": since + by})
        settings = settings.model_copy(update={"fleet": moved_fleet})
    with opened_store(fleet.parent / f"{fleet.name}-shifted.duckdb", settings) as db:
        load_macros(db, beside_the_package("queries"))
        keep(db, stage(db, find_files(fleet, settings.source)[0], settings))
        found = db.execute(
            "select table_name, column_name from duckdb_columns() where table_name like 'input\\_%' escape '\\'"
            " and data_type in ('DATE', 'TIMESTAMP') and table_name <> 'input_files'"
        ).fetchall()
        assert len(found) > len(DISTANCES)
        for table, column in found:
            db.execute(f'update "{table}" set "{column}" = "{column}" + to_days(?)', [by.days])
        begin_run(db, settings, as_of + by, "fleet")
        run_all(db, made())
        return {table: _rows(db, table) for table in LOOKED_AT}


def _rows(db: Any, table: str) -> list[Row]:
    rows = db.execute(f'from "{table}"').fetchall()
    columns = [name for name, *_ in db.description]
    named = ({c: PLACED.sub("", v) if c == "reason" else v for c, v in zip(columns, row, strict=True) if c not in PLACE}
             for row in rows)  # fmt: skip
    return sorted(named, key=lambda row: repr(tuple(row.values())))


# -- folders ----------------------------------------------------------------------------------------------------------


def read_tables(fleet: Path) -> dict[str, list[Cells]]:
    """The rows of every table of a folder of CSV files, all files of a table together."""
    found: dict[str, list[Cells]] = {}
    for path in sorted(fleet.rglob("*.csv")):
        table = path.stem if path.parent == fleet else path.parent.name
        with path.open(encoding="utf-8", newline="") as file:
            found.setdefault(table, []).extend(csv.DictReader(file))
    return found


def write_rows(path: Path, rows: list[Cells]) -> None:
    """A CSV file with the columns of the rows."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(dict.fromkeys(name for row in rows for name in row)), restval="")
        writer.writeheader()
        writer.writerows(rows)


def changed(fleet: Path, name: str, change: Change) -> Path:
    """The folder beside with its rows changed, table by table."""
    target = fleet.parent / name
    for table, rows in read_tables(fleet).items():
        if left := change(table, rows):
            write_rows(target / f"{table}.csv", left)
    (target / "fleet.toml").write_bytes((fleet / "fleet.toml").read_bytes())
    return target


def shuffled_and_split(fleet: Path, rng: Random) -> Path:
    """The same rows in any order, in up to four files a table."""
    target = fleet.parent / "shuffled"
    for table, rows in read_tables(fleet).items():
        if rows:
            rng.shuffle(rows)
            parts = rng.randint(1, min(4, len(rows)))
            for part in range(parts):
                write_rows(target / table / f"{rng.randrange(10**6):06}-{part}.csv", rows[part::parts])
    (target / "fleet.toml").write_bytes((fleet / "fleet.toml").read_bytes())
    return target


def in_km(fleet: Path) -> Path:
    """Every distance in miles written in km, which is exact: 1 mi = 1.609344 km."""
    tables = read_tables(fleet)
    units = {row["vehicle_id"]: row.get("distance_unit", "") for row in tables["vehicles"]}
    classes = {row["vehicle_id"]: row["class"] for row in tables["vehicles"]}
    of_task = {(row["class"], row["task"]): row.get("distance_unit", "") for row in tables["tasks"]}

    def usual(table: str, row: Cells) -> str:
        """The unit where a row says nothing: its vehicle's; of own cells of a plan, the class's row's."""
        vehicle, task = row.get("vehicle_id", ""), row.get("task", "")
        if table == "vehicle_tasks":
            return of_task.get((classes[vehicle], task), of_task.get(("*", task), ""))
        return "" if table in ("tasks", "vehicles") else units.get(vehicle, "")

    def change(table: str, rows: list[Cells]) -> list[Cells]:
        unit_column = "distance_unit" if table in ("vehicles", "tasks", "vehicle_tasks") else "unit"
        for row in rows if table in DISTANCES else ():
            said = row.get(unit_column) or usual(table, row) or "km"
            if row.get("meter") == "hours":
                continue
            row[unit_column] = "km"
            for column in DISTANCES[table] if said == "mi" else ():
                if row.get(column):
                    row[column] = f"{Decimal(row[column]) * PER_MILE:f}"
        return rows

    return changed(fleet, "km", change)


def in_metres_and_minutes(fleet: Path) -> Path:
    """Readings in km written in metres and those in hours as h:mm, where that is exact, by `[[source]]` sections."""
    units = {row["vehicle_id"]: row.get("distance_unit") or "km" for row in read_tables(fleet)["vehicles"]}
    metres: list[Cells] = []
    clock: list[Cells] = []

    def change(table: str, rows: list[Cells]) -> list[Cells]:
        left = []
        for row in rows:
            value = Decimal(row["reading"]) if table == "readings" else Decimal(0)
            hours = row.get("meter") == "hours"
            if table == "readings" and hours and value * 60 == int(value * 60):
                clock.append({**row, "unit": "", "reading": f"{int(value)}:{int(value * 60) % 60:02}"})
            elif table == "readings" and not hours and (row.get("unit") or units.get(row["vehicle_id"], "mi")) == "km":
                metres.append({**row, "unit": "", "reading": f"{value * 1000:f}"})
            else:
                left.append(row)
        return left

    target = changed(fleet, "metres", change)
    settings = (target / "fleet.toml").read_text(encoding="utf-8")
    for name, unit, rows in (("metres", "m", metres), ("clock", "h", clock)):
        if rows:
            write_rows(target / f"{name}.csv", [{k: v for k, v in row.items() if k != "unit"} for row in rows])
            columns = "".join(f'{one} = "{one}"\n' for one in rows[0] if one != "unit")
            settings += f'[[source]]\nfiles = "{name}.csv"\ntable = "readings"\nunit = "{unit}"\ndecimal = "."\n'
            settings += f"[source.columns]\n{columns}"
    (target / "fleet.toml").write_text(settings, encoding="utf-8")
    if "readings" in read_tables(fleet) and not (target / "readings.csv").exists() and not metres and not clock:
        raise AssertionError("readings were lost")
    return target


# -- relations --------------------------------------------------------------------------------------------------------


def same(before: Worked, after: Worked, but: Iterable[str] = ()) -> Verdict:
    """Every row of every table is the same, `but` for columns of `due`."""
    looked_at, broken = 0, []
    for table in before:
        left_out = set(but) if table in ("due", "task_plan", "refused_readings") else set()
        one, other = (
            [{c: v for c, v in row.items() if c not in left_out} for row in t[table]] for t in (before, after)
        )
        looked_at += len(one)
        broken += [f"{table}: {row}" for row in one if row not in other] + [
            f"{table}: new: {row}" for row in other if row not in one
        ]
    return Verdict(looked_at, broken)


def moved(before: Worked, after: Worked, by: timedelta) -> Verdict:
    """Every row is the same with its dates, and months written as text, moved."""

    def later(value: Any) -> Any:
        if isinstance(value, date | datetime):
            return value + by
        return DAY.sub(lambda year: str(int(year[0]) + 400), value) if isinstance(value, str) else value

    expected = {table: [{c: later(v) for c, v in row.items()} for row in rows] for table, rows in before.items()}
    return same(expected, after)


def by_task(worked: Worked, table: str = "due") -> dict[tuple[str, str], Row]:
    """Rows by vehicle and task."""
    return {(row["vehicle_id"], row["task"]): row for row in worked[table]}


def everything_done(fleet: Path, as_of: date, before: Worked) -> Path:
    """Every task of every vehicle done on the as-of date."""
    lines = [{"vehicle_id": v, "done_on": as_of.isoformat(), "task": task} for v, task in by_task(before)]
    return _with(fleet, "everything", "history", lines)


def one_thing_done(fleet: Path, as_of: date, before: Worked, rng: Random) -> tuple[Path, set[tuple[str, str]]]:
    """One task of each vehicle done on the as-of date; gives which."""
    of_vehicle: dict[str, list[str]] = {}
    for vehicle, task in by_task(before):
        of_vehicle.setdefault(vehicle, []).append(task)
    chosen = {(vehicle, rng.choice(sorted(tasks))) for vehicle, tasks in of_vehicle.items()}
    lines = [{"vehicle_id": v, "done_on": as_of.isoformat(), "task": task} for v, task in sorted(chosen)]
    return _with(fleet, "one_thing", "history", lines), chosen


def _with(fleet: Path, name: str, table: str, lines: list[Cells]) -> Path:
    target = changed(fleet, name, lambda one, rows: rows)
    write_rows(target / f"{table}.csv", [*read_tables(fleet).get(table, []), *lines])
    return target


def no_more_due(before: Worked, after: Worked, as_of: date, done: Iterable[tuple[str, str]]) -> Verdict:
    """A task that was just done is due no sooner than it was, or a whole interval from now."""
    was, now, points = by_task(before), by_task(after), after["open_points"]
    marks = {(row["vehicle_id"], row["task"], row["service_no"]): row for row in after["due_marks"]}
    awaited = {key[:2]: row for key, row in sorted(marks.items())}
    # What could not be worked out is not sooner or later than anything.
    keys, broken = [key for key in done if was[key]["status"] != "unknown"], []
    for key in keys:
        old, new = was[key], now[key]
        if _no_sooner(old, new):
            continue
        mark = awaited.get(key)
        whole = mark is not None and all(
            _is_whole_interval(point, mark, as_of)
            for point in points
            if (point["vehicle_id"], point["task"]) == key and point["falls_on"] == new["due_on"]
        )
        if not whole:
            broken.append(f"{key}: {old} then {new}")
    return Verdict(len(keys), broken)


def _no_sooner(old: Row, new: Row) -> bool:
    sooner = new["due_on"] is not None and (old["due_on"] is None or new["due_on"] < old["due_on"])
    return not sooner and RANK.get(new["status"], 0) <= RANK.get(old["status"], 3)


def _is_whole_interval(point: Row, mark: Row, as_of: date) -> bool:
    """Whether an open point is a whole interval from where things stand."""
    if point["trigger"] == "distance":
        return point["left_over"] is not None and point["left_over"] >= mark["interval_km"]
    if point["trigger"] == "hours":
        return point["left_over"] is not None and point["left_over"] >= mark["interval_hours"]
    if point["trigger"] == "time":
        return bool(mark["from_on"] >= as_of)
    return False


def longer(fleet: Path, rng: Random) -> Path:
    """Every interval longer, by its own share."""

    def change(table: str, rows: list[Cells]) -> list[Cells]:
        for row in rows if table in ("tasks", "vehicle_tasks") else ():
            for name, cell in row.items():
                if cell and name.startswith(("every_", "first_", "severe_")) and name != "every_year_on":
                    row[name] = str(int(cell) + rng.choice([0, 1, 2, int(cell)]))
        return rows

    return changed(fleet, "longer", change)


def no_nearer(before: Worked, after: Worked) -> Verdict:
    """No date of a task of basis `last_done` or of a follow-up is nearer than it was, nor is its status."""
    plan, was, now = by_task(before, "task_plan"), by_task(before), by_task(after)
    keys = [key for key in was if plan[key]["basis"] == "last_done" or plan[key]["after"]]
    return Verdict(
        len(keys), [f"{key}: {was[key]} then {now[key]}" for key in keys if not _no_sooner(was[key], now[key])]
    )


def read_within_the_band(fleet: Path, as_of: date, before: Worked, rng: Random) -> Path:
    """A reading of each meter on the as-of date, anywhere within the band of where it may stand by then."""
    vehicles = {row["vehicle_id"]: row for row in read_tables(fleet)["vehicles"]}
    bands = {(row["vehicle_id"], row["meter"]): row for row in before["distance_band"]}
    lines: list[Cells] = []
    for row in before["meter_now"]:
        band, days = bands.get((row["vehicle_id"], row["meter"])), (as_of - row["last_on"]).days
        if band is None or days <= 0 or vehicles[row["vehicle_id"]].get("retired_on"):
            continue
        low, high = (_band_distance(band, edge, days) for edge in ("low", "high"))
        where = float(row["last_value"]) + low + rng.random() * (high - low) - float(row["offset_now"])
        unit = "h" if row["meter"] == "hours" else "km"
        lines.append({"vehicle_id": row["vehicle_id"], "read_at": as_of.isoformat(), "meter": row["meter"],
                      "reading": f"{where:.1f}", "unit": unit})  # fmt: skip
    return _with(fleet, "read", "readings", lines)


def _band_distance(band: Row, edge: str, days: int) -> float:
    """Straight lines from 0 through the six points."""
    points = [(0, 0.0), *((d, float(band[f"{edge}_{d}"])) for d in (7, 14, 28, 91, 182, 364))]
    for (d0, y0), (d1, y1) in pairwise(points):
        if days <= d1:
            return y0 + (y1 - y0) * (days - d0) / (d1 - d0)
    return points[-1][1] * days / 364


def settled_stay(before: Worked, after: Worked, as_of: date, due_days: int, horizon: int) -> Verdict:
    """A status that both edges of the band give is the same after a reading within it."""
    was, now = by_task(before), by_task(after)
    # Of the meter that was read longest ago: where a service after it was done is itself a projection.
    by_day = sorted(before["meter_now"], key=lambda row: row["last_on"], reverse=True)
    read_on = {row["vehicle_id"]: row["last_on"] for row in by_day}

    def at(day: date | None) -> str:
        if day is None or day > as_of + timedelta(horizon):
            return "later"
        return "overdue" if day < as_of else "due" if day <= as_of + timedelta(due_days) else "upcoming"

    settled = [
        key for key, row in was.items()
        if row["status"] != "unknown" and at(row["due_on_early"]) == at(row["due_on_late"]) == row["status"]
        and (row["last_done_on"] or date.min) <= read_on.get(key[0], date.max)
    ]  # fmt: skip
    return Verdict(
        len(settled), [f"{k}: {was[k]} then {now[k]}" for k in settled if now[k]["status"] != was[k]["status"]]
    )


def relations(folder: Path, seed: int) -> Iterator[tuple[str, Verdict]]:
    """Hold one random fleet to every relation, one after the other."""
    fleet, rng = folder / "fleet", Random(seed)
    as_of = write_random_fleet(fleet, seed)
    week = read_settings(fleet).week
    before = work(fleet, as_of)
    yield "row order and file split", same(before, work(shuffled_and_split(fleet, rng), as_of))
    yield "miles as km", same(before, work(in_km(fleet), as_of), IN_MILES)
    yield "km as metres, hours as h:mm", same(before, work(in_metres_and_minutes(fleet), as_of))
    yield "400 years later", moved(before, shifted(fleet, as_of, CYCLE), CYCLE)
    yield (
        "everything done now",
        no_more_due(before, work(everything_done(fleet, as_of, before), as_of), as_of, by_task(before)),
    )
    one, chosen = one_thing_done(fleet, as_of, before, rng)
    yield "one task done now", no_more_due(before, work(one, as_of), as_of, sorted(chosen))
    yield "longer intervals", no_nearer(before, work(longer(fleet, rng), as_of))
    read = work(read_within_the_band(fleet, as_of, before, rng), as_of)
    yield "a reading within the band", settled_stay(before, read, as_of, week.due_days, week.horizon_days)


def main() -> None:
    """Hold many random fleets to every relation and print the counts."""
    given = [int(one) for one in sys.argv[1:]]
    first, last = given if len(given) == 2 else (given[0], given[0] + 49) if given else (0, 49)
    sums: dict[str, list[int]] = {}
    for seed in range(first, last + 1):
        with tempfile.TemporaryDirectory(prefix="metamorphic-") as name:
            for what, verdict in relations(Path(name), seed):
                one = sums.setdefault(what, [0, 0, 0])
                one[0] += verdict.looked_at
                one[1] += len(verdict.broken)
                one[2] += bool(verdict.broken)
                for text in verdict.broken[:3]:
                    print(f"seed {seed}: {what}: {text}", flush=True)
    for what, (looked_at, broken, fleets) in sums.items():
        print(f"{what}: {looked_at} rows, {broken} broke it, in {fleets} of {last - first + 1} fleets")


if __name__ == "__main__":
    main()
