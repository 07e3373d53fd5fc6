"""Beyond one machine: shards hold every row, what is made on them is what the embedded run makes, and workers may die.

Workers are processes of this machine, on loopback.
"""

import ast
import json
import os
import re
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from pathlib import Path
from threading import Event, Thread
from typing import Any, ClassVar
from urllib.parse import urlsplit

import duckdb
import psutil
import pytest
from conftest import ALL_QUERIES, QUERIES, ROOT, SAMPLE_FLEET, WriteFleet
from distributed import Client
from fsspec import register_implementation
from fsspec.implementations.memory import MemoryFileSystem

from fleetreport.cluster.on_a_shard import Done, Job, OtherVersion, work_on
from fleetreport.cluster.parts import types_of
from fleetreport.cluster.places import Place, place_at
from fleetreport.cluster.rounds import OF_VEHICLES, Round, rounds_of
from fleetreport.cluster.shards import SHARD_OF, Shards, read_shards, write_shards
from fleetreport.cluster.week_in_shards import (
    Asked,
    make_week_on_cluster,
    open_inputs,
    work_out_in_shards,
    workplace,
)
from fleetreport.cluster.workers import USUAL, Crew, Patience, workers
from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.published_tables import PUBLISHED
from fleetreport.query import Step, in_order, load_macros, load_queries, needed_for
from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.storing.store import begin_run, open_only_to, passing_store
from fleetreport.week import PARTS, STEPS, work_out

AS_OF = date(2026, 11, 25)
MADE = in_order([*load_queries(QUERIES, PARTS), *STEPS])
# Numbers that only join rows of one run of a query to each other.
NUMBERS_OF_A_RUN = {"weekly_readings": "exclude (meter_no)"}


