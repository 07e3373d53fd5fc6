"""Whether the reports of a run stand already as it would write them, so that it need not write them again.

The store remembers of what the reports in an output folder were last made, and each file there by its size and the time
it was written. If both are as they were, the same run would write the same bytes. Whatever somebody changed, added or
took away since then lets all reports be written again; so does a query of the fleet's own, which need not give the same
twice.
"""

import hashlib
import os
from collections.abc import Sequence
from pathlib import Path

import duckdb

from fleetreport.own.queries import FOLDER
from fleetreport.query import beside_the_package
from fleetreport.remaking import keys_of
from fleetreport.settings.fleet_toml import Settings
from fleetreport.storing.past_weeks import WEEKS, PastWeek

PUBLISHED = "published"


def made_of(
    db: duckdb.DuckDBPyConnection, fleet: Path, settings: Settings, parquet: bool, past: Sequence[PastWeek]
) -> str:
    """A digest of all that the reports of this run follow from; `db` holds its tables."""
    digest = hashlib.sha256(keys_of(db).encode())
    digest.update(repr((settings.model_dump_json(), parquet, past)).encode("utf-8", "surrogateescape"))
    for folder in (beside_the_package("templates"), fleet / FOLDER):
        # A template may take in others from folders below.
        for path in sorted(path for path in folder.rglob("*") if path.is_file()):
            digest.update(os.fsencode(path.relative_to(folder)) + b"\0" + path.read_bytes())
    return digest.hexdigest()


def stand_already(db: duckdb.DuckDBPyConnection, out: Path, week: str, made: str) -> bool:
    """Whether `out` holds what was written last, made of the same; `week` is the folder there in which it is kept."""
    there = db.execute("select 1 from duckdb_tables() where table_name = ?", [PUBLISHED]).fetchall()
    return bool(there) and db.execute(f"from {PUBLISHED}").fetchall() == [(*_place(out), made, _files(out, week))]


def remember(db: duckdb.DuckDBPyConnection, out: Path, week: str, made: str) -> None:
    """Note that the reports in `out` were made of this."""
    db.execute(f"create or replace table {PUBLISHED} (out varchar, made_of varchar, files varchar)")
    db.execute(f"insert into {PUBLISHED} values (?, ?, ?)", [*_place(out), made, _files(out, week)])


def _place(out: Path) -> tuple[str]:
    return (hashlib.sha256(os.fsencode(out.resolve())).hexdigest(),)


def _files(out: Path, week: str) -> str:
    """A digest of every file in `out` by name, size and time, of the weeks kept there only those of `week`."""
    digest = hashlib.sha256()
    for top in (out, out / week):
        for folder, folders, names in os.walk(top):
            folders[:] = sorted(name for name in folders if not (Path(folder) == out and name == WEEKS))
            for name in sorted(names):
                path = Path(folder) / name
                try:
                    found = path.lstat()
                except FileNotFoundError:  # a run with another store moves its files here
                    continue
                told = (str(path), found.st_size, found.st_mtime_ns, found.st_mode, found.st_ino)
                digest.update(repr(told).encode("utf-8", "surrogateescape"))
    return digest.hexdigest()
