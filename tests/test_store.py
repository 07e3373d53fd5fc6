"""The store as a file: killed runs, earlier and later versions, damage, and what `fleetreport loads` says of it."""

import random
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import duckdb
import pytest
from test_incremental_load import READINGS, ROWS, load, small_fleet, tables_of, write

from fleetreport.problem import CannotReadOrWrite
from fleetreport.query import Query, Step, fill_table, run_all
from fleetreport.settings.fleet_toml import Settings
from fleetreport.storing import loading
from fleetreport.storing.damage import MORE_MEMORY, REBUILT, DamagedStore, anew_if_damaged
from fleetreport.storing.store import SCHEMA_VERSION, open_only_to, opened_store
from fleetreport.week import make_week

AS_OF = date(2026, 11, 25)
# Imports first, so that a kill falls into the run; then a line to say so.
RUN = """
import sys
from datetime import date
from pathlib import Path
import fleetreport.week
print("ready", flush=True)
fleetreport.week.make_week(*map(Path, sys.argv[1:2]), date(2026, 11, 25), *map(Path, sys.argv[2:]))
"""


def run_and_kill(fleet: Path, out: Path, store: Path, after: float | None) -> float:
    """Start a run and kill it so many seconds after its imports (None: let it end); gives how long it went on."""
    run = subprocess.Popen([sys.executable, "-c", RUN, fleet, out, store], stdout=subprocess.PIPE)
    assert run.stdout is not None
    assert run.stdout.readline() == b"ready\n"
    begun = time.monotonic()
    try:
        code = run.wait(after)
        assert code == 0
    except subprocess.TimeoutExpired:
        run.kill()
        run.wait()
    run.stdout.close()
    return time.monotonic() - begun


def test_a_killed_run_leaves_all_or_nothing_and_the_next_one_ends_as_if_undisturbed(tmp_path: Path) -> None:
    """A dozen kills (SIGKILL) at random moments, while the folder goes back and forth between two states."""
    chance = random.Random(20261125)
    fleet, out, store = small_fleet(tmp_path / "fleet", readings__a=READINGS), tmp_path / "out", tmp_path / "s.duckdb"
    states = (
        {"readings/b.csv": ROWS["readings"], "vehicles.csv": ROWS["vehicles"]},
        {"readings/b.csv": (), "vehicles.csv": ROWS["vehicles"][:2]},
    )
    undisturbed = []
    for number, state in enumerate(states):
        write(fleet, state)
        seconds = run_and_kill(fleet, out, tmp_path / f"undisturbed{number}.duckdb", None)
        undisturbed.append(tables_of(tmp_path / f"undisturbed{number}.duckdb"))
    killed = 0
    for turn in range(12):
        write(fleet, states[turn % 2])
        # The first kills fall on the making of the file and its tables.
        after = chance.uniform(0, seconds if turn > 2 else seconds / 4)
        went_on = run_and_kill(fleet, out, store, after)
        killed += went_on >= after
        if store.exists() and store.stat().st_size:
            with opened_store(store, Settings()) as db:
                is_made = db.execute("from duckdb_tables() where table_name = 'input_files'").fetchone()
            assert not is_made or tables_of(store) in undisturbed
    assert killed >= 6
    run_and_kill(fleet, out, store, None)
    assert tables_of(store) == undisturbed[1]


@pytest.mark.parametrize("size", [0, 4096, 8192])
def test_a_store_whose_making_was_killed_is_made_again(tmp_path: Path, size: int) -> None:
    """DuckDB writes three headers of 4,096 bytes when it makes a file."""
    fleet, store = small_fleet(tmp_path / "fleet"), tmp_path / "s.duckdb"
    with duckdb.connect(store):
        pass
    store.write_bytes(store.read_bytes()[:size])
    load(fleet, store)
    assert tables_of(store)["vehicles"] != []