VEHICLES = """
    vehicle_id,class,in_service_on
    A1,van,2020-01-01
"""
TASKS = """
    class,task,every_distance
    van,oil,10000
"""


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store of the sample fleet, which is loaded once."""
    return tmp_path_factory.mktemp("store") / "store.duckdb"


@pytest.fixture(scope="module")
def split(store: Path) -> Shards:
    """The sample fleet in three shards, in a folder."""
    return write_shards(SAMPLE_FLEET, str(store.parent / "shards"), 3, store)[0]


def rows(db: duckdb.DuckDBPyConnection, table: str) -> list[tuple[Any, ...]]:
    return db.execute(f'select * {NUMBERS_OF_A_RUN.get(table, "")} from "{table}"').fetchall()


# -- what is split ----------------------------------------------------------------------------------------------------


def test_every_row_is_in_one_shard_and_knows_its_line(split: Shards, full_run: duckdb.DuckDBPyConnection) -> None:
    db = duckdb.connect()
    assert split.accounts.read == split.accounts.loaded + split.accounts.repeated + split.accounts.set_aside
    for table in split.rows:
        source = table if table in ("problems", "file_counts") else f"input_{table}"
        files = [split.place.full(name) for name in split.of_all()[table]]
        found = db.execute("from read_parquet(?, hive_partitioning = false)", [files]).fetchall() if files else []
        expected = full_run.execute(f"from {source}").fetchall()
        assert Counter(map(repr, found)) == Counter(map(repr, expected)), table
    refused = [split.place.full(name) for name in split.of_all()["readings"]]
    told = db.execute("select file, line from read_parquet(?) where fate = 'refused'", [refused]).fetchall()
    assert told
    assert all(file and line for file, line in told)


def test_a_vehicle_lies_in_the_shard_of_its_hash(split: Shards) -> None:
    db = duckdb.connect()
    for table in OF_VEHICLES:
        for shard, names in split.files[table].items():
            files = [split.place.full(name) for name in names]
            of = SHARD_OF.format(shards=3)
            assert db.execute(f"select distinct {of} from read_parquet(?)", [files]).fetchall() == [(shard,)], table


def test_shards_made_anew_replace_the_old_ones(store: Path, tmp_path: Path) -> None:
    for number in (2, 3):
        made, _ = write_shards(SAMPLE_FLEET, f"file://{tmp_path}/shards", number, store)
    assert read_shards(str(tmp_path / "shards")) == made
    assert sorted(path.name.split("-")[0] for path in (tmp_path / "shards").iterdir()) == ["data", "shards.json"]


# -- what is made on them ---------------------------------------------------------------------------------------------


def compare_tables(fleet: Path, number: int, store: Path, embedded: duckdb.DuckDBPyConnection) -> None:
    """Compare what shards of a fleet make, and the tables of the fleet handed out to them, with an embedded run's.

    The shards lie in fsspec's memory, read through DuckDB's `register_filesystem`; the database is shut off from all
    else, as a run's is.
    """
    shards, _ = write_shards(fleet, f"memory://fleet/{fleet.name}", number, store)
    rounds = rounds_of(MADE, PUBLISHED)
    read = {name for now in rounds for one in now.on_shards for name in one.reads}
    needed = {one.table for one in needed_for(read & {one.table for one in MADE}, MADE)}
    # All that shards make is left to be looked at, and what they do not need is not made.
    rounds = [
        Round(now.on_shards, frozenset(one.table for one in now.on_shards),
              [one for one in now.in_all if one.table in needed])
        for now in rounds
    ]  # fmt: skip
    settings = read_settings(fleet)
    with passing_store(settings) as db, workplace(shards) as work:
        open_inputs(db, shards)
        load_macros(db, QUERIES)
        open_only_to(db, work.spare, *shards.place.folders())
        begin_run(db, settings, AS_OF, shards.fleet_name)
        work_out_in_shards(db, rounds, Asked(shards, settings, work, lambda jobs, tell: [work_on(one) for one in jobs]))
        for one in (one for now in rounds for one in (*now.on_shards, *now.in_all)):
            found, expected = rows(db, one.table), rows(embedded, one.table)
            if one.is_ordered:
                assert found == expected, one.table
            assert Counter(map(repr, found)) == Counter(map(repr, expected)), one.table
            assert types_of(db, one.table) == types_of(embedded, one.table), one.table
    assert shards.place.read("shards.json")
    with pytest.raises(FileNotFoundError):
        shards.place.read(f"{work.name}/fleet/run.parquet")


def test_each_vehicles_tables_follow_from_its_own_rows(full_run: duckdb.DuckDBPyConnection, store: Path) -> None:
    """Every promise `per: vehicle` is kept: what shards make are the rows that the embedded run makes."""
    compare_tables(SAMPLE_FLEET, 2, store, full_run)


def test_a_fleet_that_says_least_is_split_alike(tmp_path: Path) -> None:
    """Where the settings say nothing, what holds for the fleet is taken from its data: the day records begin, say."""
    fleet = tmp_path / "small"
    fleet.mkdir()
    (fleet / "vehicles.csv").write_text(
        "vehicle_id,class,in_service_on\nV1,van,2020-01-01\nV2,van,2021-01-01\nP1,pump,2022-01-01\n"
    )
    (fleet / "tasks.csv").write_text("class,task,every_distance,every_hours\nvan,oil,10000,\npump,oil,,250\n")
    read = [f"V{n},2025-{month:02}-0{n},{1000 * month * n},km" for n in (1, 2) for month in range(1, 13)]
    read += [f"P1,2025-{month:02}-03,{30 * month},h" for month in range(2, 11)]
    (fleet / "readings.csv").write_text("\n".join(["vehicle_id,read_at,reading,unit", *read]) + "\n")
    (fleet / "history.csv").write_text(
        "vehicle_id,done_on,task,kind,parts_cost\nV1,2025-03-02,oil,,40\nV2,2024-05-01,,repair,300\n"
        "P1,2025-06-01,,repair,75\n"
    )
    settings = read_settings(fleet)
    with passing_store(settings) as embedded:
        work_out(embedded, find_files(fleet)[0], settings, AS_OF, fleet.name)
        compare_tables(fleet, 3, tmp_path / "store.duckdb", embedded)


def test_an_ordered_table_of_vehicles_goes_by_vehicle() -> None:
    """Rows of several shards are put in order by vehicle, then as they stand in the shard."""
    for query in ALL_QUERIES:
        if query.per_vehicle and query.is_ordered:
            assert re.search(r"^order by (\w+\.)?vehicle_id\b", query.sql, re.MULTILINE), query.table


def test_most_of_the_work_is_done_on_shards_in_few_rounds() -> None:
    rounds = rounds_of(MADE, PUBLISHED)
    assert [bool(now.on_shards) for now in rounds] == [False, True, True, True, True, True]
    read_in_all = {name for now in rounds for one in now.in_all for name in one.reads}
    # None of the leading process's tables is made of readings.
    assert not read_in_all & {"readings", "dated_readings", "readings_in_order", "kept_readings", "meter_days"}


def test_a_table_that_a_fleet_makes_otherwise_is_made_in_one_place() -> None:
    """A fleet's own query for weekly_readings may mix vehicles, and so may all that is made of it."""
    mine = [Step(one.table, ("readings",), lambda db: None) if one.table == "weekly_readings" else one for one in MADE]
    rounds = rounds_of(in_order(mine), PUBLISHED, {"weekly_readings"})
    in_all = {one.table for now in rounds for one in now.in_all}
    assert {"weekly_readings", "month_ends", "daily_rate", "due"} <= in_all
    on_shards = {one.table for now in rounds for one in now.on_shards}
    assert {"kept_readings", "task_plan"} <= on_shards


