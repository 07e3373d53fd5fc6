"""Run the week on a fleet and tell what each of its stages took; meant for a process of its own.

    python -m tests.benchmarks.stages FLEET OUT [--store FILE] [--as-of DAY] [--each]

Prints one line of JSON for each stage: its name, wall and CPU seconds (of all threads), and the greatest resident
memory while it ran, in MiB (from /proc, so Linux only). With `--each`, every table and file by itself.
"""

import argparse
import json
import time
from datetime import date
from pathlib import Path
from typing import NamedTuple

from fleetreport.query import beside_the_package
from fleetreport.week import PARTS, STEPS, make_week

WRITES_PEAK = Path("/proc/self/clear_refs")


class Taken(NamedTuple):
    """What a stage took: seconds by the clock and of the processor, and the peak of memory in MiB."""

    stage: str
    wall: float
    cpu: float
    peak: float


class Stopwatch:
    """Called with the name of each thing before it is done; adds up what things of one stage took."""

    def __init__(self, each: bool = False) -> None:
        self.taken: dict[str, Taken] = {}
        self.each = each
        self.now = ""
        self.folder_of = {
            path.stem: path.parent.name
            for path in beside_the_package("queries").glob("*/*.sql")
            if path.parent.name in PARTS
        }
        self.steps = {step.table for step in STEPS}
        self.has_begun = False
        self.wall, self.cpu = time.perf_counter(), time.process_time()
        forget_peak()

    def begin(self, what: str) -> None:
        """End the stage before and begin that of `what`."""
        self.end()
        self.now = self._stage_of(what)
        self.wall, self.cpu = time.perf_counter(), time.process_time()
        forget_peak()

    def end(self) -> None:
        """Add what went by since the last `begin` to its stage."""
        if self.now:
            before = self.taken.get(self.now, Taken(self.now, 0, 0, 0))
            self.taken[self.now] = Taken(
                self.now, before.wall + time.perf_counter() - self.wall,
                before.cpu + time.process_time() - self.cpu, max(before.peak, peak()),
            )  # fmt: skip

    def _stage_of(self, what: str) -> str:
        if what in self.folder_of or what in self.steps:
            self.has_begun = True
            folder = self.folder_of.get(what, "step")
            return f"{folder}: {what}" if self.each or folder == "step" else folder
        if not self.has_begun:
            return "load"
        return f"report: {what}" if self.each else "reports"


def forget_peak() -> None:
    """Let the greatest memory of this process be counted from now on."""
    WRITES_PEAK.write_text("5")


def peak() -> float:
    """The greatest resident memory since `forget_peak`, in MiB."""
    status = Path("/proc/self/status").read_text()
    return int(status.split("VmHWM:")[1].split()[0]) / 1024


def main() -> None:
    """Run the week that the call names and print what its stages took."""
    call = argparse.ArgumentParser()
    call.add_argument("fleet", type=Path)
    call.add_argument("out", type=Path)
    call.add_argument("--store", type=Path)
    call.add_argument("--as-of", type=date.fromisoformat, default=date(2026, 11, 25))
    call.add_argument("--each", action="store_true")
    asked = call.parse_args()
    watch = Stopwatch(asked.each)
    made = make_week(asked.fleet, asked.as_of, asked.out, asked.store, tell=lambda what, share: watch.begin(what))
    watch.end()
    for taken in watch.taken.values():
        print(json.dumps(taken._asdict()))
    print(json.dumps({"vehicles": made.vehicles, "overdue": made.overdue, "due": made.due}))


if __name__ == "__main__":
    main()
