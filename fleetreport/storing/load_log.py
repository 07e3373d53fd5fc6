"""What came from which file and when, as the store remembers it, for people and for programs.

`read_loads` looks into a store without changing it; `as_lines` and `as_csv` write down what it found. Moments are those
of this machine's clock, told in the fleet's time zone; the reports never show them.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.problem import CannotReadOrWrite
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.storing.store import SCHEMA_VERSION, open_only_to, opened_store, schema_version, store_of

AT = "strftime({}, '%Y-%m-%d %H:%M')"


class LoadedFile(NamedTuple):
    """A file whose rows the store holds. `first_on` and `last_on`: of the rows that could be read, where they have a
    date.
    """

    file: str
    table: str
    rows_read: int
    rows_loaded: int
    rows_repeated: int
    rows_quarantined: int
    first_on: date | None
    last_on: date | None
    loaded_at: str


class LogLine(NamedTuple):
    """What became of a file in a run: `loaded`, `replaced` (other content), `read again` (same content, other rules or
    settings) or `withdrawn` (no longer in the folder). `rows_before` were loaded from it until then.
    """

    logged_at: str
    event: str
    file: str
    table: str
    rows_read: int | None
    rows_loaded: int | None
    rows_before: int | None
    loaded_before: str | None


class Loads(NamedTuple):
    """The files by name, and all that became of files since the store was made, in order of time."""

    files: Sequence[LoadedFile]
    log: Sequence[LogLine]


def read_loads(fleet: Path, store: Path | None = None) -> Loads:
    """The files that the store of a fleet folder holds rows of, and its log; the default is that of the weekly run.

    Raises WrongCall for settings, CannotReadOrWrite where there is no store, or none that this version can read.
    """
    if not fleet.is_dir():
        raise CannotReadOrWrite(f"{fleet}: found no such folder, expected a fleet folder")
    settings = read_settings(fleet)
    store = store or store_of(fleet)
    if not store.exists():
        raise CannotReadOrWrite(
            f"{store}: found no such file, expected the database of a run",
            help="nothing has been loaded yet: fleetreport week makes the database",
        )
    with opened_store(store, settings, read_only=True) as db:
        open_only_to(db)
        version = schema_version(db)
        if version < SCHEMA_VERSION:
            raise CannotReadOrWrite(
                f"{store}: found a database of version {version}, expected version {SCHEMA_VERSION}",
                help="run fleetreport week once; it builds the database anew",
            )
        return Loads(_files(db), _log(db))


def _files(db: duckdb.DuckDBPyConnection) -> list[LoadedFile]:
    rows = db.execute(
        f"""select file, f."table", f.rows_read, rows_loaded, rows_repeated, rows_quarantined, first_on, last_on,
                {AT.format("loaded_at")}
            from input_files f join file_counts using (file) order by file"""
    ).fetchall()
    return [LoadedFile(*row) for row in rows]


def _log(db: duckdb.DuckDBPyConnection) -> list[LogLine]:
    rows = db.execute(
        f"""select {AT.format("logged_at")}, event, file, "table", rows_read, rows_loaded, rows_before,
                {AT.format("loaded_before")}
            from load_log l order by l.logged_at, file"""
    ).fetchall()
    return [LogLine(*row) for row in rows]


def as_csv(kind: type[LoadedFile] | type[LogLine], rows: Iterable[LoadedFile | LogLine]) -> str:
    """The rows as CSV with a header; blank where there is no value."""
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(kind._fields)
    write.writerows(rows)
    return out.getvalue()


def files_as_lines(files: Iterable[LoadedFile]) -> list[str]:
    """Two lines a file, at most 80 columns wide but for long names: its rows, and what they are and from when."""
    lines = [
        _beside("file", ("read", "loaded", "repeated", "quarantined")),
        f"  {'table':14}{'first':12}{'last':12}loaded at",
    ]
    for file in files:
        lines.append(_beside(file.file, file[2:6]))
        first, last = (str(day or "-") for day in (file.first_on, file.last_on))
        lines.append(f"  {file.table:14}{first:12}{last:12}{file.loaded_at}")
    return lines


def log_as_lines(log: Iterable[LogLine]) -> list[str]:
    """Two lines an event: when, what and of which file; the rows loaded from it now and before."""
    lines = []
    for line in log:
        lines.append(f"{line.logged_at}  {line.event:10}  {line.file}")
        now = [] if line.rows_loaded is None else [f"{line.rows_loaded} of {_rows(line.rows_read)} loaded"]
        before = [] if line.rows_before is None else [f"before: {_rows(line.rows_before)}, of {line.loaded_before}"]
        lines.append(f"    {'; '.join([*now, *before])}")
    return lines


def _rows(count: int | None) -> str:
    return "1 row" if count == 1 else f"{count} rows"


def _beside(name: str, figures: Sequence[object]) -> str:
    """A name to the left and four figures to the right of 80 columns; a long name gets a line of its own."""
    told = "".join(f"{figure!s:>{width}}" for figure, width in zip(figures, (9, 9, 10, 13), strict=True))
    return f"{name:39}{told}" if len(name) <= 39 else f"{name}\n{'':39}{told}"