def old_store(path: Path) -> None:
    """A store as version 1 left it: tables where there are views now."""
    with duckdb.connect(path) as db:
        db.execute("create table fleetreport_store as select 1 as schema_version")
        db.execute("create table readings as select 'readings.csv' as file, 2::bigint as line, 'V7' as vehicle_id")
        db.execute("create table file_counts as select 'readings.csv' as file, 1::bigint as rows_loaded")
        db.execute("create table due as select 'V7' as vehicle_id")


def test_a_store_of_version_1_is_built_anew(tmp_path: Path) -> None:
    fleet, store = small_fleet(tmp_path / "fleet", readings=READINGS), tmp_path / "old.duckdb"
    old_store(store)
    assert load(fleet, store) == []
    load(fleet, tmp_path / "new.duckdb")
    assert tables_of(store) == tables_of(tmp_path / "new.duckdb")
    with duckdb.connect(store, read_only=True) as db:
        assert db.execute("select schema_version from fleetreport_store").fetchall() == [(SCHEMA_VERSION,)]


def test_a_store_of_version_1_stays_as_it_was_where_the_run_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fleet, store = small_fleet(tmp_path / "fleet", readings=READINGS), tmp_path / "old.duckdb"
    old_store(store)

    def fail(db: duckdb.DuckDBPyConnection) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(loading, "_account", fail)
    with pytest.raises(KeyboardInterrupt):
        load(fleet, store)
    with duckdb.connect(store, read_only=True) as db:
        assert db.execute("select schema_version from fleetreport_store").fetchall() == [(1,)]
        assert db.execute("from due").fetchall() == [("V7",)]
        assert db.execute("from readings").fetchall() == [("readings.csv", 2, "V7")]


def test_a_store_of_a_later_version_is_refused(tmp_path: Path) -> None:
    store = tmp_path / "later.duckdb"
    with duckdb.connect(store) as db:
        db.execute("create table fleetreport_store as select 99 as schema_version")
    with pytest.raises(CannotReadOrWrite) as refused:
        load(small_fleet(tmp_path / "fleet"), store)
    assert refused.value.messages == (
        f"{store}: found a database of version 99, expected version {SCHEMA_VERSION} or an earlier one",
    )
    assert refused.value.help == "a later fleetreport made it: use that one, or name another database with --store"


def test_what_an_earlier_version_made_a_table_may_be_a_view_and_the_other_way_round() -> None:
    db = duckdb.connect()
    table = Query("one", "pages", (), (), ("x",), "select 1 as x")
    view = table._replace(sql="select 2 as x", is_view=True)
    step = Step("one", (), lambda db: fill_table(db, "one", {"x": "integer"}, [[3]]))
    for made, kind in (
        (table, "BASE TABLE"),
        (view, "VIEW"),
        (table, "BASE TABLE"),
        (view, "VIEW"),
        (step, "BASE TABLE"),
    ):
        run_all(db, [made])
        found = db.execute("select table_type from information_schema.tables where table_name = 'one'").fetchall()
        assert found == [(kind,)]
    assert db.execute("from one").fetchall() == [(3,)]


def test_damage_is_told_in_a_line_or_does_not_matter(tmp_path: Path) -> None:
    """Bytes turned over anywhere in the file: the run stops with one message, or ends with the right tables."""
    chance = random.Random(20261125)
    fleet, store = small_fleet(tmp_path / "fleet", readings=READINGS), tmp_path / "s.duckdb"
    load(fleet, store)
    whole, right = store.read_bytes(), tables_of(store)
    told = []
    for _ in range(8):
        spoilt, at = bytearray(whole), chance.randrange(len(whole) - 64)
        spoilt[at : at + 64] = bytes(byte ^ 255 for byte in spoilt[at : at + 64])
        store.write_bytes(spoilt)
        try:
            make_week(fleet, AS_OF, tmp_path / "out", store)
        except CannotReadOrWrite as stop:
            told.append(stop)
            continue
        assert tables_of(store) == right
    assert told
    assert all(stop.messages[0].startswith(f"{store}: found a") for stop in told)
    assert {stop.help for stop in told} == {REBUILT}


