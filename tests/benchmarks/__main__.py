"""How long a week takes and in how much memory, beside three yardsticks measured in the same run.

    python -m tests.benchmarks                         20,000 vehicles x 730 days
    python -m tests.benchmarks --vehicles 2000         a tenth of it
    python -m tests.benchmarks --doubling 16           first loads of 1, 2, 4 ... 16 million readings

Each figure is of a process of its own: wall and processor seconds and the peak of resident memory, as the system
counts them when it ends. The yardsticks are DuckDB reading the same files into typed tables (typed_tables.py), and the
same due list as scripts in pandas and in Polars; that they give the program's own list on a fleet without faults is
checked first. Wants the extra `benchmark`.
"""

import argparse
import json
import os
import platform
import subprocess
import sys
import tempfile
from datetime import date, timedelta
from pathlib import Path
from typing import NamedTuple

import duckdb

from tests.benchmarks.fleet import AS_OF, Size

ROOT = Path(__file__).parents[2]
TARGETS = (
    ("week, first load / DuckDB reading", "at most 2.0"),
    ("pandas / week, first load", "at least 10"),
    ("Polars / week, first load", "above 1"),
    ("week after a week more / week, first load", "at most 0.15"),
)


class Measured(NamedTuple):
    """What a process took: seconds by the clock and of the processor, peak memory in MiB, and what it printed."""

    wall: float
    cpu: float
    peak: float
    printed: str


def measure(module: str, *arguments: object) -> Measured:
    """Run a module of this folder as a process and wait for it. Raises RuntimeError where it fails."""
    with tempfile.TemporaryFile("w+") as printed:
        begun = os.times().elapsed
        call = [sys.executable, "-m", f"tests.benchmarks.{module}", *map(str, arguments)]
        child = subprocess.Popen(call, cwd=ROOT, stdout=printed)
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        wall = os.times().elapsed - begun
        printed.seek(0)
        if child.returncode:
            raise RuntimeError(f"{' '.join(call)}: ended with {child.returncode}")
        text = printed.read()
        # A process that tells of its stages counts its peak anew for each.
        peaks = [json.loads(line)["peak"] for line in text.splitlines() if '"stage"' in line]
        return Measured(wall, used.ru_utime + used.ru_stime, max([used.ru_maxrss / 1024, *peaks]), text)


def write_fleet(folder: Path, size: Size) -> int:
    """Write a fleet in a process of its own, so that this one stays small; gives the number of readings."""
    steady = ["--steady"] if size.steady else []
    done = measure("fleet", folder, "--vehicles", size.vehicles, "--days", size.days, "--form", size.form, *steady)
    return int(done.printed.split()[0].replace(",", ""))


def check_lists_agree(work: Path, form: str) -> str:
    """The three due lists of a small fleet without faults, row by row. Raises RuntimeError where they differ."""
    fleet = work / "steady"
    write_fleet(fleet, Size(500, 200, steady=True, form=form))
    measure("stages", fleet, work / "steady-out")
    measure("with_pandas", fleet, AS_OF, work / "pandas.csv")
    measure("with_polars", fleet, AS_OF, work / "polars.csv")
    db = duckdb.connect()
    chosen = "select vehicle_id, task, status, governed_by, due_on::date, distance_left::double from"
    ours = f"{chosen} '{work}/steady-out/data/due.csv'"
    for name in ("pandas", "polars"):
        theirs = f"{chosen} '{work}/{name}.csv'"
        off = db.sql(f"(({ours}) except ({theirs})) union all (({theirs}) except ({ours}))").fetchall()
        if off:
            raise RuntimeError(f"{name}: found {len(off)} rows other than ours, such as {off[0]}")
    rows = db.sql(f"select count(*) from ({ours})").fetchall()[0][0]
    return f"The same due list from the program, pandas and Polars on a fleet without faults: {rows:,} rows."


def stages_of(done: Measured) -> list[str]:
    """A line for each stage of a run, the longest first."""
    rows = [json.loads(line) for line in done.printed.splitlines() if '"stage"' in line]
    return [
        f"| &nbsp; {row['stage']} | | {row['wall']:.1f} | {row['cpu']:.1f} | {row['peak']:,.0f} |"
        for row in sorted(rows, key=lambda row: -row["cpu"])
        if row["cpu"] >= 0.05 * sum(row["cpu"] for row in rows) / 2
    ]


