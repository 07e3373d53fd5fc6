"""What a worker does with one shard in one round: the week's own queries and steps, on that shard's vehicles alone.

Each try writes into a folder of its own, so that a try that was given up, or one that is made twice, disturbs nobody.
Knows nothing of Dask but how to ask it for the memory that a worker may take.
"""

import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NamedTuple
from uuid import uuid4

import duckdb

from fleetreport.cluster.parts import Part, view_inputs, view_part, write_part
from fleetreport.cluster.places import Place
from fleetreport.query import Query, Step, beside_the_package, load_macros, load_queries, run_all
from fleetreport.remaking import program
from fleetreport.sql import NO_EXTENSIONS
from fleetreport.storing.store import make_ready, open_only_to
from fleetreport.week import PARTS, STEPS

# Of the memory that a worker may take, what DuckDB may; the rest is Python's, and what DuckDB does not count.
SHARE_OF_MEMORY = 0.55


class Job(NamedTuple):
    """One shard of one round: what to make, in order, what of it to leave and where, and the files to make it from.

    `of_shard` are the tables that the shard left in earlier rounds, `handed_out` those of the whole fleet. `memory` is
    what DuckDB may take, in bytes; None: as the worker allows, or as DuckDB has it where no worker does.
    """

    place: Place
    program: str
    shard: int
    time_zone: str
    make: Sequence[str]
    leave: Sequence[str]
    folder: str
    inputs: Mapping[str, Sequence[str]]
    of_shard: Mapping[str, Part]
    handed_out: Mapping[str, Part]
    memory: int | None = None


class Done(NamedTuple):
    """What a shard left, and the seconds it took."""

    shard: int
    parts: Mapping[str, Part]
    seconds: float


class OtherVersion(Exception):
    """A worker has another version of fleetreport, of its queries or of DuckDB."""


def work_on(job: Job) -> Done:
    """Make a shard's tables of one round. Raises OtherVersion, and whatever a query or a file may raise."""
    began = time.monotonic()
    if program() != job.program:
        raise OtherVersion("this worker has another version of fleetreport or of DuckDB than the run that asks it")
    with tempfile.TemporaryDirectory(prefix="fleetreport-") as spare, _connected(job, Path(spare)) as db:
        view_inputs(db, job.place, job.inputs)
        for table, part in {**job.handed_out, **job.of_shard}.items():
            view_part(db, table, job.place, part)
        load_macros(db, beside_the_package("queries"))
        run_all(db, _named(job.make))
        folder = f"{job.folder}/{uuid4().hex}"
        parts = {
            table: write_part(db, table, job.place, f"{folder}/{table}.parquet", Path(spare)) for table in job.leave
        }
    return Done(job.shard, parts, time.monotonic() - began)


@contextmanager
def _connected(job: Job, spare: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """A database of one thread in memory, which spills into the folder `spare`."""
    db = duckdb.connect(config={**NO_EXTENSIONS, "threads": 1, "temp_directory": str(spare / "spill")})
    try:
        if memory := job.memory or _memory_of_worker():
            db.execute(f"set memory_limit = '{memory // 2**20} MiB'")
        make_ready(db, job.time_zone)
        job.place.let_read(db)
        open_only_to(db, spare, *job.place.folders())
        yield db
    finally:
        db.close()


def _memory_of_worker() -> int | None:
    """What DuckDB may take of a Dask worker's memory: its share of each of the worker's threads."""
    with suppress(ImportError, ValueError):
        from distributed import get_worker

        worker = get_worker()
        if limit := worker.memory_manager.memory_limit:
            return int(SHARE_OF_MEMORY * limit / worker.state.nthreads)
    return None


def _named(tables: Sequence[str]) -> list[Query | Step]:
    ours: list[Query | Step] = [*load_queries(beside_the_package("queries"), PARTS), *STEPS]
    made = {one.table: one for one in ours}
    return [made[table] for table in tables]