def test_a_damaged_database_in_its_own_place_is_set_aside_and_built_anew(tmp_path: Path) -> None:
    """The next run must make of it what an undisturbed run makes, and say so."""
    fleet = small_fleet(tmp_path / "fleet", readings=READINGS)
    store = fleet / ".fleetreport" / "store.duckdb"
    before = make_week(fleet, AS_OF, tmp_path / "out")
    whole, right = store.read_bytes(), tables_of(store)
    reports = {path: path.read_bytes() for path in (tmp_path / "out").rglob("*") if path.is_file()}
    healed = 0
    for at in range(4096 * 3, len(whole), 64 * 4096):
        spoilt = bytearray(whole)
        spoilt[at + 512 : at + 4096] = bytes(3584)
        store.write_bytes(spoilt)
        week = make_week(fleet, AS_OF, tmp_path / "out")
        assert tables_of(store) == right
        assert {path: path.read_bytes() for path in (tmp_path / "out").rglob("*") if path.is_file()} == reports
        if week.notes != before.notes:
            healed += 1
            said = "it was set aside as store.duckdb.damaged and built anew"
            assert week.notes == [*before.notes, f"{store}: found a database file that is damaged; {said}"]
            assert (store.parent / "store.duckdb.damaged").read_bytes()[8:12] == b"DUCK"
    assert healed > 0


