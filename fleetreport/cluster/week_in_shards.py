"""A week made from shards: rounds of work on the workers, each followed by what is made of it here, and the reports.

The same queries, steps and reports as `week.make_week`, and the same bytes. This process holds no readings: it sees
what the shards left through views over their files, makes the tables of the whole fleet of it, and hands those that the
next round reads out in files.
"""

import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple
from uuid import uuid4

import duckdb

from fleetreport.cluster.on_a_shard import Done, Job
from fleetreport.cluster.parts import Part, table_of_part, view_inputs, view_part, write_part
from fleetreport.cluster.rounds import Made, Round, handed_out, rounds_of
from fleetreport.cluster.shards import ACCOUNTS, Shards, are_shards, read_shards, write_shards
from fleetreport.cluster.workers import Crew, workers
from fleetreport.pages.own_reports import edition_of, told_of_own_templates
from fleetreport.published_tables import PUBLISHED, TOLD_BESIDES
from fleetreport.publishing import publish
from fleetreport.query import beside_the_package, load_macros, run_all
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.past_weeks import past_weeks
from fleetreport.storing.store import begin_run, open_only_to, passing_store
from fleetreport.week import Week, makers, ready_to_publish, summary

if TYPE_CHECKING:
    from distributed import Client

# Of a fleet folder that the call names itself: where its shards go, and how many for each thread of the workers.
SHARDS_OF_FLEET, SHARDS_A_THREAD = ".fleetreport/shards", 2


def make_week_on_cluster(
    source: str,
    cluster: str,
    as_of: date | None,
    out: Path,
    store: Path | None = None,
    parquet: bool = False,
    tell: Callable[[str, float], None] = lambda what, share: None,
) -> Week:
    """`week.make_week` of a fleet folder, or of the shards of one, by the workers at `cluster`.

    `source` is a folder, or the URL of shards; `store` is for a fleet folder only. Raises WrongCall and
    CannotReadOrWrite with messages fit for a person.
    """
    ready_to_publish(out)
    with workers(cluster) as client:
        notes: list[str] = []
        if are_shards(source):
            shards = read_shards(source)
        else:
            fleet, number = Path(source), SHARDS_A_THREAD * max(1, sum(client.nthreads().values()))
            shards, notes = write_shards(fleet, str(fleet / SHARDS_OF_FLEET), number, store, tell)
        with tempfile.TemporaryDirectory(prefix="fleetreport-") as folder:
            shards.put_settings(Path(folder))
            return _made(client, shards, Path(folder), as_of, out, parquet, tell, notes)


def _made(
    client: "Client",
    shards: Shards,
    fleet: Path,
    as_of: date | None,
    out: Path,
    parquet: bool,
    tell: Callable[[str, float], None],
    notes: Sequence[str],
) -> Week:
    """The week of shards; `fleet` holds the settings and own reports."""
    settings = read_settings(fleet)
    day = as_of or settings.today()
    made, own, replaced = makers(fleet)
    rounds = rounds_of(made, PUBLISHED, replaced)
    worked_out = sum(len(now.in_all) + shards.number * bool(now.on_shards) for now in rounds)
    things = worked_out + len(PUBLISHED) + len(own) + TOLD_BESIDES
    done = count()

    def tick(what: str) -> None:
        tell(what, next(done) / things)

    past, unreadable = past_weeks(out, day, settings.fleet.name or shards.fleet_name)
    with passing_store(settings) as db, workplace(shards) as work:
        open_inputs(db, shards)
        load_macros(db, beside_the_package("queries"))
        open_only_to(db, out, work.spare, *shards.place.folders())
        begun = begin_run(db, settings, day, shards.fleet_name, past)
        work_out_in_shards(db, rounds, Asked(shards, settings, work, Crew(client).have_done), tick)
        with told_of_own_templates(fleet):
            publish(db, settings, day, out, parquet, tick, edition_of(fleet, settings.fleet.language), own, past)
        return summary(db, day, out, [*notes, *begun, *shards.remarks, *unreadable])


class Workplace(NamedTuple):
    """Where the files of a run go until it is over: a folder beside the shards, and one of this machine."""

    name: str
    spare: Path


class Asked(NamedTuple):
    """What those who work on shards have to know, and how a round's jobs are had done.

    `have_done` is given the jobs and whom to tell of each that is done, and gives what came of them in their order.
    """

    shards: Shards
    settings: Settings
    work: Workplace
    have_done: Callable[[Sequence[Job], Callable[[Done], None]], list[Done]]


def open_inputs(db: duckdb.DuckDBPyConnection, shards: Shards) -> None:
    """Make the tables of the input, views of all shards' files, and those that account for every row."""
    shards.place.let_read(db)
    view_inputs(db, shards.place, shards.of_all())
    for table in ACCOUNTS:
        table_of_part(db, table, shards.place, shards.of_all()[table])


def work_out_in_shards(
    db: duckdb.DuckDBPyConnection,
    rounds: Sequence[Round],
    asked: Asked,
    tick: Callable[[str], None] = lambda what: None,
) -> None:
    """Make every table of the week in `db`, which has the inputs and the run: the shards' are views of their files."""
    place, spare = asked.shards.place, asked.work.spare
    on_shards = {one.table for now in rounds for one in now.on_shards}
    of_fleet: dict[str, Part] = {}
    of_shards: list[dict[str, Part]] = [{} for _ in range(asked.shards.number)]
    for number, now in enumerate(rounds):
        if now.on_shards:
            for table in handed_out(now, on_shards):
                if table not in of_fleet:
                    of_fleet[table] = write_part(db, table, place, f"{asked.work.name}/fleet/{table}.parquet", spare)
            jobs = [_job(now, number, shard, asked, of_fleet, some) for shard, some in enumerate(of_shards)]
            done = asked.have_done(jobs, lambda one: tick(f"shard {one.shard}"))
            for one, some in zip(done, of_shards, strict=True):
                some.update(one.parts)
            _see(db, now, asked.shards, done)
        run_all(db, now.in_all, tick)


def _job(
    now: Round, number: int, shard: int, asked: Asked, of_fleet: dict[str, Part], of_shard: dict[str, Part]
) -> Job:
    reads = {name for one in now.on_shards for name in one.reads}
    return Job(
        place=asked.shards.place,
        program=asked.shards.program,
        shard=shard,
        time_zone=asked.settings.fleet.time_zone,
        make=[one.table for one in now.on_shards],
        leave=sorted(now.left),
        folder=f"{asked.work.name}/round-{number}/shard-{shard}",
        inputs=asked.shards.of(shard),
        of_shard={name: part for name, part in of_shard.items() if name in reads},
        handed_out={name: part for name, part in of_fleet.items() if name in reads},
    )


def _see(db: duckdb.DuckDBPyConnection, now: Round, shards: Shards, done: Sequence[Done]) -> None:
    """Make a view of each table that the shards of a round left."""
    made: dict[str, Made] = {one.table: one for one in now.on_shards}
    for table in sorted(now.left):
        files = [file for one in done for file in one.parts[table].files]
        view_part(db, table, shards.place, Part(files, done[0].parts[table].types, made[table].is_ordered))


@contextmanager
def workplace(shards: Shards) -> Iterator[Workplace]:
    """A workplace for as long as the block runs."""
    with tempfile.TemporaryDirectory(prefix="fleetreport-") as spare:
        name = f"work-{uuid4().hex}"
        try:
            yield Workplace(name, Path(spare))
        finally:
            shards.place.clear(name)
