"""Rows into the store: every row accounted for, every wrong value named, nothing loaded twice."""

import csv
import random
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import duckdb
import pytest
from conftest import WriteFleet

from fleetreport.problem import CannotReadOrWrite
from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.store import open_store
from fleetreport.week import makers_of, work_out

AS_OF = date(2026, 11, 25)
LOOKED_AT = ("quarantine", "loads", "kept_readings", "notes", "not_judged")
VEHICLES = """
    vehicle_id,class,in_service_on
    V1,van,2025-01-01
"""
TASKS = """
    class,task,every_distance
    van,oil,10000
"""


class Loaded:
    """A worked-out fleet: `problems` as (file, line, column, value, scope), and any query."""

    def __init__(self, fleet: Path) -> None:
        settings = read_settings(fleet)
        self.db = open_store(fleet / "store.duckdb", settings)
        work_out(self.db, find_files(fleet, settings.source)[0], settings, AS_OF, "fleet", made=makers_of(LOOKED_AT))

    def rows(self, sql: str) -> list[tuple[object, ...]]:
        return self.db.execute(sql).fetchall()

    @property
    def problems(self) -> list[tuple[object, ...]]:
        return self.rows('select file, line, "column", value, scope from quarantine')

    def counts(self, file: str) -> tuple[object, ...]:
        return self.rows(
            f"select rows_read, rows_loaded, rows_repeated, rows_quarantined from loads where file = '{file}'"
        )[0]


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("reading", "84.120,5"),
        ("reading", "1_000"),
        ("reading", "-5"),
        ("reading", "nan"),
        ("reading", "inf"),
        ("reading", "1e99"),
        ("reading", "9999999999"),
        ("reading", ""),
        ("read_at", "2026-02-30"),
        ("read_at", "2026/01/05"),
        ("read_at", "05.01.2026"),
        ("read_at", "epoch"),
        ("read_at", "0000-01-01"),
        ("read_at", "9999-12-31"),
        ("read_at", "2026-01-05 25:00"),
        ("unit", "furlong"),
        ("meter", "speedo"),
        ("vehicle_id", "V9"),
        ("vehicle_id", "v1"),
    ],
)
def test_a_reading_with_a_wrong_value_is_refused(write_fleet: WriteFleet, column: str, value: str) -> None:
    row = {
        "vehicle_id": "V1",
        "read_at": "2026-01-05",
        "meter": "odometer",
        "reading": "100",
        "unit": "km",
    } | {column: value}
    readings = ",".join(row) + "\n" + ",".join(f'"{cell}"' for cell in row.values()) + "\n"
    loaded = Loaded(write_fleet(vehicles=VEHICLES, tasks=TASKS, readings=readings))
    assert loaded.problems == [("readings.csv", 2, column, value, "row")]
    assert loaded.counts("readings.csv") == (1, 0, 0, 1)


def test_a_wrong_value_in_a_column_that_may_be_blank_costs_the_cell_only(write_fleet: WriteFleet) -> None:
    history = """
        vehicle_id,done_on,task,odometer,parts_cost,kind
        V1,2026-01-05,oil,12 000,40.00,planned
    """
    loaded = Loaded(write_fleet(vehicles=VEHICLES, tasks=TASKS, history=history))
    assert loaded.problems == [
        ("history.csv", 2, "kind", "planned", "value"),
        ("history.csv", 2, "odometer", "12 000", "value"),
    ]
    assert loaded.rows("select odometer, parts_cost::varchar, kind from history") == [(None, "40.0000", None)]


def test_good_values_in_all_their_forms(write_fleet: WriteFleet) -> None:
    settings = '[fleet]\ntime_zone = "Europe/Berlin"\n'
    readings = """
        vehicle_id,read_at,meter,reading,unit
        V1,2026-01-05,ODOMETER, 84120.5 ,KM
        V1,2026-01-06T10:00,odometer,84e3,km
        V1,2026-01-07 10:00:30.5,,85000,
        V1,2026-07-01T23:30:00Z,,10,h
        V1,2026-07-03T10:00:00+05:30,hours,20,h
    """
    loaded = Loaded(write_fleet(settings=settings, vehicles=VEHICLES, tasks=TASKS, readings=readings))
    assert loaded.rows("select count(*) from problems") == [(0,)]
    found = loaded.rows("select read_at::varchar, meter, reading::varchar, has_time from dated_readings "
                        "where \"table\" = 'readings' order by line")  # fmt: skip
    assert found == [
        ("2026-01-05 00:00:00", "odometer", "84120.5000000", False),
        ("2026-01-06 10:00:00", "odometer", "84000.0000000", True),
        ("2026-01-07 10:00:30.5", "odometer", "85000.0000000", True),
        ("2026-07-02 01:30:00", "hours", "10.0000000", True),
        ("2026-07-03 06:30:00", "hours", "20.0000000", True),
    ]


