"""A fleet folder with one file of any bytes, taken the way a run takes it, and what must hold whatever the bytes say.

Used by the fuzz targets (fuzz_readers.py).
"""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import duckdb

from fleetreport.describing.describe import describe
from fleetreport.problem import StopRun
from fleetreport.reading.check import typed_select
from fleetreport.reading.rows import find_files, lines_in, ways_to_read
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.sql import NO_EXTENSIONS
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import one_transaction
from fleetreport.tables import BY_NAME

NAMES = {
    "csv": "readings.csv", "tsv": "readings.tsv", "json lines": "readings.jsonl", "gzip": "readings.csv.gz",
    "parquet": "readings.parquet", "workbook": "readings.xlsx", "settings": "fleet.toml", "described": "strange.csv",
}  # fmt: skip


class Folder:
    """A fleet folder and a database that stay, so that one file after another can be tried in them."""

    def __init__(self, fleet: Path, db: duckdb.DuckDBPyConnection) -> None:
        self.fleet, self.db = fleet, db

    def try_file(self, kind: str, data: bytes, whole: bool = True) -> str:
        """Read the bytes as a file of that kind; gives what the run says of it.

        `whole` brings the rows into the database and has them accounted for; without it they are read and judged only,
        which is many times quicker.
        Raises AssertionError where a row is unaccounted for, and whatever is no message for a person.
        """
        path = self.fleet / NAMES[kind]
        path.write_bytes(data)
        try:
            if kind == "settings":
                found = read_settings(self.fleet)
                find_files(self.fleet, found.source)
                return "read"
            if kind == "described":
                return describe(path)
            return self._load() if whole else self._read(path)
        except StopRun as stop:
            if not stop.messages or not all(message.strip() for message in stop.messages):
                raise AssertionError("a run that stops without a word") from stop
            return stop.messages[0]
        finally:
            path.unlink()

    def _read(self, path: Path) -> str:
        """Every way to read the file gives the same number of rows, loadable or refused."""
        files = [file for file in find_files(self.fleet)[0] if file.path == path]
        told = []
        with tempfile.TemporaryDirectory(dir=self.fleet, prefix=".spare-") as spare:
            for file in files:
                for way in ways_to_read(file, Path(spare)):
                    if not way.sql:
                        continue
                    table = BY_NAME[file.table]
                    select = typed_select(table, way.columns, way.sql, file.name, way.rules, way.pieced, way.unused)
                    try:
                        counts = f"select count(*), count(*) filter (refused) from ({select})"
                        found = self.db.execute(counts).fetchall()
                    except (duckdb.InvalidInputException, duckdb.ConversionException):
                        assert way.counts_lines, "the careful way must fit every file"
                        continue
                    told.append((found[0][0] + len(way.refused), found[0][1] + len(way.refused), way.counts_lines))
                    if way.counts_lines and found[0][0] + 1 != lines_in(path):
                        told.pop()
        assert len({read for read, _, _ in told}) <= 1, told
        return str(told)

    def _load(self) -> str:
        settings = Settings()
        files, _ = find_files(self.fleet)
        changes = stage(self.db, files, settings)
        with one_transaction(self.db):
            keep(self.db, changes)
        rows = self.db.execute(
            "select file, rows_read, rows_loaded, rows_repeated, rows_quarantined from file_counts order by file"
        ).fetchall()
        for name, read, loaded, repeated, refused in rows:
            assert read == loaded + repeated + refused, name
        return str([row for row in rows if row[0].startswith("readings")])


@contextmanager
def a_folder() -> Iterator[Folder]:
    """A folder with a vehicle and a task, to put a strange file into."""
    with (
        tempfile.TemporaryDirectory(prefix="hostile-") as name,
        duckdb.connect(config={**NO_EXTENSIONS, "threads": 1}) as db,
    ):
        fleet = Path(name)
        (fleet / "vehicles.csv").write_text("vehicle_id,class,in_service_on\nV1,van,2025-01-01\n", encoding="utf-8")
        (fleet / "tasks.csv").write_text("class,task,every_months\nvan,oil,12\n", encoding="utf-8")
        db.execute("set TimeZone = 'UTC'")
        db.execute("set python_enable_replacements = false")
        yield Folder(fleet, db)
        with suppress(duckdb.Error):
            db.execute("rollback")
