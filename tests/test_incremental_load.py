"""The tables follow from the folder alone: whatever a store went through, it ends as a new one would.

The other side of each comparison is a store made anew, which tests/test_load.py holds to the contract.
"""

import shutil
import tempfile
from datetime import date
from pathlib import Path

import duckdb
import pytest
from conftest import SAMPLE_FLEET
from hypothesis import given, settings
from hypothesis import strategies as st
from test_week import files_of

from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.storing import fates, loading
from fleetreport.storing.load_log import read_loads
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import one_transaction, open_store
from fleetreport.tables import TABLES
from fleetreport.week import make_week

# For each table a header and rows to draw from: good ones, repeats in other words, wrong ones, ones that refer to
# nothing and ones with the key of another.
ROWS: dict[str, tuple[str, ...]] = {
    "vehicles": (
        "vehicle_id,class,in_service_on,distance_unit",
        "V1,van,2025-01-01,km", "V1,van,2025-01-01,", "V1,bus,2025-01-01,mi", "V1,van,2025-01-01,mi",
        "V2,van,2025-01-01,mi", "V2,van,yesterday,mi", "V3,van,2025-01-01,km",
    ),
    "tasks": ("class,task,every_months", "van,oil,12", "van,oil,12.0", "van,oil,6", "*,tyres,x", "*,brakes,24"),
    "vehicle_tasks": ("vehicle_id,task,every_months", "V1,oil,3", "V1,oil,4", "V2,wash,1", "V9,oil,1"),
    "expiries": ("vehicle_id,task,expires_on", "V1,test,2026-12-01", "V2,test,2026-12-01", "V2,test,2026-12-02"),
    "items": ("item,unit", "filter,piece", "filter,", "filter,box", "oil,l"),
    "readings": (
        "vehicle_id,read_at,meter,reading,unit",
        "V1,2026-01-05,,100,", "V1,2026-01-05,odometer,100.0,km", "V1,2026-01-05,odometer,100,mi",
        "V1,2026-01-05T00:00,,100,", "V2,2026-01-05,,100,", "V2,2026-01-05,,100,mi", "V3,2026-01-06,hours,7,",
        "V9,2026-01-05,,100,", "V1,2026-13-05,,100,", 'V1,2026-01-05,,"1\n00",', "V1,2026-01-05,,100,,,7",
    ),
    "meter_changes": (
        "vehicle_id,changed_on,meter,final_reading,first_reading,unit",
        "V1,2026-02-01,,2500,0,", "V1,2026-02-01,odometer,2500,0,km", "V1,2026-02-01,odometer,2600,0,km",
        "V1,2026-02-01,hours,2600,0,h", "V2,2026-02-01,,2500,,", "V9,2026-02-01,,2500,,",
    ),
    "history": (
        "vehicle_id,done_on,task,parts_cost,kind,unit",
        "V1,2026-01-05,oil,40,,", "V1,2026-01-05,oil,40.00,scheduled,km", "V9,2026-01-05,oil,40,,",
        "V2,2026-01-05,,40,planned,", "V2,2026-01-05,,40,,mi", "V2,some day,,40,,mi",
    ),
    "task_items": (
        "class,task,item,quantity", "van,oil,filter,1", "van,oil,filter,2", "van,wash,oil,1", "van,oil,bolt,1",
    ),
    "packs": ("item,pack,size,price,supplier", "oil,can,5,20,", "oil,can,5,21,", "oil,can,5,21,shop", "bolt,bag,5,1,"),
}  # fmt: skip
PLACES = {table: [f"{table}.csv", f"{table}/a.csv", f"{table}/b.csv"] for table in ROWS}
NEEDED = {"vehicles.csv": "vehicles", "tasks.csv": "tasks"}
Folder = dict[str, tuple[str, ...]]


@st.composite
def changes(draw: st.DrawFn) -> Folder:
    """Files to write (rows of the file, drawn in any order, some twice) or to remove (no rows and no header)."""
    changed: Folder = {}
    for table in draw(st.lists(st.sampled_from(sorted(ROWS)), min_size=1, max_size=3)):
        name = draw(st.sampled_from(PLACES[table]))
        rows = tuple(draw(st.lists(st.sampled_from(ROWS[table][1:]), max_size=5)))
        is_there = name in NEEDED or draw(st.integers(0, 3))
        changed[name] = (ROWS[table][0], *rows) if is_there else ()
    return changed


