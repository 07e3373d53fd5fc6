"""Kill weekly runs (SIGKILL) at random moments, run again, and compare everything with runs that nobody disturbed.

    PYTHONPATH=tests python tests/trust/kill_runs.py 300 [SEED] [load]

A small fleet goes back and forth between two states of its folder. Each run is killed at a random moment: half of the
times a random while after its begin, half of the times shortly after a random step (a file read, a table made, a report
written), so that the short phases get their share. After each kill is checked:

- the database holds the tables of one of the two states, whole, or nothing yet;
- every report that can be seen has the very bytes that one of the two states gives it, so that none is half-written;
- all that can be seen is of one run, unless what is ready to come stands beside it.

With `load` the runs end when the folder is loaded, before anything is worked out, so that many more fit an hour.

After one to three kills the run is made again to its end: all tables and all published files must then be those of a
run that nobody disturbed. A database that DuckDB finds damaged after a kill (once so far, by what is not known) is
counted, and the next run must make it anew. Prints how many kills fell where, and what failed. POSIX only: runs are
forked.
"""

import hashlib
import importlib
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

import duckdb
import jinja2

from fleetreport.placing import READY, WRITING
from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.standing import PUBLISHED
from fleetreport.starting.new_folder import make_folder
from fleetreport.storing.damage import is_damage
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import one_transaction, opened_store, store_of
from fleetreport.week import make_week

AS_OF = date(2026, 11, 25)
CLOCK = ("logged_at", "loaded_at")  # tell the clock's time, so that they differ from run to run
# Differ from run to run too: the log tells times of loading, the other where reports stand and when they were written.
OF_THE_RUN = ("load_log", PUBLISHED)
Digests = dict[str, str]
Work = Callable[[Callable[[str], None]], None]
Run = Callable[[Path, Path, Path], Work]


def write_state(fleet: Path, number: int) -> None:
    """One of two states of the folder: in the second a vehicle, a file and a supplier are gone."""
    shutil.rmtree(fleet / "readings", ignore_errors=True)
    if number == 0:
        (fleet / "readings").mkdir()
        (fleet / "readings" / "more.csv").write_text(
            "vehicle_id,read_at,reading\n" + "".join(f"V90,2026-{m:02}-0{d},{m * 900 + d}\n"
                                                     for m in range(1, 11) for d in (1, 5, 9))
        )  # fmt: skip
    vehicles = (fleet / "vehicles.csv.whole").read_text(encoding="utf-8")
    head = vehicles.splitlines()[0].split(",")
    more = ",".join({"vehicle_id": "V90", "class": "van", "in_service_on": "2025-01-01"}.get(name, "") for name in head)
    (fleet / "vehicles.csv").write_text(vehicles + more + "\n" if number == 0 else vehicles, encoding="utf-8")
    items = (fleet / "packs.csv.whole").read_text(encoding="utf-8").splitlines()
    (fleet / "packs.csv").write_text("\n".join(items if number == 0 else items[:-1]) + "\n", encoding="utf-8")
    settings = (fleet / "fleet.toml.whole").read_text(encoding="utf-8")
    mail = '[mail]\nweek = ["a@example.org"]\norder = ["b@example.org"]\n'
    asked = settings.replace("[mail] ", f"{mail}# " if number == 0 else "[mail] ")
    assert number or asked != settings
    (fleet / "fleet.toml").write_text(asked, encoding="utf-8")


def make_fleet(fleet: Path) -> None:
    make_folder(fleet, AS_OF)
    for name in ("vehicles.csv", "packs.csv", "fleet.toml"):
        shutil.copy(fleet / name, fleet / f"{name}.whole")