def test_shards_leave_what_the_reports_read() -> None:
    """Tables that modules of reports name in their SQL are left, or made by the leading process."""
    rounds = rounds_of(MADE, PUBLISHED)
    there = {name for now in rounds for name in (*now.left, *(one.table for one in now.in_all))}
    made = {one.table for one in MADE}
    named: set[str] = set()
    for folder in ("report", "pages", "workbooks", "letters"):
        for path in sorted((ROOT / "fleetreport" / folder).glob("*.py")):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Constant) and isinstance(node.value, str):
                    text = node.value
                    named |= {text} | set(re.findall(r'(?:from|join)\s+"?(\w+)', text))
    assert len(named & made) > 60
    assert named & made <= there


# -- workers ----------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def two_workers() -> Iterator[Client]:
    with workers("local:2") as client:
        yield client


def test_the_week_of_shards_is_the_week_though_a_worker_is_killed(
    split: Shards, sample_week: Path, tmp_path: Path
) -> None:
    """Byte for byte: every table, page, workbook and letter."""
    killed: list[int] = []
    over = Event()
    me = psutil.Process()
    before = set(me.children(recursive=True))

    def kill_one() -> None:
        work = Path(split.place.url)
        # The first shard of the second round is at work, or has just left something.
        while not list(work.glob("work-*/round-2/*/*")):
            if over.wait(0.01):
                return
        for child in set(me.children(recursive=True)) - before:
            if "spawn_main" in " ".join(child.cmdline()):
                child.send_signal(signal.SIGKILL)
                killed.append(child.pid)
                return

    killer = Thread(target=kill_one)
    killer.start()
    try:
        make_week_on_cluster(split.place.url, "local:2", AS_OF, tmp_path / "out")
    finally:
        over.set()
        killer.join()
    assert killed
    files = {path.relative_to(sample_week) for path in sample_week.rglob("*") if path.is_file()}
    assert {path.relative_to(tmp_path / "out") for path in (tmp_path / "out").rglob("*") if path.is_file()} == files
    assert [
        name for name in sorted(files) if (sample_week / name).read_bytes() != (tmp_path / "out" / name).read_bytes()
    ] == []
    assert sorted(path.name.split("-")[0] for path in Path(split.place.url).iterdir()) == ["data", "shards.json"]


def test_nothing_listens_but_on_loopback(two_workers: Client) -> None:
    me = psutil.Process()
    found = [
        one.laddr.ip
        for process in (me, *me.children(recursive=True))
        for one in process.net_connections("inet")
        if one.status == psutil.CONN_LISTEN
    ]
    assert len(found) >= 3
    assert set(found) == {"127.0.0.1"}


def jobs_at(folder: Path, number: int = 3) -> list[Job]:
    """Jobs whose work is another function's: they only know their shard and a folder."""
    return [Job(Place(str(folder)), "", shard, "UTC", (), (), "", {}, {}, {}) for shard in range(number)]


def tries_of(job: Job) -> int:
    """How often the job's shard has been tried, this time included."""
    (Path(job.place.url) / f"{job.shard}-{time.time_ns()}-{os.getpid()}").touch()
    return tries_seen(job)


def tries_seen(job: Job) -> int:
    return len(list(Path(job.place.url).glob(f"{job.shard}-*")))


def done(job: Job) -> Done:
    return Done(job.shard, {}, 0.01)


def fails_once(job: Job) -> Done:
    if job.shard == 1 and tries_of(job) == 1:
        raise OSError("no room")
    return done(job)


def fails_always(job: Job) -> Done:
    if job.shard == 1:
        raise duckdb.OutOfMemoryException("Out of Memory Error: 12.0 MiB used of 12.0 MiB")
    return done(job)


def dies_once(job: Job) -> Done:
    if job.shard == 2 and tries_of(job) == 1:
        os.kill(os.getpid(), signal.SIGKILL)
    return done(job)


def hangs_once(job: Job) -> Done:
    """The first try hangs until the second is there."""
    if job.shard == 0 and tries_of(job) == 1:
        end = time.monotonic() + 120
        while tries_seen(job) == 1 and time.monotonic() < end:
            time.sleep(0.05)
        time.sleep(1)
    return done(job)