@pytest.mark.skipif(sys.platform == "win32", reason="files are locked in another way")
def test_a_damaged_database_that_another_run_builds_anew_is_left_to_it(tmp_path: Path) -> None:
    store = tmp_path / "store.duckdb"
    store.write_bytes(b"damaged")
    building = (
        f"import fcntl; file = open({str(store)!r}, 'r+b'); fcntl.lockf(file, fcntl.LOCK_EX)\n"
        "print('held', flush=True); input()"
    )

    def work() -> None:
        raise DamagedStore(store)

    with subprocess.Popen([sys.executable, "-c", building], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"held\n"
        with pytest.raises(DamagedStore, match="found a database file that is damaged"):
            anew_if_damaged(store, store, work)
        assert list(tmp_path.iterdir()) == [store]
        other.communicate(b"\n")
    with pytest.raises(DamagedStore):
        anew_if_damaged(store, store, work)
    assert [path.name for path in tmp_path.iterdir()] == ["store.duckdb.damaged"]


ROWS_BEYOND_MEMORY = 1_000_000
WIDE_ROWS = f"select i, hash(i) as h, 'reading ' || i as said from range({ROWS_BEYOND_MEMORY}) r(i)"
IN_ORDER = "select row_number() over (order by h) as place, i, said from t"


def test_work_that_does_not_fit_into_memory_goes_to_disk_though_the_store_is_shut_off(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    with opened_store(tmp_path / "store" / "store.duckdb", Settings()) as db:
        db.execute("set memory_limit = '24MiB'")
        db.execute("set threads = 1")
        open_only_to(db, tmp_path / "out")
        db.execute(f"create table t as {WIDE_ROWS}")
        cursor = db.execute(IN_ORDER)
        first = cursor.fetchmany(3)
        aside = db.cursor().execute("select path, size from duckdb_temporary_files()").fetchall()
        rows = [*first, *cursor.fetchall()]
        with pytest.raises(duckdb.PermissionException, match="disabled by configuration"):
            db.execute(f"copy t to '{tmp_path}/elsewhere.csv'")
    assert sum(size for _, size in aside) > 1 << 20
    assert {Path(path).parent.parent for path, _ in aside} == {tmp_path / "store"}
    with duckdb.connect() as unbounded:
        unbounded.execute(f"create table t as {WIDE_ROWS}")
        assert rows == unbounded.execute(IN_ORDER).fetchall()
    assert list((tmp_path / "store").glob("*.tmp/*")) == []


@pytest.mark.parametrize(
    ("limits", "lacking"),
    [
        ("set max_temp_directory_size = '1MiB'", "on that disk"),
        ("set temp_directory = ''", "in the memory that the database may hold"),
    ],
)
def test_work_that_fits_neither_into_memory_nor_on_the_disk_is_told_with_what_to_set(
    tmp_path: Path, limits: str, lacking: str
) -> None:
    store = tmp_path / "store.duckdb"

    def work() -> None:
        with opened_store(store, Settings()) as db:
            db.execute("set memory_limit = '24MiB'")
            db.execute("set threads = 1")
            db.execute(limits)
            open_only_to(db, tmp_path)
            db.execute(f"create temp table t as {WIDE_ROWS}")
            db.execute(f"create temp table u as {IN_ORDER}")

    with pytest.raises(CannotReadOrWrite) as told:
        work()
    assert told.value.messages == (f"{store}: no room {lacking} for the work of this run",)
    assert told.value.help.endswith(MORE_MEMORY)
    with opened_store(store, Settings()):
        pass


def call(*arguments: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "fleetreport", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def test_loads_fits_a_terminal_and_changes_nothing(tmp_path: Path) -> None:
    fleet, store = small_fleet(tmp_path / "fleet", readings__a=READINGS), tmp_path / "s.duckdb"
    load(fleet, store)
    write(fleet, {"readings/a.csv": (*READINGS, "V1,2026-02-05,300")})
    load(fleet, store)
    before = store.read_bytes()
    shown, log = call("loads", fleet, "--store", store), call("loads", fleet, "--store", store, "--log")
    assert (shown.returncode, shown.stderr, log.returncode) == (0, "", 0)
    assert max(map(len, (shown.stdout + log.stdout).splitlines())) <= 80
    lines = shown.stdout.splitlines()
    assert lines[2].split() == ["readings/a.csv", "3", "2", "0", "1"]
    assert lines[3].split()[:3] == ["readings", "2026-01-05", "2026-02-05"]
    assert lines[-1] == "1 time a file was replaced or withdrawn; --log shows when"
    assert "  replaced    readings/a.csv\n    2 of 3 rows loaded; before: 1 row, of 20" in log.stdout
    assert store.read_bytes() == before


def test_loads_as_csv(tmp_path: Path) -> None:
    fleet, store = small_fleet(tmp_path / "fleet", readings=READINGS), tmp_path / "s.duckdb"
    load(fleet, store)
    head, first, *_ = call("loads", fleet, "--store", store, "--csv").stdout.splitlines()
    assert head == "file,table,rows_read,rows_loaded,rows_repeated,rows_quarantined,first_on,last_on,loaded_at"
    assert first.startswith("readings.csv,readings,2,1,0,1,2026-01-05,2026-01-05,20")
    head, *events = call("loads", fleet, "--store", store, "--csv", "--log").stdout.splitlines()
    assert head == "logged_at,event,file,table,rows_read,rows_loaded,rows_before,loaded_before"
    assert [line.split(",")[1:3] for line in events] == [
        ["loaded", "readings.csv"], ["loaded", "tasks.csv"], ["loaded", "vehicles.csv"],
    ]  # fmt: skip


def test_loads_of_an_earlier_version_says_what_to_do(tmp_path: Path) -> None:
    old_store(tmp_path / "old.duckdb")
    done = call("loads", small_fleet(tmp_path / "fleet"), "--store", tmp_path / "old.duckdb")
    assert (done.returncode, done.stdout) == (3, "")
    assert done.stderr == (
        f"error: {tmp_path}/old.duckdb: found a database of version 1, expected version {SCHEMA_VERSION}\n"
        "    help: run fleetreport week once; it builds the database anew\n"
    )


def test_an_error_in_a_query_names_its_file() -> None:
    with pytest.raises(duckdb.Error) as fault:
        run_all(duckdb.connect(), [Query("a", "meters", (), (), ("one",), "select nothing")])
    assert fault.value.__notes__ == ["in queries/meters/a.sql"]
