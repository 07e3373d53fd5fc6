"""A database file that is not as DuckDB wrote it, a full disk, too little memory: told in one line, or mended.

The fleet folder is the truth, so that a damaged file can be set aside and built anew.
"""

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TypeVar

import duckdb

from fleetreport.problem import CannotReadOrWrite

# What the system says where a file cannot grow, in DuckDB's messages.
NOT_WRITTEN = re.compile(
    "No space left on device|File too large|Disk quota exceeded|Read-only file system|Input/output error", re.IGNORECASE
)
# What DuckDB says where work that does not fit into memory finds no room in the folder beside its file.
NO_ROOM_ASIDE = re.compile("max_temp_directory_size|offload data block")
MORE_MEMORY = 'set a larger "memory" (MiB) under [machine] in fleet.toml, or make room on the disk of the database'
REBUILT = "move it away; the database is built anew from the fleet folder"
ASIDE = ".damaged"
Made = TypeVar("Made")


class DamagedStore(CannotReadOrWrite):
    """The database file is not as DuckDB wrote it."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path}: found a database file that is damaged", help=REBUILT)


def anew_if_damaged(path: Path, own: Path, work: Callable[[], Made]) -> tuple[Made, list[str]]:
    """What `work` gives with the store at `path`; where that is damaged, it is set aside and `work` is done once more.

    Found once after a kill (`tests/trust/kill_runs.py`), by what is not known. Only the store at the program's `own`
    place is moved, as a file that a person named may be theirs. Gives notes on what was done.
    Raises DamagedStore where it is damaged again, not in its own place, or held by another run that found it so.
    """
    try:
        return work(), []
    except DamagedStore:
        aside = path.with_name(path.name + ASIDE)
        if path != own or not _moved(path, aside):
            raise
    return work(), [f"{path}: found a database file that is damaged; it was set aside as {aside.name} and built anew"]


def _moved(path: Path, aside: Path) -> bool:
    """Move a database and what waits to be written into it; False where it cannot be, or another run holds it."""
    try:
        with path.open("r+b") as held:
            with suppress(ImportError):
                import fcntl

                # The lock that DuckDB takes: whoever has one here is building the file anew.
                fcntl.lockf(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
            for end in (".wal", ""):
                with suppress(FileNotFoundError):
                    path.with_name(path.name + end).replace(aside.with_name(aside.name + end))
    except OSError:
        return False
    return True


@contextmanager
def told_if_damaged(path: Path) -> Iterator[None]:
    """Turn DuckDB's faults that mean a damaged file, a full disk or too little memory into CannotReadOrWrite; any other
    goes on.
    """
    try:
        yield
    except duckdb.OutOfMemoryException as error:
        lacking = "on that disk" if NO_ROOM_ASIDE.search(str(error)) else "in the memory that the database may hold"
        raise CannotReadOrWrite(
            f"{path}: no room {lacking} for the work of this run",
            help=f"nothing of this run was kept; {MORE_MEMORY}",
        ) from None
    except duckdb.Error as error:
        if found := NOT_WRITTEN.search(str(error)):
            raise CannotReadOrWrite(
                f"{path}: the database cannot be written: {found[0]}",
                help="nothing of this run was kept; make room on that disk, or name another place with --store",
            ) from None
        if not is_damage(error):
            raise
        raise DamagedStore(path) from None


def is_damage(error: duckdb.Error) -> bool:
    """Whether DuckDB found its own file to be other than it wrote it."""
    words = ("checksum", "corrupt", "deserializ", "could not read enough bytes")
    return isinstance(error, duckdb.SerializationException) or any(word in str(error).lower() for word in words)