def hangs_always(job: Job) -> Done:
    if job.shard == 0:
        time.sleep(300)
    return done(job)


def is_another(job: Job) -> Done:
    raise OtherVersion("this worker has another version")


def is_awake() -> bool:
    return True


Work = Callable[[Job], Done]
# Seconds: a busy machine takes some to hand a try to a worker that is free.
SOON = Patience(at_least=2, times=1)


def run(client: Client, folder: Path, work: Work, patience: Patience) -> Sequence[Done]:
    # A shard that hangs at the only worker there is would let none be done.
    client.wait_for_workers(2, timeout=120)
    # Each loads this module now, which takes longer than the patience of some tests.
    assert len(client.run(is_awake)) == 2
    return Crew(client, work, patience).have_done(jobs_at(folder))


@pytest.mark.parametrize(("work", "patience"), [(fails_once, USUAL), (hangs_once, SOON)], ids=["fails", "hangs"])
def test_a_shard_that_fails_or_hangs_is_tried_again(
    work: Work, patience: Patience, two_workers: Client, tmp_path: Path
) -> None:
    assert [one.shard for one in run(two_workers, tmp_path, work, patience)] == [0, 1, 2]
    assert len(list(tmp_path.iterdir())) == 2


def test_a_shard_that_kills_its_worker_is_tried_again(tmp_path: Path) -> None:
    """With workers of its own: on a busy machine the one that was killed may not come back for tests that follow."""
    with workers("local:2") as client:
        assert [one.shard for one in run(client, tmp_path, dies_once, USUAL)] == [0, 1, 2]
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize(
    ("work", "patience", "says"),
    [
        (fails_always, USUAL, "shard 1 of 3 (0 is the first): tried 3 times: OutOfMemoryException: Out of Memory "
         "Error: 12.0 MiB used of 12.0 MiB"),
        (is_another, USUAL, "--cluster: this worker has another version"),
        (hangs_always, SOON, "shard 0 of 3 (0 is the first): tried 3 times: took more than 2 s, far longer than the "
         "others"),
    ],
    ids=["fails", "is another version", "hangs"],
)  # fmt: skip
def test_a_shard_that_cannot_be_done_is_named(
    work: Work, patience: Patience, says: str, two_workers: Client, tmp_path: Path
) -> None:
    with pytest.raises(CannotReadOrWrite) as stop:
        run(two_workers, tmp_path, work, patience)
    assert list(stop.value.messages) == [says]


def test_a_worker_that_runs_another_version_does_nothing(split: Shards) -> None:
    job = Job(split.place, "another", 0, "UTC", ("task_plan",), ("task_plan",), "work", split.of(0), {}, {})
    with pytest.raises(OtherVersion):
        work_on(job)


# -- what a person is told --------------------------------------------------------------------------------------------


