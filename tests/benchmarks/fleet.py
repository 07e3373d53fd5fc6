"""Write a fleet of any size: vehicles with daily readings, histories, a plan, stock, packs and some faults.

Everything is invented and follows from the seed. Readings are made period by period for blocks of vehicles, as arrays,
so that memory does not grow with the fleet. A *steady* fleet has no faults and each vehicle drives the same distance
every day: there every sound way to estimate its use gives the same rate, and so the same due list.

    python -m tests.benchmarks.fleet FOLDER --vehicles 2000 --days 730
"""

import argparse
import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pyarrow as pa
import pyarrow.csv
import pyarrow.parquet
from numpy.typing import NDArray

AS_OF = date(2026, 11, 25)
EPOCH = date(1970, 1, 1)
DAYS_A_FILE = 91
BLOCK = 20_000  # vehicles whose readings are made at once
VEHICLES_A_DEPOT = 250
HOURS_A_VEHICLE = 0.55  # a depot has so many each week, somewhat more than its work takes
ONE_FAULT_IN = 20_000  # readings, where there are faults

Days = NDArray[np.int64]


class Task(NamedTuple):
    """A task of the plan: intervals (0: none), hours of labour, and what it takes of which item."""

    name: str
    every_distance: int
    every_months: int
    labour_hours: float
    items: tuple[tuple[str, float], ...] = ()


TASKS = (
    Task("engine_oil", 15_000, 12, 0.8, (("engine_oil", 6.5), ("oil_filter", 1))),
    Task("inspection", 30_000, 12, 1.5, (("grease", 1),)),
    Task("air_filter", 45_000, 0, 0.3, (("air_filter", 1),)),
    Task("cabin_filter", 30_000, 24, 0.2, (("cabin_filter", 1),)),
    Task("brake_fluid", 0, 24, 0.6, (("brake_fluid", 1),)),
    Task("coolant", 120_000, 48, 0.9, (("coolant", 9),)),
    Task("tyres_turned", 12_000, 0, 0.7),
    Task("roadworthiness", 0, 12, 0.4),
)
CLASSES = {"van": 120.0, "pickup": 90.0, "light_truck": 160.0, "truck": 260.0, "bus": 210.0}  # km a day, on average
# Share of the mean of each day of the week, Monday first.
WEEKDAYS = np.array([1.15, 1.2, 1.2, 1.15, 1.2, 0.7, 0.4])
ITEMS = (
    "engine_oil,Engine oil,L,400,7,",
    "oil_filter,Oil filter,piece,60,5,8.40",
    "grease,Grease cartridge,piece,40,5,5.20",
    "air_filter,Air filter,piece,30,7,19.50",
    "cabin_filter,Cabin filter,piece,25,7,11.20",
    "brake_fluid,Brake fluid,L,30,5,",
    "coolant,Coolant,L,120,7,",
)
PACKS = (
    "engine_oil,pail_20L,20,98.00,Plain Stores", "engine_oil,drum_208L,208,870.00,Bulk Fluids",
    "oil_filter,single,1,8.40,Plain Stores", "oil_filter,box_6,6,47.00,Plain Stores",
    "grease,box_12,12,56.00,Plain Stores", "air_filter,single,1,19.50,Plain Stores",
    "cabin_filter,single,1,11.20,Plain Stores", "brake_fluid,can_5L,5,34.00,Plain Stores",
    "coolant,pail_20L,20,58.00,Bulk Fluids", "coolant,drum_208L,208,510.00,Bulk Fluids",
)  # fmt: skip


@dataclass(frozen=True)
class Size:
    """How large a fleet is, how it is used, and how its readings are written (`csv` or `parquet`)."""

    vehicles: int
    days: int = 730
    seed: int = 1
    steady: bool = False
    form: str = "csv"

    @property
    def first_day(self) -> int:
        """The day before the first reading, in days since 1970."""
        return (AS_OF - EPOCH).days - self.days


@dataclass
class _Fleet:
    size: Size
    names: NDArray[Any]
    classes: NDArray[np.int64]
    per_day: NDArray[np.float64]
    odometer: NDArray[np.float64]  # now, as the readings are written
    days: NDArray[np.int64]
    owners: NDArray[np.int64]
    tasks: NDArray[np.int64]
    odometers: NDArray[np.float64]  # of each line of the history