def test_a_unit_that_does_not_go_with_the_meter_is_refused(write_fleet: WriteFleet) -> None:
    readings = """
        vehicle_id,read_at,meter,reading,unit
        V1,2026-01-05,odometer,100,h
        V1,2026-01-06,hours,100,mi
    """
    loaded = Loaded(write_fleet(vehicles=VEHICLES, tasks=TASKS, readings=readings))
    assert loaded.problems == [
        ("readings.csv", 2, "unit", "h", "row"),
        ("readings.csv", 3, "unit", "mi", "row"),
    ]


def test_repeats_are_counted_and_not_loaded(write_fleet: WriteFleet) -> None:
    readings = """
        vehicle_id,read_at,reading,litres
        V1,2026-01-05,100,40
        V1,2026-01-05,100.0,41
        V1,2026-01-05,101,40
    """
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS, readings=readings)
    loaded = Loaded(fleet)
    assert loaded.counts("readings.csv") == (3, 2, 1, 0)
    assert loaded.rows("select columns_ignored from loads where file = 'readings.csv'") == [("litres",)]
    loaded.db.close()
    (fleet / "readings").mkdir()
    (fleet / "readings.csv").rename(fleet / "readings" / "a.csv")
    (fleet / "readings" / "b.csv").write_text((fleet / "readings" / "a.csv").read_text() + "V1,2026-01-06,200,40\n")
    again = Loaded(fleet)
    assert again.counts("readings/b.csv") == (4, 1, 3, 0)


def test_a_second_row_for_the_same_key_is_refused(write_fleet: WriteFleet) -> None:
    vehicles = VEHICLES + "    V1,bus,2025-01-01\n    V1,van,2025-01-01\n"
    loaded = Loaded(write_fleet(vehicles=vehicles, tasks=TASKS))
    assert loaded.rows('select file, line, "column", value, reason, scope from quarantine') == [
        ("vehicles.csv", 3, "vehicle_id", "V1",
         "expected one row for each vehicle_id, found other values at vehicles.csv:2", "row"),
    ]  # fmt: skip
    assert loaded.counts("vehicles.csv") == (3, 1, 1, 1)
    assert loaded.rows("select class from vehicles") == [("van",)]


def test_a_refused_row_is_one_line_of_the_list(write_fleet: WriteFleet) -> None:
    readings = """
        vehicle_id,read_at,reading
        V1,yesterday,many
    """
    loaded = Loaded(write_fleet(vehicles=VEHICLES, tasks=TASKS, readings=readings))
    assert loaded.rows("select value, reason from quarantine") == [
        ("yesterday", "expected a date or a time such as 2026-11-25 or 2026-11-25T14:30, not blank; "
         "reading: expected a number such as 84120.5, 0 or more, not blank"),
    ]  # fmt: skip


def test_a_history_line_of_an_unknown_vehicle_keeps_its_money(write_fleet: WriteFleet) -> None:
    history = """
        vehicle_id,done_on,task,parts_cost
        V9,2026-01-05,oil,40.00
    """
    loaded = Loaded(write_fleet(vehicles=VEHICLES, tasks=TASKS, history=history))
    assert loaded.problems == [("history.csv", 2, "vehicle_id", "V9", "value")]
    assert loaded.rows("select sum(parts_cost)::varchar from history") == [("40.0000",)]


def test_a_second_run_on_the_same_store_replaces_the_first(write_fleet: WriteFleet) -> None:
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
    for _ in range(2):
        loaded = Loaded(fleet)
        assert loaded.counts("vehicles.csv") == (1, 1, 0, 0)
        loaded.db.close()


