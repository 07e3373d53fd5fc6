"""Put reports in place, all of a run or none: written aside, made ready by one rename, then moved each into its place.

A reader sees every file whole at any moment. Until the one rename nothing in the folder has changed. From then on the
run's reports stand ready in `.ready-…`, and whatever cuts the moving short, the next command that uses the folder
(`finish_placing`) ends it before it does anything else, so that no run, letter or comparison ever starts from files of
two runs. Nothing here knows what a report is.
"""

import json
import os
import shutil
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Literal

import duckdb

from fleetreport.problem import CannotReadOrWrite
from fleetreport.storing.damage import is_damage

Readers = Literal["owner", "group", "everyone"]
# The rights of files and of folders by who may read.
RIGHTS: dict[Readers, tuple[int, int]] = {"owner": (0o600, 0o700), "group": (0o640, 0o750), "everyone": (0o644, 0o755)}
WRITING, READY = ".writing-", ".ready-"
# In the folder aside: the tree of reports, and the list of files that go when they come.
REPORTS, OUTDATED = "reports", "outdated.json"
LAST = "index.html"  # leads to all others
A_DAY = 24 * 60 * 60


@contextmanager
def put_in_place(out: Path, outdated: Sequence[str] = (), readable_by: Readers = "owner") -> Iterator[Path]:
    """A folder (with `data` in it) to write reports into; when all are written, they move to their places in `out`.

    `outdated` are files of `out` that go then. `readable_by` says who may read what is written; a folder `out` that was
    there keeps its rights. Raises CannotReadOrWrite where `out` cannot be written.
    """
    aside = None
    with _told_if_not_written(out):
        try:
            if not out.exists():
                out.mkdir(parents=True)
                out.chmod(RIGHTS[readable_by][1])
            finish_placing(out)
            _clear_away_old(out)
            aside = Path(tempfile.mkdtemp(prefix=WRITING, dir=out))
            made = aside / REPORTS
            (made / "data").mkdir(parents=True)
            yield made
            _must_fit(made, out)
            _give_rights(made, readable_by)
            gone = [name for name in outdated if not (made / name).exists()]
            (aside / OUTDATED).write_text(json.dumps(gone), encoding="utf-8")
            with _alone_in(out):
                ready = aside.rename(out / aside.name.replace(WRITING, READY, 1))
                _move(ready, out)
        finally:
            if aside:
                shutil.rmtree(aside, ignore_errors=True)


def finish_placing(out: Path) -> None:
    """End what a run began that was cut short while it moved its reports into `out`; nothing where none was.

    Raises CannotReadOrWrite where they cannot be moved.
    """
    if any(out.glob(f"{READY}*")):
        with _told_if_not_written(out), _alone_in(out):
            for ready in sorted(out.glob(f"{READY}*")):
                _move(ready, out)


def _move(ready: Path, out: Path) -> None:
    """Every step is done at once or not at all, and can be done again."""
    # Only the clearing away at the end can have taken the list.
    with suppress(FileNotFoundError):
        for name in _outdated(ready):
            (out / name).unlink(missing_ok=True)
    if (ready / REPORTS).is_dir():
        _move_into(ready / REPORTS, out)
    shutil.rmtree(ready, ignore_errors=True)


def _outdated(ready: Path) -> list[str]:
    """The list as we write it: names that stay in the folder. A folder from elsewhere may hold another."""
    text = (ready / OUTDATED).read_text(encoding="utf-8", errors="replace")
    try:
        names = json.loads(text)
    except (ValueError, RecursionError):
        names = None
    if isinstance(names, list) and all(isinstance(name, str) and _stays_inside(name) for name in names):
        return names
    raise CannotReadOrWrite(f"{ready}: found reports that fleetreport did not make ready", help="remove this folder")


def _stays_inside(name: str) -> bool:
    return not Path(name).is_absolute() and ".." not in Path(name).parts


def _move_into(folder: Path, place: Path) -> None:
    for path in sorted(folder.iterdir(), key=lambda path: (path.name == LAST, path.name)):
        if path.is_dir() and (place / path.name).exists():
            with suppress(PermissionError):  # another's folder
                (place / path.name).chmod(path.stat().st_mode & 0o777)
            _move_into(path, place / path.name)
        else:
            # A folder that is new comes whole.
            path.replace(place / path.name)


def _must_fit(made: Path, out: Path) -> None:
    """Find out what stands in the way while nothing has changed. Raises CannotReadOrWrite."""
    for path in sorted(made.rglob("*")):
        place = out / path.relative_to(made)
        if place.exists() and place.is_dir() != path.is_dir():
            found, expected = ("file", "folder") if path.is_dir() else ("folder", "file")
            raise CannotReadOrWrite(
                f"{place}: found a {found}, expected a {expected} or nothing to write a report over"
            )


def _give_rights(made: Path, readable_by: Readers) -> None:
    file, folder = RIGHTS[readable_by]
    for path in made.rglob("*"):
        path.chmod(folder if path.is_dir() else file)


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Only one run moves files in a folder at a time, where the system can tell; another waits the moment it takes."""
    try:
        import fcntl
    except ImportError:
        yield
        return
    held = os.open(folder, os.O_RDONLY)
    try:
        with suppress(OSError):  # a disk of the network without locks
            fcntl.flock(held, fcntl.LOCK_EX)
        yield
    finally:
        os.close(held)


@contextmanager
def _told_if_not_written(out: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        at = f" ({error.filename})" if error.filename and error.filename != str(out) else ""
        said = f"{error.strerror or error}{at}"
        raise CannotReadOrWrite(f"{out}: the reports cannot be written here: {said}") from None
    except duckdb.IOException as error:
        if is_damage(error):
            raise
        raise CannotReadOrWrite(f"{out}: the reports cannot be written here: {str(error).splitlines()[0]}") from None


def _clear_away_old(out: Path) -> None:
    """Remove what killed runs left. A younger folder may belong to a run with another store, still at work."""
    for left in out.glob(f"{WRITING}*"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > A_DAY:
                shutil.rmtree(left)