def write_fleet(folder: Path, size: Size) -> int:
    """Write the fleet folder as of AS_OF; gives the number of readings written."""
    folder.mkdir(parents=True, exist_ok=True)
    fleet = _begin(size)
    started = fleet.odometer.copy()
    rows = 0
    (folder / "readings").mkdir(exist_ok=True)
    for number, first in enumerate(range(0, size.days, DAYS_A_FILE)):
        rows += _write_period(folder, fleet, number, first, min(DAYS_A_FILE, size.days - first))
    _write_lists(folder, fleet, started)
    _write_history(folder, fleet)
    np.savez(folder / ".end.npz", odometer=fleet.odometer, days=np.array([size.days]))
    return rows


def add_days(folder: Path, size: Size, days: int = 7) -> int:
    """Add a file with the next days' readings to a fleet that `write_fleet` wrote; gives the number of rows."""
    fleet = _begin(size)
    with np.load(folder / ".end.npz") as end:
        fleet.odometer, done = end["odometer"], int(end["days"][0])
    rows = _write_period(folder, fleet, 1000 + done, done, days)
    np.savez(folder / ".end.npz", odometer=fleet.odometer, days=np.array([done + days]))
    return rows


def _begin(size: Size) -> _Fleet:
    chance = np.random.default_rng([size.seed, 0])
    count = size.vehicles
    classes = chance.integers(len(CLASSES), size=count)
    mean = np.array(list(CLASSES.values()))[classes]
    per_day = np.maximum(5, np.round(mean * chance.lognormal(0, 0.35, count)))
    days, owners, tasks = _services(size, chance, per_day)
    names = np.array([f"V{number:07}" for number in range(count)])
    odometer = np.round(chance.uniform(0, 150_000, count))
    return _Fleet(size, names, classes, per_day, odometer, days, owners, tasks, np.zeros(len(days)))


