"""Cut short the moving of reports into their places before each of its steps in turn, and see what is found there.

    python tests/trust/kill_moves.py

The step is the last one (the process is killed), or it fails as it does on a full disk. Prints how many of both were
tried and what failed: after each every file must be whole, of the old week or the new; files of both only while the
rest is ready; after `finish_placing` all must be of one week. What fails must be told. POSIX only: it forks.
"""

import errno
import os
import shutil
import signal
import sys
import tempfile
from itertools import count
from pathlib import Path

from fleetreport.placing import READY, WRITING, finish_placing, put_in_place
from fleetreport.problem import CannotReadOrWrite

OLD = {"index.html": "old", "week.html": "old", "data/due.csv": "old", "orders/gone.txt": "old", "mine.txt": "mine"}
NEW = {"index.html": "new", "week.html": "new", "data/due.csv": "new", "data/new.csv": "new", "weeks/2026-W48/a": "new"}
AFTER = {**NEW, "mine.txt": "mine"}
STEPS = ("os.rename", "os.remove", "os.rmdir", "os.chmod", "os.mkdir", "open")
KILLED, TOLD = -signal.SIGKILL, 3


def write(folder: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)


def seen_in(out: Path) -> dict[str, str]:
    names = {path.relative_to(out).as_posix(): path for path in sorted(out.rglob("*")) if path.is_file()}
    return {name: path.read_text() for name, path in names.items() if not name.startswith((WRITING, READY))}


def publish_cut_short(out: Path, step: int, is_full: bool) -> int:
    """Publish in a child that kills itself before so many a step, or that then finds the disk full; gives its code."""
    child = os.fork()
    if child == 0:
        number = count()

        def cut(event: str, values: tuple[object, ...]) -> None:
            is_read = event == "open" and not (isinstance(values[2], int) and values[2] & (os.O_WRONLY | os.O_RDWR))
            if event not in STEPS or is_read or next(number) != step:
                return
            if is_full:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(values[0]))
            os.kill(os.getpid(), signal.SIGKILL)

        code = 0
        try:
            with put_in_place(out, ["orders/gone.txt"]) as aside:
                if is_full:
                    sys.addaudithook(cut)
                write(aside, NEW)
                if not is_full:
                    sys.addaudithook(cut)
        except CannotReadOrWrite as stop:
            code = TOLD if "No space left on device" in str(stop) else 1
        except BaseException:
            code = 1
        os._exit(code if code or next(number) > step else 4)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def main() -> int:
    wrong: list[str] = []
    kills, mixed = cut_short_at_each_step(wrong, is_full=False)
    full, mixed_when_full = cut_short_at_each_step(wrong, is_full=True)
    print(f"{kills} kills, {mixed} of them between two moves, {full} full disks, {mixed_when_full} between two moves, "
          f"{len(wrong)} failures")  # fmt: skip
    for what in wrong:
        print(f"  {what}")
    return min(len(wrong), 1)


def cut_short_at_each_step(wrong: list[str], is_full: bool) -> tuple[int, int]:
    """How often moving was cut short, and how often so that files of both weeks stood there; faults go to `wrong`."""
    mixed = 0
    with tempfile.TemporaryDirectory() as name:
        for step in count():
            out = Path(name) / f"out{step}"
            write(out, OLD)
            code = publish_cut_short(out, step, is_full)
            if code == 4:
                break
            if code not in ((0, TOLD) if is_full else (KILLED,)):
                wrong.append(f"step {step}: ended with {code}")
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
    return step, mixed


if __name__ == "__main__":
    sys.exit(main())