def in_a_child(work: Work) -> tuple[int, int]:
    """Start `work` in a process of its own; gives its id and the end of a pipe on which it tells what it does."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        code = 1
        try:
            os.close(reads)
            work(lambda what: void(os.write(writes, f"{what}\n".encode())))
            code = 0
        except BaseException as error:
            os.write(writes, f"! {type(error).__name__}: {error}\n".encode())
        finally:
            os._exit(code)
    os.close(writes)
    return child, reads


def void(_: object) -> None:
    """Nothing."""


def told_by(work: Work) -> list[str]:
    """What a child told that ran to its end. Raises RuntimeError where it failed."""
    child, reads = in_a_child(work)
    with os.fdopen(reads) as pipe:
        lines = pipe.read().splitlines()
    if os.waitpid(child, 0)[1]:
        raise RuntimeError(lines[-1:])
    return lines


def a_run(fleet: Path, out: Path, store: Path) -> Work:
    return lambda tell: void(make_week(fleet, AS_OF, out, store, tell=lambda what, share: tell(what)))


def a_load(fleet: Path, out: Path, store: Path) -> Work:
    """A run up to where the folder is loaded; it writes no reports, and `out` is left alone."""

    def load(tell: Callable[[str], None]) -> None:
        settings = read_settings(fleet)
        with opened_store(store, settings) as db:
            changes = stage(db, find_files(fleet, settings.source)[0], settings, tell)
            tell("fleet.toml")
            with one_transaction(db):
                keep(db, changes)

    return load


def tables_in(store: Path) -> Digests:
    """A digest of each table of a database, by its name; looked at in a child, so that no thread is left here."""

    def look(tell: Callable[[str], None]) -> None:
        if not store.exists() or not store.stat().st_size:
            return
        # A run that was killed may have left changes to be brought in, so not read-only.
        with duckdb.connect(store) as db:
            names = db.execute("select table_name from duckdb_tables() where not temporary and not internal").fetchall()
            for (name,) in sorted(set(names) - {(name,) for name in OF_THE_RUN}):
                columns = [row[0] for row in db.execute(f'describe "{name}"').fetchall() if row[0] not in CLOCK]
                listed = ", ".join(f'"{column}"' for column in columns)
                rows = db.execute(f'select {listed} from "{name}" order by all').fetchall()
                tell(f"{name} {hashlib.sha256(repr(rows).encode()).hexdigest()}")

    return dict(line.split(" ") for line in told_by(look))


def files_in(out: Path) -> Digests:
    """A digest of each file that a reader sees."""
    seen = (path for path in sorted(out.rglob("*")) if path.is_file())
    named = ((path.relative_to(out).as_posix(), path) for path in seen)
    return {name: hashlib.sha256(path.read_bytes()).hexdigest() for name, path in named
            if not name.startswith((WRITING, READY))}  # fmt: skip


class Undisturbed(NamedTuple):
    """What a state of the folder comes to: its tables, its files after a run on the other, and its steps."""

    tables: Digests
    files: Digests
    steps: list[str]
    seconds: float


def undisturbed(folder: Path, fleet: Path, a_run: Run) -> list[Undisturbed]:
    """Both states, each after the other, so that what an earlier run leaves on purpose is there too."""
    found = []
    for number in (0, 1):
        out, store = folder / f"out{number}", folder / f"{number}.duckdb"
        for state in (1 - number, number):
            write_state(fleet, state)
            begun = time.monotonic()
            steps = told_by(a_run(fleet, out, store))
            seconds = time.monotonic() - begun
        found.append(Undisturbed(tables_in(store), files_in(out), steps, seconds))
    return found


def run_and_kill(run: Work, chance: random.Random, known: Undisturbed) -> str:
    """Start a run and kill it; gives the last step it told, or `ended` where it was quicker."""
    child, reads = in_a_child(run)
    last, at_step = "begin", chance.randrange(len(known.steps)) if chance.random() < 0.5 else None
    with os.fdopen(reads) as pipe:
        if at_step is None:
            time.sleep(chance.uniform(0, known.seconds))
        else:
            for _ in range(at_step + 1):
                last = pipe.readline().strip() or last
            time.sleep(chance.uniform(0, 0.05))
        os.kill(child, signal.SIGKILL)
        lines = pipe.read().splitlines()
    status = os.waitpid(child, 0)[1]
    last = lines[-1].strip() if lines else last
    if os.WIFEXITED(status):
        return "ended" if os.WEXITSTATUS(status) == 0 else f"failed: {last}"
    return last


def phase_of(step: str, fleet: Path) -> str:
    """`load`, `compute` or `write`, by what the run told last."""
    if step == "begin" or (fleet / step).exists():
        return "load"
    if step == "ended":
        return step
    return "write" if step.endswith((".csv", ".html", ".xlsx")) or step == "vehicles" else "compute"


def differing(one: Digests, other: Digests) -> str:
    """The names of what differs, the first ones."""
    return ", ".join(sorted({name for name, _ in one.items() ^ other.items()})[:6])


def is_damaged(store: Path) -> bool:
    """Whether DuckDB finds the file other than it wrote it. It may lie anywhere, so all is read."""
    try:
        tables_in(store)
    except RuntimeError as told:
        if is_damage(duckdb.Error(str(told))):
            return True
        raise
    return False


def wrong_after_a_kill(out: Path, store: Path, states: list[Undisturbed]) -> list[str]:
    """What must not be, right after a kill."""
    wrong = []
    tables = {} if is_damaged(store) else tables_in(store)
    if tables and tables not in [state.tables for state in states]:
        wrong.append("tables of no run: " + " or ".join(differing(tables, state.tables) for state in states))
    files = files_in(out) if out.exists() else {}
    allowed = {name: {state.files.get(name) for state in states} for state in states for name in state.files}
    strange = [name for name, digest in files.items() if digest not in allowed.get(name, set())]
    if strange:
        wrong.append(f"files that no run writes: {', '.join(strange[:5])}")
    of_one_run = not files or files in [state.files for state in states]
    if not of_one_run and not list(out.glob(f"{READY}*")):
        wrong.append("files of two runs, and nothing ready to end it")
    return wrong


def make_quick(spare: Path) -> None:
    """Import what runs import late, and keep compiled templates, so that a run is spent on what may be cut short."""
    for name in ("matplotlib.pyplot", "scipy.optimize", "scipy.stats", "xlsxwriter", "css_inline", "markdown_it"):
        importlib.import_module(name)
    begin = jinja2.Environment.__init__

    def begin_with_cache(self: jinja2.Environment, *values: Any, **named: Any) -> None:
        begin(self, *values, **{"bytecode_cache": jinja2.FileSystemBytecodeCache(str(spare)), **named})

    jinja2.Environment.__init__ = begin_with_cache  # type: ignore[method-assign]


def kill_runs(
    kills: int, seed: int, tell: Callable[[str], None] = void, a_run: Run = a_run
) -> tuple[Counter[str], list[str], int]:
    """Kill so many runs; gives how many kills fell where, what was wrong, and how many databases were damaged."""
    chance = random.Random(seed)
    where: Counter[str] = Counter()
    wrong: list[str] = []
    with tempfile.TemporaryDirectory(prefix="kill-runs-") as name:
        folder, fleet = Path(name), Path(name) / "fleet"
        (folder / "templates").mkdir()
        if a_run is not a_load:
            make_quick(folder / "templates")
        make_fleet(fleet)
        states = undisturbed(folder, fleet, a_run)
        # In its own place, where a run makes a damaged one anew.
        out, store = folder / "out", store_of(fleet)
        number, left, damaged = 0, 0, 0
        # The first run into an empty folder leaves what only a first run leaves: no files of a run before.
        told_by(a_run(fleet, out, store)) if chance.random() < 0.5 else None
        while where.total() - where["ended"] < kills:
            number = chance.randrange(2)
            write_state(fleet, number)
            last = run_and_kill(a_run(fleet, out, store), chance, states[number])
            phase = phase_of(last, fleet) if not last.startswith("failed") else "failed"
            where[phase] += 1
            if any(out.glob(f"{READY}*")):
                where["while moving"] += 1
                where.subtract({phase: 1})
            wrong += [last] if phase == "failed" else []
            damaged += is_damaged(store)
            wrong += [f"after a kill at {last}: {what}" for what in wrong_after_a_kill(out, store, states)]
            left = (left or chance.randint(1, 3)) - 1
            if left == 0:
                told_by(a_run(fleet, out, store))
                differs = differing(tables_in(store), states[number].tables)
                differs += differing(files_in(out), states[number].files)
                wrong += [f"after a kill at {last} and a run: {differs}"] if differs else []
            tell(f"{where.total()} {last} {wrong[-1:] or ''}")
    return where, wrong, damaged


def main() -> int:
    kills, seed = int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 20261125
    run = a_load if sys.argv[3:] == ["load"] else a_run
    where, wrong, damaged = kill_runs(kills, seed, lambda said: print(said, file=sys.stderr, flush=True), run)
    ended = where.pop("ended", 0)
    print(f"{where.total()} runs killed (and {ended} that had ended): "
          + ", ".join(f"{count} in {phase}" for phase, count in sorted(where.items()) if count)
          + f"; the database was found damaged {damaged} times")  # fmt: skip
    print(f"{len(wrong)} failures")
    for what in wrong:
        print(f"  {what}")
    return min(len(wrong), 1)


if __name__ == "__main__":
    sys.exit(main())