@st.composite
def moves(draw: st.DrawFn) -> tuple[str, str]:
    """A file takes another's place and name, whatever stood there."""
    places = PLACES[draw(st.sampled_from(sorted(ROWS)))]
    return draw(st.sampled_from(places[1:])), draw(st.sampled_from(places[1:]))


Step = Folder | tuple[str, str]


def write(fleet: Path, step: Step) -> None:
    """Do one step of `changes` or `moves` to a fleet folder."""
    if isinstance(step, tuple):
        source, target = (fleet / name for name in step)
        if source.exists():
            source.replace(target)
        return
    for name, lines in step.items():
        path = fleet / name
        path.parent.mkdir(exist_ok=True)
        if lines:
            path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        else:
            path.unlink(missing_ok=True)


def load(fleet: Path, store: Path) -> list[str]:
    """One run's loading, as the commands do it; gives its notes."""
    found = read_settings(fleet)
    db = open_store(store, found)
    try:
        changed = stage(db, find_files(fleet)[0], found)
        with one_transaction(db):
            return keep(db, changed)
    finally:
        db.close()


def tables_of(store: Path, *left_out: str) -> dict[str, list[tuple[object, ...]]]:
    """Every table of the input with all its rows, in order of their cells; when a row was loaded is left out."""
    with duckdb.connect(store, read_only=True) as db:
        db.execute("set TimeZone = 'UTC'")
        tables = [table.name for table in TABLES]
        names = [*tables, *(f"input_{name}" for name in tables), "input_unshaped", "problems", "file_counts"]
        found = {}
        for name in [*names, "input_files"]:
            columns = [column[0] for column in db.execute(f"describe {name}").fetchall()]
            listed = ", ".join(f'"{column}"' for column in columns if column not in ("loaded_at", *left_out))
            found[name] = db.execute(f"select {listed} from {name} order by all").fetchall()
        return found


def small_fleet(fleet: Path, **files: tuple[str, ...]) -> Path:
    """A fleet folder with a row in each table that must be there, and more files, `__` standing for the slash."""
    fleet.mkdir(parents=True, exist_ok=True)
    write(fleet, {name: ROWS[table][:2] for name, table in NEEDED.items()})
    write(fleet, {name.replace("__", "/") + ".csv": lines for name, lines in files.items()})
    return fleet


def full_fleet(fleet: Path) -> Path:
    """A fleet folder with all rows of `ROWS` in one file of each table, and again in reverse in another."""
    small_fleet(fleet)
    for table, (head, *rows) in ROWS.items():
        places = [f"{table}.csv", f"{table}/b.csv"] if f"{table}.csv" in NEEDED else PLACES[table][1:]
        write(fleet, {places[0]: (head, *rows), places[1]: (head, *reversed(rows))})
    return fleet


@settings(deadline=None, max_examples=12)
@given(st.lists(st.lists(st.one_of(changes(), changes(), moves()), min_size=1, max_size=3), min_size=1, max_size=4))
def test_a_store_ends_as_a_new_one_would_whatever_was_done_to_the_folder(turns: list[list[Step]]) -> None:
    """Files added, corrected, removed, renamed, in any order, and a run after each turn."""
    with tempfile.TemporaryDirectory() as folder:
        fleet, store, fresh = (Path(folder) / name for name in ("fleet", "store.duckdb", "fresh.duckdb"))
        full_fleet(fleet)
        load(fleet, store)
        for turn in turns:
            for step in turn:
                write(fleet, step)
            load(fleet, store)
        load(fleet, fresh)
        assert tables_of(store) == tables_of(fresh)