def test_a_scheduler_that_does_not_answer_is_told(
    split: Shards, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("fleetreport.cluster.workers.ANSWERS_WITHIN", 0.5)
    with pytest.raises(CannotReadOrWrite, match=r"^--cluster 127\.0\.0\.1:1: no scheduler answers there: "):
        make_week_on_cluster(split.place.url, "127.0.0.1:1", AS_OF, tmp_path / "out")


def test_what_is_not_installed_is_told(split: Shards, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(WrongCall, match=r"^--cluster: Dask cannot be loaded: ") as stop:
        make_week_on_cluster(split.place.url, "local:2", AS_OF, tmp_path / "out")
    assert stop.value.help == "pip install 'fleetreport[cluster]' brings it"


def test_shards_of_another_version_and_no_shards_are_told(split: Shards, tmp_path: Path) -> None:
    told = json.loads(split.place.read("shards.json"))
    (tmp_path / "shards.json").write_text(json.dumps({**told, "program": "another"}))
    with pytest.raises(CannotReadOrWrite, match="found shards that another version of fleetreport wrote"):
        read_shards(str(tmp_path))
    (tmp_path / "shards.json").write_text("{")
    with pytest.raises(CannotReadOrWrite, match="found a file that fleetreport did not write"):
        read_shards(str(tmp_path))
    with pytest.raises(CannotReadOrWrite, match="expected shards as fleetreport shard writes them"):
        read_shards("memory://nowhere/fleet")


class HostedFiles(MemoryFileSystem):
    """Storage whose URL names a host that has to be asked, as that of HDFS does; each host has files of its own."""

    protocol = "hosted"
    hosts: ClassVar[dict[str, dict[str, Any]]] = {}

    def __init__(self, host: str, port: int, **more: Any) -> None:
        super().__init__(**more)
        if host == "nobody":
            raise ConnectionRefusedError(111, "Connection refused")
        self.store = self.hosts.setdefault(f"{host}:{port}", {})
        self.pseudo_dirs = [""]

    @classmethod
    def _strip_protocol(cls, path: str) -> str:
        return urlsplit(path).path if "://" in path else path

    @staticmethod
    def _get_kwargs_from_urls(path: str) -> dict[str, Any]:
        parts = urlsplit(path)
        return {"host": parts.hostname, "port": parts.port}


def test_a_place_is_on_the_host_that_its_url_names() -> None:
    register_implementation("hosted", HostedFiles, clobber=True)
    one, other = place_at("hosted://one:1/fleet/"), place_at("hosted://other:2/fleet")
    one.write("data/a.bin", b"of one")
    other.write("data/a.bin", b"of the other")
    assert (one.read("data/a.bin"), other.read("data/a.bin")) == (b"of one", b"of the other")
    assert {host: [*files] for host, files in HostedFiles.hosts.items()} == {
        "one:1": ["/fleet/data/a.bin"], "other:2": ["/fleet/data/a.bin"],
    }  # fmt: skip
    other.write("rows.csv", b"a,b\n1,2\n")
    with duckdb.connect() as db:
        other.let_read(db)
        assert db.execute("from read_csv(?)", [other.full("rows.csv")]).fetchall() == [(1, 2)]
    one.clear("data")
    with pytest.raises(FileNotFoundError):
        one.read("data/a.bin")
    for use in (Place.folders, lambda place: place.read("a")):
        with pytest.raises(CannotReadOrWrite, match=r"hosted://nobody:3/fleet.*Connection refused"):
            use(place_at("hosted://nobody:3/fleet"))


@pytest.mark.parametrize(
    "changed",
    [
        {"data": "../kept"},
        {"data": f"data-{'0' * 32}/../../kept"},
        {"data": 5},
        {"own": {"../kept/fleet.toml": ""}},
        {"own": {"reports/..": ""}},
        {"own": {"/etc/motd": ""}},
        {"own": {"fleet.toml": 5}},
        {"files": {"readings": {"0": [f"data-{'0' * 32}/../../kept/data_0.parquet"]}}},
        {"files": {"readings": {"0": ["/etc/passwd"]}}},
        {"files": {"readings": [5]}},
        {"accounts": {"read": 1}},
        {"shards": "many"},
        {"more": 1},
    ],
)
def test_shards_that_name_what_lies_elsewhere_are_refused(
    changed: dict[str, object], split: Shards, tmp_path: Path
) -> None:
    told = json.loads(split.place.read("shards.json"))
    (tmp_path / "shards.json").write_text(json.dumps({**told, **changed}))
    with pytest.raises(CannotReadOrWrite, match=r"shards\.json: found a file that fleetreport did not write$"):
        read_shards(str(tmp_path))


def test_a_new_split_clears_nothing_that_lies_elsewhere(split: Shards, write_fleet: WriteFleet, tmp_path: Path) -> None:
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
    kept = tmp_path / "kept"
    kept.mkdir()
    out = tmp_path / "shards"
    out.mkdir()
    told = json.loads(split.place.read("shards.json"))
    (out / "shards.json").write_text(json.dumps({**told, "data": "../kept"}))
    with pytest.raises(CannotReadOrWrite, match=r"shards\.json: found a file that fleetreport did not write$"):
        write_shards(fleet, str(out), 2, tmp_path / "store.duckdb")
    assert kept.is_dir()


def test_own_files_that_are_no_text_come_through(write_fleet: WriteFleet, tmp_path: Path) -> None:
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
    (fleet / "reports").mkdir()
    (fleet / "reports" / "mark.bin").write_bytes(b"\xff\x00\r\n")
    write_shards(fleet, str(tmp_path / "shards"), 2)
    (tmp_path / "again").mkdir()
    read_shards(str(tmp_path / "shards")).put_settings(tmp_path / "again")
    assert (tmp_path / "again" / "reports" / "mark.bin").read_bytes() == b"\xff\x00\r\n"


def test_dask_and_fsspec_are_loaded_when_asked_for_only() -> None:
    script = (
        "import sys, fleetreport.cli, fleetreport.week; print({'dask', 'distributed', 'fsspec'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "set()\n"