def test_a_store_in_use_says_so_in_one_line(tmp_path: Path) -> None:
    """DuckDB's lock is between processes, so the other user has to be one."""
    import subprocess
    import sys

    store = tmp_path / "store.duckdb"
    hold = f"import duckdb, sys; db = duckdb.connect({str(store)!r}); print('held', flush=True); sys.stdin.read()"
    holder = subprocess.Popen([sys.executable, "-c", hold], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    try:
        assert holder.stdout is not None
        holder.stdout.readline()
        with pytest.raises(CannotReadOrWrite, match="another run is using it"):
            open_store(store, Settings())
    finally:
        holder.communicate(b"")


def test_a_database_of_another_kind_is_left_alone(tmp_path: Path) -> None:
    store = tmp_path / "mine.duckdb"
    with duckdb.connect(store) as db:
        db.execute("create table vehicles as select 1 as mine")
    with pytest.raises(CannotReadOrWrite, match="a database that is not this program's"):
        open_store(store, Settings())
    with duckdb.connect(store) as db:
        assert db.execute("from vehicles").fetchall() == [(1,)]


def test_defaults_that_hang_on_the_vehicle_are_filled_before_rows_are_compared(write_fleet: WriteFleet) -> None:
    """A blank meter and unit say the same as those written out: one reading, one meter change."""
    readings = """
        vehicle_id,read_at,meter,reading,unit
        V1,2026-01-05,,100,
        V1,2026-01-05,odometer,100,km
        V1,2026-03-01,,500,km
    """
    changes = """
        vehicle_id,changed_on,meter,final_reading,first_reading,unit
        V1,2026-02-01,,2500,0,
        V1,2026-02-01,odometer,2500,0,km
    """
    loaded = Loaded(write_fleet(vehicles=VEHICLES, tasks=TASKS, readings=readings, meter_changes=changes))
    assert loaded.counts("readings.csv") == (3, 2, 1, 0)
    assert loaded.counts("meter_changes.csv") == (2, 1, 1, 0)
    assert loaded.rows("select max(value)::integer from kept_readings where meter = 'odometer'") == [(3000,)]


@pytest.mark.parametrize("header", ["vehicle_id,weekday", "vehicle_id,available_on", "vehicle_id"])
def test_a_rule_between_cells_holds_where_the_file_lacks_one_of_its_columns(
    write_fleet: WriteFleet, header: str
) -> None:
    """An availability row with neither date nor weekday says nothing, whichever of the two columns the file has."""
    blank, filled = "," * header.count(","), {"weekday": "wed", "available_on": "2026-11-25"}.get(header[11:], "")
    availability = f"{header}\nV1{blank}\nV1{blank}{filled}\n"
    loaded = Loaded(write_fleet(vehicles=VEHICLES, tasks=TASKS, availability=availability))
    refused = [2] if filled else [2, 3]
    assert loaded.rows('select line, "column", value, reason from problems order by line') == [
        (line, "weekday", "", "expected a date or a weekday") for line in refused
    ]
    assert loaded.counts("availability.csv") == (2, 2 - len(refused), 0, len(refused))


def test_what_was_refused_of_the_fleet_is_told_at_once(write_fleet: WriteFleet) -> None:
    vehicles = VEHICLES + "    V2,van,11.03.2019\n"
    tasks = TASKS.replace("every_distance", "every_km")
    loaded = Loaded(write_fleet(vehicles=vehicles, tasks=tasks))
    assert [note for (note,) in loaded.rows("select note from notes order by turn")] == [
        "a row of vehicles was refused, so what it says is NOT in this report: vehicles.csv:3",
        "tasks.csv: columns that are not known and were not used: every_km",
    ]
    assert loaded.rows("select task, reason from not_judged") == [("oil", "no interval")]


def test_a_store_that_is_no_database_says_so(tmp_path: Path) -> None:
    (tmp_path / "store.duckdb").write_text("hello " * 1000)
    with pytest.raises(CannotReadOrWrite, match="found a file that is no database of this program"):
        open_store(tmp_path / "store.duckdb", Settings())


def corruptions(lines: list[str], rng: random.Random) -> Iterator[str]:
    """Lines of a CSV file, some cut, doubled, shuffled, garbled or dropped out of shape."""
    for line in lines:
        chance = rng.random()
        if chance < 0.1:
            yield line[: rng.randrange(len(line))] or "x"
        elif chance < 0.2:
            yield from (line, line)
        elif chance < 0.3:
            yield line.replace(rng.choice(line), rng.choice(['"', ",", "\t", "é", "\0", "'"]), 1)
        elif chance < 0.35:
            yield line + ","
        else:
            yield line


@pytest.mark.parametrize("seed", range(25))
def test_every_row_is_accounted_for_whatever_is_done_to_the_file(write_fleet: WriteFleet, seed: int) -> None:
    """Conservation: rows_read = rows_loaded + rows_repeated + rows_quarantined, and the list names each refused row."""
    rng = random.Random(seed)
    lines = [
        f"V1,2026-{rng.randint(1, 12):02}-{rng.randint(1, 30):02},{rng.randint(0, 999999)},km,card" for _ in range(60)
    ]
    rng.shuffle(lines)
    readings = "\n".join(["vehicle_id,read_at,reading,unit,source", *corruptions(lines, rng)]) + "\n"
    loaded = Loaded(write_fleet(vehicles=VEHICLES, tasks=TASKS, readings=readings))
    read, kept, repeated, refused = (int(str(n)) for n in loaded.counts("readings.csv"))
    assert read == kept + repeated + refused
    listed = loaded.rows("select count(*) from quarantine where file = 'readings.csv' and scope = 'row'")
    assert listed == [(refused,)]
    assert kept == loaded.rows("select count(*) from readings")[0][0]


def test_duckdb_and_the_standard_library_read_a_clean_file_alike(write_fleet: WriteFleet) -> None:
    """Two readers from outside: DuckDB's own CSV reader (quick way) against Python's csv module."""
    lines = [f"V1,2026-01-{day:02},{day * 100},km" for day in range(1, 29)]
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS, readings="vehicle_id,read_at,reading,unit\n" + "\n".join(lines))
    loaded = Loaded(fleet)
    with (fleet / "readings.csv").open(newline="") as file:
        expected = [
            (line, r["vehicle_id"], r["read_at"], float(r["reading"])) for line, r in enumerate(csv.DictReader(file), 2)
        ]
    found = loaded.rows("select line, vehicle_id, read_at::date::varchar, reading::double from readings order by line")
    assert found == expected