def test_rows_that_share_a_hash_by_chance_stay_apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With one hash for all rows the fates are the same: values are compared, not hashes."""
    fleet = full_fleet(tmp_path / "fleet")
    load(fleet, tmp_path / "apart.duckdb")
    row_key = fates._row_key
    monkeypatch.setattr(fates, "_row_key", lambda table: f"(({row_key(table)}) & 0)")
    load(fleet, tmp_path / "alike.duckdb")
    with duckdb.connect(tmp_path / "alike.duckdb", read_only=True) as db:
        assert db.execute("select distinct row_key from input_readings order by 1").fetchall() == [(0,), (None,)]
    apart, alike = (tables_of(tmp_path / f"{name}.duckdb", "row_key") for name in ("apart", "alike"))
    assert apart == alike
    assert {row[1] for row in _rows(tmp_path / "alike.duckdb", "select line, fate from input_meter_changes")} == {
        "loaded", "repeated", "contradicts", "refers to nothing",
    }  # fmt: skip


def _rows(store: Path, sql: str) -> list[tuple[object, ...]]:
    with duckdb.connect(store, read_only=True) as db:
        return db.execute(sql).fetchall()


READINGS = ("vehicle_id,read_at,reading", "V1,2026-01-05,100", "V2,2026-01-05,200")


def only_parsed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of files that are parsed from here on."""
    names: list[str] = []
    ways = loading.ways_to_read
    monkeypatch.setattr(loading, "ways_to_read", lambda file, spare: names.append(file.name) or ways(file, spare))
    return names


def test_only_new_and_changed_files_are_parsed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fleet, store = small_fleet(tmp_path / "fleet", readings__a=READINGS, readings__b=READINGS), tmp_path / "s.duckdb"
    load(fleet, store)
    parsed = only_parsed(monkeypatch)
    load(fleet, store)
    assert parsed == []
    write(fleet, {"readings/b.csv": READINGS[:2], "readings/c.csv": READINGS})
    load(fleet, store)
    assert parsed == ["readings/b.csv", "readings/c.csv"]


@pytest.mark.parametrize("what", ["rules", "time zone"])
def test_what_changes_how_files_are_read_reads_them_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    readings = ("vehicle_id,read_at,reading", "V1,2026-01-05T23:30Z,100")
    fleet, store = small_fleet(tmp_path / "fleet", readings=readings), tmp_path / "s.duckdb"
    load(fleet, store)
    if what == "rules":
        monkeypatch.setattr(loading, "reading_rules", lambda: "others")
    else:
        (fleet / "fleet.toml").write_text('[fleet]\ntime_zone = "Africa/Nairobi"\n')
    parsed = only_parsed(monkeypatch)
    load(fleet, store)
    assert parsed == ["readings.csv", "tasks.csv", "vehicles.csv"]
    hour = 23 if what == "rules" else 2
    assert _rows(store, "select hour(read_at) from readings") == [(hour,)]
    assert {line.event for line in read_loads(fleet, store).log} == {"loaded", "read again"}


def test_a_vehicle_that_comes_and_goes_takes_its_readings_along_without_reading_them_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fleet, store = small_fleet(tmp_path / "fleet", readings=READINGS), tmp_path / "s.duckdb"
    load(fleet, store)
    parsed = only_parsed(monkeypatch)
    refused = [("readings.csv", 3, "V2", "expected one that stands in vehicles")]
    for vehicles, loaded, problems in (
        (ROWS["vehicles"][:2], ["V1"], refused),
        ((*ROWS["vehicles"][:2], "V2,van,2025-01-01,mi"), ["V1", "V2"], []),
        (ROWS["vehicles"][:2], ["V1"], refused),
    ):
        write(fleet, {"vehicles.csv": vehicles})
        load(fleet, store)
        assert _rows(store, "select vehicle_id from readings order by line") == [(name,) for name in loaded]
        assert _rows(store, "select file, line, value, reason from problems") == problems
    assert set(parsed) == {"vehicles.csv"}


def test_a_vehicle_that_changes_its_unit_sorts_its_readings_anew(tmp_path: Path) -> None:
    """A blank unit is the vehicle's: in km the second row repeats the first, in miles it does not."""
    readings = ("vehicle_id,read_at,reading,unit", "V1,2026-01-05,100,", "V1,2026-01-05,100,km")
    fleet, store = small_fleet(tmp_path / "fleet", readings=readings), tmp_path / "s.duckdb"
    for unit, fates_then in (
        ("km", ["loaded", "repeated"]),
        ("mi", ["loaded", "loaded"]),
        ("", ["loaded", "repeated"]),
    ):
        write(fleet, {"vehicles.csv": (ROWS["vehicles"][0], f"V1,van,2025-01-01,{unit}")})
        load(fleet, store)
        assert [fate for (fate,) in _rows(store, "select fate from input_readings order by line")] == fates_then
        assert _rows(store, "select unit from readings order by line")[0] == (unit or "km",)