def main_table(work: Path, size: Size) -> list[str]:
    """The table of one fleet: yardsticks, first load, a week more, and their ratios."""
    told = [check_lists_agree(work, size.form), ""]
    fleet = work / "fleet"
    rows = write_fleet(fleet, size)
    floor = measure("typed_tables", fleet, work / "floor.duckdb")
    pandas = measure("with_pandas", fleet, AS_OF, work / "pandas.csv")
    polars = measure("with_polars", fleet, AS_OF, work / "polars.csv")
    first = measure("stages", fleet, work / "out")
    more = int(measure("more_days", fleet, size.vehicles, size.days, size.form).printed)
    again = measure("stages", fleet, work / "out", "--as-of", AS_OF + timedelta(7))
    told += [f"{size.vehicles:,} vehicles, {size.days} days, readings as {size.form}.", ""]
    told += ["| what | readings | wall, s | CPU, s | peak, MiB |", "|---|--:|--:|--:|--:|"]
    for name, done, count in (
        ("DuckDB reading into typed tables", floor, rows), ("due list in pandas", pandas, rows),
        ("due list in Polars", polars, rows), ("**week, first load, all reports**", first, rows),
    ):  # fmt: skip
        told.append(f"| {name} | {count:,} | {done.wall:.1f} | {done.cpu:.1f} | {done.peak:,.0f} |")
    told += stages_of(first)
    told.append(f"| **week after a week more** | +{more:,} | {again.wall:.1f} | {again.cpu:.1f} | {again.peak:,.0f} |")
    told += stages_of(again)
    told += ["", "| ratio | by wall | by CPU | wanted |", "|---|--:|--:|---|"]
    pairs = ((first, floor), (pandas, first), (polars, first), (again, first))
    for (name, wanted), (one, other) in zip(TARGETS, pairs, strict=True):
        told.append(f"| {name} | {one.wall / other.wall:.2f} | {one.cpu / other.cpu:.2f} | {wanted} |")
    return told


def doubling_table(work: Path, most: int, form: str) -> list[str]:
    """First loads of fleets of 1, 2, 4 ... `most` million readings, and what each doubling multiplied."""
    told = ["| readings | DuckDB reading, wall s | week, wall s | week, CPU s | peak, MiB | wall × | CPU × |",
            "|--:|--:|--:|--:|--:|--:|--:|"]  # fmt: skip
    before: Measured | None = None
    millions = 1
    while millions <= most:
        with tempfile.TemporaryDirectory(dir=work) as folder:
            fleet = Path(folder) / "fleet"
            rows = write_fleet(fleet, Size(round(millions * 1_000_000 / 730), 730, form=form))
            floor = measure("typed_tables", fleet, Path(folder) / "floor.duckdb")
            done = measure("stages", fleet, Path(folder) / "out")
        grew = f"{done.wall / before.wall:.2f} | {done.cpu / before.cpu:.2f}" if before else "|"
        told.append(f"| {rows:,} | {floor.wall:.1f} | {done.wall:.1f} | {done.cpu:.1f} | {done.peak:,.0f} | {grew} |")
        print(told[-1], flush=True)
        before, millions = done, 2 * millions
    return told


def machine() -> str:
    """The machine and the versions, in a line."""
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    return (
        f"{os.cpu_count()} cores ({platform.machine()}), {memory:.0f} GiB of memory, {platform.system()}, Python "
        f"{platform.python_version()}, DuckDB {duckdb.__version__}; load average {os.getloadavg()[1]:.1f} before the "
        f"run; {date.today()}."
    )


def main() -> None:
    """Measure what the call asks for, print it as Markdown, and keep it where the call says."""
    call = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    call.add_argument("--vehicles", type=int, default=20_000)
    call.add_argument("--days", type=int, default=730)
    call.add_argument("--form", choices=("csv", "parquet"), default="csv", help="of the readings")
    call.add_argument("--doubling", type=int, metavar="MILLIONS", help="first loads up to so many million readings")
    call.add_argument("--work", type=Path, help="folder for what is written meanwhile (default: a temporary one)")
    call.add_argument("--keep", type=Path, help="write the table into this file too")
    asked = call.parse_args()
    before = machine()
    with tempfile.TemporaryDirectory(dir=asked.work, prefix="fleetreport-benchmark-") as folder:
        if asked.doubling:
            told = doubling_table(Path(folder), asked.doubling, asked.form)
        else:
            told = main_table(Path(folder), Size(asked.vehicles, asked.days, form=asked.form))
    text = "\n".join([before, "", *told, ""])
    print(text)
    if asked.keep:
        asked.keep.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