def _services(
    size: Size, chance: np.random.Generator, per_day: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Day (1 is the first with a reading), vehicle and task of each service, about as often as the plan asks."""
    days, owners, tasks = [], [], []
    vehicles = np.arange(size.vehicles)
    for number, task in enumerate(TASKS):
        every = np.full(size.vehicles, np.inf)
        if task.every_distance:
            every = np.minimum(every, task.every_distance / per_day)
        if task.every_months:
            every = np.minimum(every, task.every_months * 30.4)
        # The first falls somewhere in its interval; those due after the as-of date are to come.
        on = np.floor(every * chance.uniform(0, 1, size.vehicles)) + 1
        while (some := on <= size.days).any():
            days.append(on[some])
            owners.append(vehicles[some])
            tasks.append(np.full(some.sum(), number))
            on = np.where(some, on + np.maximum(1, np.floor(every * chance.uniform(0.9, 1.08, size.vehicles))), on)
    return tuple(np.concatenate(parts).astype(np.int64) for parts in (days, owners, tasks))  # type: ignore[return-value]


def _write_period(folder: Path, fleet: _Fleet, number: int, first: int, days: int) -> int:
    """Readings of some days, for all vehicles, into one file of `readings/`."""
    size = fleet.size
    path = folder / "readings" / f"part-{number:04}.{size.form}"
    rows = 0
    in_it = (fleet.days > first) & (fleet.days <= first + days)
    with _writer(path, size.form) as write:
        for block, start in enumerate(range(0, size.vehicles, BLOCK)):
            chance = np.random.default_rng([size.seed, 1, number, block])
            some = slice(start, min(start + BLOCK, size.vehicles))
            odometer = _odometers(fleet, chance, some, first, days)
            mine = np.nonzero(in_it & (fleet.owners >= some.start) & (fleet.owners < some.stop))[0]
            fleet.odometers[mine] = odometer[fleet.owners[mine] - start, fleet.days[mine] - first - 1]
            table = _table(fleet, some, odometer, first, days, chance)
            write.write_table(table)
            rows += table.num_rows
    return rows


def _odometers(fleet: _Fleet, chance: np.random.Generator, some: slice, first: int, days: int) -> NDArray[np.float64]:
    """Whole kilometres at the end of each day, a row a vehicle; leaves the last as the fleet's odometer."""
    per_day = fleet.per_day[some]
    if fleet.size.steady:
        moved = np.repeat(per_day[:, None], days, axis=1)
    else:
        weekday = (np.arange(days) + fleet.size.first_day + first + 4) % 7  # 1970-01-01 was a Thursday
        moved = np.round(per_day[:, None] * WEEKDAYS[weekday] * chance.gamma(4, 0.25, (len(per_day), days)))
    odometer = fleet.odometer[some][:, None] + np.cumsum(moved, axis=1)
    fleet.odometer[some] = odometer[:, -1]
    return odometer


def _table(
    fleet: _Fleet, some: slice, odometer: NDArray[np.float64], first: int, days: int, chance: np.random.Generator
) -> pa.Table:
    """Day by day, vehicle by vehicle, as an export has them."""
    names = np.tile(fleet.names[some], days)
    day = np.repeat(np.arange(days) + fleet.size.first_day + first + 1, odometer.shape[0])
    reading = odometer.T.reshape(-1).astype(np.int64)
    if fleet.size.steady:
        return _arrow(names, day, reading.astype(str) if fleet.size.form == "csv" else reading)
    said: Any = reading
    faulty = chance.choice(len(reading), size=max(1, len(reading) // ONE_FAULT_IN), replace=False)
    kind = chance.integers(4, size=len(faulty))
    said[faulty[kind == 0]] *= 10  # a digit typed twice
    said[faulty[kind == 1]] //= 10  # the last digit lost
    if fleet.size.form == "csv":
        said = said.astype(str)
        said[faulty[kind == 2]] = "illegible"
    names = names.copy()
    names[faulty[kind == 3]] = "?"
    # Exports overlap: the first day's rows stand here again.
    again = slice(0, odometer.shape[0] // 10)
    return _arrow(*(np.concatenate([column, column[again]]) for column in (names, day, said)))


def _arrow(names: NDArray[Any], day: NDArray[np.int64], reading: NDArray[Any]) -> pa.Table:
    count = len(names)
    return pa.table(
        {
            "vehicle_id": pa.array(names),
            "read_at": pa.array(day.astype("datetime64[D]")),
            "meter": pa.DictionaryArray.from_arrays(np.zeros(count, np.int8), ["odometer"]).cast(pa.string()),
            "reading": pa.array(reading),
            "unit": pa.DictionaryArray.from_arrays(np.zeros(count, np.int8), ["km"]).cast(pa.string()),
        }
    )


def _writer(path: Path, form: str) -> Any:
    number = pa.string() if form == "csv" else pa.int64()
    schema = pa.schema(
        [("vehicle_id", pa.string()), ("read_at", pa.date32()), ("meter", pa.string()), ("reading", number),
         ("unit", pa.string())]
    )  # fmt: skip
    if form == "parquet":
        return pa.parquet.ParquetWriter(path, schema, compression="zstd")
    return pa.csv.CSVWriter(path, schema, write_options=pa.csv.WriteOptions(quoting_style="none"))


def _write_lists(folder: Path, fleet: _Fleet, odometer: NDArray[np.float64]) -> None:
    size, classes = fleet.size, list(CLASSES)
    in_service = EPOCH + timedelta(size.first_day)
    depots = max(1, size.vehicles // VEHICLES_A_DEPOT)
    _write_csv(
        folder / "vehicles.csv",
        "vehicle_id,title,class,depot,cost_centre,in_service_on,in_service_odometer,budget_per_year",
        ([name, f"{classes[kind]} {number}", classes[kind], f"Depot {number % depots:03}", f"C{number % 7}",
          in_service, int(km), 2500]
         for number, (name, kind, km) in enumerate(zip(fleet.names, fleet.classes, odometer, strict=True))),
    )  # fmt: skip
    _write_csv(
        folder / "tasks.csv",
        "class,task,every_distance,every_months,labour_hours,category",
        (["*", task.name, task.every_distance or "", task.every_months or "", task.labour_hours, "service"]
         for task in TASKS),
    )  # fmt: skip
    _write_csv(
        folder / "task_items.csv",
        "class,task,item,quantity",
        (["*", task.name, item, quantity] for task in TASKS for item, quantity in task.items),
    )
    (folder / "items.csv").write_text("\n".join(["item,title,unit,on_hand,lead_time_days,unit_cost", *ITEMS]) + "\n")
    (folder / "packs.csv").write_text("\n".join(["item,pack,size,price,supplier", *PACKS]) + "\n")
    hours = round(VEHICLES_A_DEPOT * HOURS_A_VEHICLE) if size.vehicles >= VEHICLES_A_DEPOT else 40
    limits = "".join(f'"Depot {number:03}" = {hours}\n' for number in range(depots))
    (folder / "fleet.toml").write_text(
        '[fleet]\nname = "Benchmark fleet"\ncurrency = "EUR"\n\n[workshop]\nlabour_rate = 64\nhours_per_visit = 0.5\n\n'
        f"[workshop.hours_per_week]\n{limits}"
    )


def _write_history(folder: Path, fleet: _Fleet) -> None:
    """A line for each service, and for a vehicle one or two repairs a year and some oil between services."""
    size = fleet.size
    (folder / "history").mkdir(exist_ok=True)
    header = "vehicle_id,done_on,odometer,task,description,kind,item,quantity,parts_cost,labour_hours,labour_cost"
    order = np.lexsort((fleet.owners, fleet.days))
    days = [EPOCH + timedelta(size.first_day + day) for day in range(size.days + 1)]
    _write_csv(folder / "history" / "services.csv", header, (_service(fleet, at, days) for at in order))
    if size.steady:
        return
    _write_csv(folder / "history" / "repairs.csv", header, _others(fleet, days))


def _service(fleet: _Fleet, at: int, days: list[date]) -> list[object]:
    task = TASKS[fleet.tasks[at]]
    item, quantity = task.items[0] if task.items else ("", "")
    return [fleet.names[fleet.owners[at]], days[fleet.days[at]], int(fleet.odometers[at]), task.name,
            task.name.replace("_", " "), "scheduled", item, quantity, 25 if item else "", task.labour_hours,
            round(64 * task.labour_hours, 2)]  # fmt: skip


def _others(fleet: _Fleet, days: list[date]) -> Iterator[list[object]]:
    chance = np.random.default_rng([fleet.size.seed, 2])
    count = round(fleet.size.vehicles * fleet.size.days / 365 * 1.5)
    owners, on = chance.integers(fleet.size.vehicles, size=count), chance.integers(1, fleet.size.days + 1, size=count)
    costs, hours = chance.lognormal(5, 0.8, count), chance.gamma(2, 1, count)
    words = ("hose split, replaced", "lamp broken, replaced", "belt renewed", "door repaired")
    for at in range(count):
        yield [fleet.names[owners[at]], days[on[at]], "", "", words[at % len(words)], "repair", "", "",
               f"{costs[at]:.2f}", f"{hours[at]:.1f}", f"{64 * hours[at]:.2f}"]  # fmt: skip
        if at % 2:
            yield [fleet.names[owners[at]], days[on[at]], "", "", "oil topped up", "top_up", "engine_oil", 0.7, "", "",
                   ""]  # fmt: skip


def _write_csv(path: Path, header: str, rows: Any) -> None:
    with path.open("w", encoding="utf-8", newline="") as opened:
        write = csv.writer(opened, lineterminator="\n")
        write.writerow(header.split(","))
        write.writerows(rows)


def main() -> None:
    """Write the fleet that the call describes."""
    call = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    call.add_argument("folder", type=Path)
    call.add_argument("--vehicles", type=int, default=2000)
    call.add_argument("--days", type=int, default=730)
    call.add_argument("--seed", type=int, default=1)
    call.add_argument("--steady", action="store_true", help="no faults, the same distance every day")
    call.add_argument("--form", choices=("csv", "parquet"), default="csv", help="of the readings")
    asked = call.parse_args()
    rows = write_fleet(asked.folder, Size(asked.vehicles, asked.days, asked.seed, asked.steady, asked.form))
    print(f"{rows:,} readings")


if __name__ == "__main__":
    main()