def test_a_vehicle_that_changes_its_unit_turns_a_repeated_meter_change_into_a_contradiction(tmp_path: Path) -> None:
    """The key of a meter change is not its unit, so it stays the same while what the row says does not."""
    changes = (ROWS["meter_changes"][0], "V1,2026-02-01,,2500,0,", "V1,2026-02-01,odometer,2500,0,km")
    fleet, store = small_fleet(tmp_path / "fleet", meter_changes=changes), tmp_path / "s.duckdb"
    for unit, fate in (("km", "repeated"), ("mi", "contradicts"), ("km", "repeated")):
        write(fleet, {"vehicles.csv": (ROWS["vehicles"][0], f"V1,van,2025-01-01,{unit}")})
        load(fleet, store)
        assert _rows(store, "select fate from input_meter_changes where line = 3") == [(fate,)]


def test_the_first_copy_that_goes_lets_the_next_one_load(tmp_path: Path) -> None:
    fleet, store = small_fleet(tmp_path / "fleet", readings__a=READINGS, readings__b=READINGS), tmp_path / "s.duckdb"
    load(fleet, store)
    counts = "select file, rows_loaded, rows_repeated from file_counts where file like 'readings%'"
    assert _rows(store, counts) == [("readings/a.csv", 1, 0), ("readings/b.csv", 0, 1)]
    write(fleet, {"readings/a.csv": ()})
    assert [note.split("loaded")[0] for note in load(fleet, store)] == [
        "readings/a.csv: this file is no longer in the folder; its 1 row, "
    ]
    assert _rows(store, counts) == [("readings/b.csv", 1, 0)]
    assert load(fleet, store) == []


def test_the_log_tells_what_was_replaced_and_withdrawn(tmp_path: Path) -> None:
    fleet, store = small_fleet(tmp_path / "fleet", readings__a=READINGS), tmp_path / "s.duckdb"
    load(fleet, store)
    write(fleet, {"readings/a.csv": (*READINGS, "V1,2026-02-05,300")})
    load(fleet, store)
    write(fleet, {"readings/a.csv": ()})
    load(fleet, store)
    told = [(line.event, line.rows_loaded, line.rows_before) for line in read_loads(fleet, store).log
            if line.file == "readings/a.csv"]  # fmt: skip
    assert told == [("loaded", 1, None), ("replaced", 2, 1), ("withdrawn", None, 2)]
    assert [file.file for file in read_loads(fleet, store).files] == ["tasks.csv", "vehicles.csv"]


def test_a_file_tells_of_when_it_is(tmp_path: Path) -> None:
    readings = (*READINGS, "V1,2025-03-01T10:00,7", "V1,never,9")
    fleet, store = small_fleet(tmp_path / "fleet", readings=readings), tmp_path / "s.duckdb"
    load(fleet, store)
    days = {file.file: (file.first_on, file.last_on) for file in read_loads(fleet, store).files}
    assert days == {
        "readings.csv": (date(2025, 3, 1), date(2026, 1, 5)),
        "tasks.csv": (None, None),
        "vehicles.csv": (date(2025, 1, 1), date(2025, 1, 1)),
    }


def test_weeks_that_come_in_the_wrong_order_give_the_same_bytes(sample_week: Path, tmp_path: Path) -> None:
    """The sample fleet, its weekly exports late, first without their last rows, vehicles that came later."""
    fleet, store = tmp_path / "fleet", tmp_path / "store.duckdb"
    shutil.copytree(SAMPLE_FLEET, fleet, ignore=shutil.ignore_patterns(".fleetreport"))
    late = sorted(path for path in fleet.rglob("*-2026-W*.csv"))
    contents = {path: path.read_bytes() for path in late}
    for path in late:
        path.unlink()
    (fleet / "history" / "guest.csv").write_bytes(contents[late[0]])
    vehicles = (fleet / "vehicles.csv").read_bytes()
    (fleet / "vehicles.csv").write_bytes(b"".join(vehicles.splitlines(keepends=True)[:30]))
    load(fleet, store)
    for path in reversed(late):
        path.write_bytes(contents[path].rsplit(b"\n", 3)[0] + b"\n")
    load(fleet, store)
    (fleet / "history" / "guest.csv").unlink()
    (fleet / "vehicles.csv").write_bytes(vehicles)
    for path in late:
        path.write_bytes(contents[path])
    make_week(fleet, date(2026, 11, 25), tmp_path / "out", store)
    assert files_of(tmp_path / "out") == files_of(sample_week)
