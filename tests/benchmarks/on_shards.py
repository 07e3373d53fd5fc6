"""What the shards of a fleet and the process that leads them take: CPU, memory, disk, by vehicle and reading.

Each shard's round is worked on in a process of its own, one after the other, so that its CPU and greatest memory are
its own. The leading process's part is everything else up to the reports' tables; reports are counted apart.

    python tests/benchmarks/on_shards.py FLEET --shards 2
"""

import argparse
import multiprocessing
import re
import resource
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from datetime import date
from pathlib import Path

from fleetreport.cluster.on_a_shard import Done, Job, work_on
from fleetreport.cluster.rounds import rounds_of
from fleetreport.cluster.shards import Shards, write_shards
from fleetreport.cluster.week_in_shards import Asked, open_inputs, work_out_in_shards, workplace
from fleetreport.published_tables import PUBLISHED
from fleetreport.publishing import publish
from fleetreport.query import beside_the_package, load_macros
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.storing.store import begin_run, passing_store
from fleetreport.week import makers

MB = 1_000_000
AS_OF = date(2026, 11, 25)


def used() -> float:
    """Seconds of CPU of this process so far."""
    found = resource.getrusage(resource.RUSAGE_SELF)
    return found.ru_utime + found.ru_stime


def most_memory() -> int:
    """The greatest memory of this process, in bytes; Linux keeps it from its very start, and not its parent's."""
    found = re.search(r"VmHWM:\s+(\d+) kB", Path("/proc/self/status").read_text())
    return int(found[1]) * 1024 if found else 0


def measured(job: Job) -> tuple[Done, float, int]:
    """A shard's round, its seconds of CPU with the program's own start, and its greatest memory."""
    return work_on(job), used(), most_memory()


def split(fleet: Path, out: str, number: int, store: Path) -> tuple[Shards, float, float, int]:
    """The shards of a fleet, seconds, seconds of CPU, and the greatest memory."""
    began = time.monotonic()
    shards, _ = write_shards(fleet, out, number, store)
    return shards, time.monotonic() - began, used(), most_memory()


def size_of(folder: Path) -> int:
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())


class Watch:
    """The rounds of a run as they are had done, each shard in a fresh process, and what they took."""

    def __init__(self, shards: Shards) -> None:
        self.folder = Path(shards.place.url)
        self.rounds: list[tuple[float, float, int, int]] = []
        self.in_shards = 0.0

    def have_done(self, jobs: Sequence[Job], tell: Callable[[Done], None]) -> list[Done]:
        """Gives what came of the jobs; notes mean CPU, mean seconds, greatest memory and the bytes left of a round."""
        began, before = time.monotonic(), size_of(self.folder)
        found = []
        for job in jobs:
            with ProcessPoolExecutor(1, multiprocessing.get_context("spawn")) as one:
                found.append(one.submit(measured, job).result())
        done = [one for one, *_ in found]
        self.rounds.append((
            sum(cpu for _, cpu, _ in found) / len(jobs), sum(one.seconds for one in done) / len(jobs),
            max(memory for *_, memory in found), (size_of(self.folder) - before) // len(jobs),
        ))  # fmt: skip
        self.in_shards += time.monotonic() - began
        return done


def main() -> None:
    """Measure one fleet and print what it took."""
    called = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    called.add_argument("fleet", type=Path)
    called.add_argument("--shards", type=int, default=2)
    called.add_argument("--reports", action="store_true", help="write the reports too")
    asked = called.parse_args()
    with tempfile.TemporaryDirectory(prefix="fleetreport-") as spare:
        store = Path(spare) / "store.duckdb"
        with ProcessPoolExecutor(1, multiprocessing.get_context("spawn")) as one:
            shards, split_seconds, split_cpu, split_peak = one.submit(
                split, asked.fleet, f"{spare}/shards", asked.shards, store
            ).result()
        vehicles, readings = shards.rows["vehicles"], shards.rows["readings"]
        print(f"{vehicles:,} vehicles, {readings:,} readings, {asked.shards} shards")
        print(f"split: {split_seconds:.0f} s, {split_cpu:.0f} s CPU, peak {split_peak / MB:.0f} MB; "
              f"store {store.stat().st_size / MB:.0f} MB, shards "
              f"{size_of(Path(shards.place.url)) / MB:.1f} MB")  # fmt: skip
        store.unlink()
        watch, settings = Watch(shards), read_settings(asked.fleet)
        made, own, _ = makers(asked.fleet)
        with passing_store(settings) as db, workplace(shards) as work:
            began, cpu = time.monotonic(), used()
            open_inputs(db, shards)
            load_macros(db, beside_the_package("queries"))
            begin_run(db, settings, AS_OF, shards.fleet_name)
            work_out_in_shards(db, rounds_of(made, PUBLISHED), Asked(shards, settings, work, watch.have_done))
            lead_seconds, lead_cpu = time.monotonic() - began - watch.in_shards, used() - cpu
            for number, (of_cpu, seconds, peak, left) in enumerate(watch.rounds, 1):
                print(
                    f"round {number}, a shard: {of_cpu:.1f} s CPU, {seconds:.1f} s, peak {peak / MB:.0f} MB, "
                    f"left {left / MB:.1f} MB"
                )
            print(f"leading process: {lead_cpu:.0f} s CPU, {lead_seconds:.0f} s, peak {most_memory() / MB:.0f} MB")
            if asked.reports:
                began, cpu = time.monotonic(), used()
                publish(db, settings, AS_OF, Path(spare) / "out", False, lambda what: None, own=own)
                print(f"reports: {used() - cpu:.0f} s CPU, {time.monotonic() - began:.0f} s, "
                      f"{size_of(Path(spare) / 'out') / MB:.0f} MB")  # fmt: skip


if __name__ == "__main__":
    main()
