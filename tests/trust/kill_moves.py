"""Kill the moving of reports into their places before each of its steps in turn, and see what a reader and a run find.

    python tests/trust/kill_moves.py

Prints how many kills were tried and what failed: after each kill every file must be whole, of the old week or the new;
files of both only while the rest is ready; after `finish_placing` all must be of one week. POSIX only: it forks.
"""

import os
import shutil
import signal
import sys
import tempfile
from itertools import count
from pathlib import Path

from fleetreport.placing import READY, WRITING, finish_placing, put_in_place

OLD = {"index.html": "old", "week.html": "old", "data/due.csv": "old", "orders/gone.txt": "old", "mine.txt": "mine"}
NEW = {"index.html": "new", "week.html": "new", "data/due.csv": "new", "data/new.csv": "new", "weeks/2026-W48/a": "new"}
AFTER = {**NEW, "mine.txt": "mine"}
STEPS = ("os.rename", "os.remove", "os.rmdir", "os.chmod")


def write(folder: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)


def seen_in(out: Path) -> dict[str, str]:
    names = {path.relative_to(out).as_posix(): path for path in sorted(out.rglob("*")) if path.is_file()}
    return {name: path.read_text() for name, path in names.items() if not name.startswith((WRITING, READY))}


def publish_and_die(out: Path, step: int) -> bool:
    """Publish in a child that kills itself before so many a step; tells whether it died."""
    child = os.fork()
    if child == 0:
        number = count()

        def die(event: str, values: object) -> None:
            if event in STEPS and next(number) == step:
                os.kill(os.getpid(), signal.SIGKILL)

        with put_in_place(out, ["orders/gone.txt"]) as aside:
            write(aside, NEW)
            sys.addaudithook(die)
        os._exit(0)
    return os.WIFSIGNALED(os.waitpid(child, 0)[1])


def main() -> int:
    wrong: list[str] = []
    mixed = 0
    with tempfile.TemporaryDirectory() as name:
        for step in count():
            out = Path(name) / f"out{step}"
            write(out, OLD)
            if not publish_and_die(out, step):
                break
            seen, ready = seen_in(out), list(out.glob(f"{READY}*"))
            mixed += seen not in (OLD, AFTER)
            if any(text not in (OLD.get(one), NEW.get(one)) for one, text in seen.items()):
                wrong.append(f"step {step}: a file of no week")
            if seen not in (OLD, AFTER) and not ready:
                wrong.append(f"step {step}: files of both weeks, and nothing to end it")
            finish_placing(out)
            if seen_in(out) != (AFTER if ready or seen == AFTER else OLD):
                wrong.append(f"step {step}: {seen_in(out)}")
            shutil.rmtree(out)
    print(f"{step} kills, {mixed} of them between two moves, {len(wrong)} failures")
    for what in wrong:
        print(f"  {what}")
    return min(len(wrong), 1)


if __name__ == "__main__":
    sys.exit(main())
