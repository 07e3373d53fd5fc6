"""Tables of readings that are carried on from a week to the next end as if they had been made of all readings at once.

The other side of each comparison is a database in which the queries alone make them anew.
"""

import random
from datetime import date, datetime, timedelta

import duckdb
import pytest
from conftest import QUERIES

from fleetreport.meters.carrying_on import MeterTables
from fleetreport.query import Query, Step, fill_table, load_macros, run_all
from fleetreport.remaking import run_changed
from fleetreport.week import makers_of

BEGIN = date(2026, 1, 1)
VEHICLES = ("V1", "V2", "V3")
MADE = makers_of(("readings_in_order", "meter_days", "not_believed", "refused_readings"))
COLUMNS = {
    "readings": {
        "file": "varchar", "line": "bigint", "vehicle_id": "varchar", "meter": "varchar", "read_at": "timestamp",
        "read_at_has_time": "boolean", "reading": "decimal(18, 7)", "unit": "varchar",
    },
    "history": {
        "file": "varchar", "line": "bigint", "vehicle_id": "varchar", "done_on": "date", "odometer": "decimal(18, 7)",
        "hours": "decimal(18, 7)", "unit": "varchar",
    },
    "vehicles": {
        "file": "varchar", "line": "bigint", "vehicle_id": "varchar", "in_service_on": "date",
        "distance_unit": "varchar", "in_service_odometer": "decimal(18, 7)", "in_service_hours": "decimal(18, 7)",
    },
    "meter_changes": {
        "vehicle_id": "varchar", "meter": "varchar", "changed_on": "date", "final_reading": "decimal(18, 7)",
        "first_reading": "decimal(18, 7)", "unit": "varchar",
    },
    "run": {"as_of": "date", "most_km_per_day": "decimal(18, 7)", "most_h_per_day": "decimal(18, 7)"},
}  # fmt: skip


class Growing:
    """What files say of three vehicles, growing and changing from turn to turn by chance; tables by their names."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        self.until = BEGIN
        self.shown = dict.fromkeys(VEHICLES, 1000.0)
        self.most = 1500
        self.readings: list[list[object]] = []
        self.history: list[list[object]] = []
        self.changes: list[list[object]] = []
        self.a_week_more()

    def a_week_more(self) -> None:
        """Seven more days: some with times of day, some days twice, some readings wrong, a service."""
        for day in range(7):
            on = self.until + timedelta(days=day)
            for vehicle in VEHICLES:
                for _ in range(self.chance.choice((0, 1, 1, 1, 2, 3))):
                    self.shown[vehicle] += self.chance.choice((0, 40, 90.5))
                    wrong = self.chance.random() < 0.02 and self.chance.choice((-600, 9000))
                    self.read(vehicle, on, self.shown[vehicle] + wrong)
        vehicle = self.chance.choice(VEHICLES)
        self.history.append(
            ["history.csv", len(self.history) + 2, vehicle, self.until, self.shown[vehicle], None, "km"]
        )
        self.until += timedelta(days=7)

    def read(self, vehicle: str, on: date, km: float) -> None:
        """A reading more, with a time of day or without, in km or in miles."""
        has_time = self.chance.random() < 0.5
        at = datetime.combine(on, datetime.min.time())
        if has_time:
            at += timedelta(minutes=self.chance.randrange(1440))
        unit, of_a_km = self.chance.choice((("km", 1), ("km", 1), ("mi", 1.609344)))
        file = self.chance.choice("ab")
        self.readings.append(
            [file, len(self.readings), vehicle, "odometer", at, has_time, round(km / of_a_km, 1), unit]
        )

    def something_else(self) -> str:
        """What changes the past, by name: a reading mended, late or gone, a vehicle, an exchange, a limit."""
        kind = self.chance.choice(
            ("mended", "late", "gone", "all gone", "exchange", "begun again", "limit", "timed", "nothing")
        )
        at = self.chance.randrange(len(self.readings))
        vehicle = self.chance.choice(VEHICLES)
        if kind == "mended":
            self.readings[at][6] = float(str(self.readings[at][6])) + 7
        elif kind == "timed":
            self.readings[at][5] = not self.readings[at][5]
        elif kind == "late":
            self.read(vehicle, self.until - timedelta(days=self.chance.randint(1, 12)), self.chance.randint(900, 2500))
        elif kind == "gone":
            self.readings.pop(at)
        elif kind == "all gone":
            self.readings = [row for row in self.readings if row[2] != vehicle]
        elif kind == "exchange":
            day = self.until - timedelta(days=self.chance.randint(2, 12))
            if not any(row[:3] == [vehicle, "odometer", day] for row in self.changes):
                self.changes.append([vehicle, "odometer", day, self.shown[vehicle], 0, "km"])
                self.shown[vehicle] = 0.0
        elif kind == "begun again":
            # An exchange that nobody wrote down: in the end, less is believed of what was before.
            self.shown[vehicle] = 0.0
        elif kind == "limit":
            self.most = 900 if self.most == 1500 else 1500
        return kind

    def put_into(self, db: duckdb.DuckDBPyConnection, as_of: date) -> None:
        """Make the input tables of what is there now."""
        rows = {
            "readings": self.readings, "history": self.history, "meter_changes": self.changes,
            "vehicles": [["vehicles.csv", at, name, date(2025, 12, 1), "km", 100, None]
                         for at, name in enumerate(VEHICLES, 2)],
            "run": [[as_of, self.most, 24]],
        }  # fmt: skip
        for name, columns in COLUMNS.items():
            fill_table(db, name, columns, rows[name])


def database() -> duckdb.DuckDBPyConnection:
    db = duckdb.connect()
    load_macros(db, QUERIES)
    return db


def tables(db: duckdb.DuckDBPyConnection) -> dict[str, list[tuple[object, ...]]]:
    return {one.table: db.execute(f'from "{one.table}" order by all').fetchall() for one in MADE}


def make_both_ways(grown: Growing, db: duckdb.DuckDBPyConnection, fresh: duckdb.DuckDBPyConnection) -> None:
    """Carry the tables of `db` on, make those of `fresh` anew, and compare."""
    for each in (db, fresh):
        grown.put_into(each, grown.until)
    run_changed(db, MADE, carried=MeterTables())
    run_all(fresh, MADE)
    assert tables(db) == tables(fresh)


@pytest.fixture
def carried(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """Whether each table that could have been carried on was."""
    told: list[bool] = []
    carry_on = MeterTables.carry_on

    def watched(self: MeterTables, db: duckdb.DuckDBPyConnection, table: str, sql: str, key: str) -> bool:
        told.append(carry_on(self, db, table, sql, key))
        return told[-1]

    monkeypatch.setattr(MeterTables, "carry_on", watched)
    return told


@pytest.mark.parametrize("seed", range(6))
def test_whatever_comes_the_tables_are_those_made_at_once(seed: int, carried: list[bool]) -> None:
    """Also where an earlier day is asked for once more, and where nothing has changed."""
    grown, db = Growing(seed), database()
    told = []
    for turn in range(7):
        grown.a_week_more()
        told.append(grown.something_else() if turn % 2 else "")
        back = timedelta(days=9)
        for as_of in (grown.until, grown.until - back, grown.until) if turn == 4 else (grown.until,):
            fresh = database()
            for each in (db, fresh):
                grown.put_into(each, as_of)
            run_changed(db, MADE, carried=MeterTables())
            run_all(fresh, MADE)
            assert tables(db) == tables(fresh), (told, as_of)
    assert carried.count(True) >= 4


def test_a_week_more_is_added_and_what_stands_is_left(carried: list[bool]) -> None:
    """The rows of weeks before keep the places they were written to."""
    grown, db = Growing(1), database()
    for _ in range(6):
        grown.a_week_more()
    grown.readings = [row for row in grown.readings if row[6] != 9000]
    for turn in range(2):
        grown.put_into(db, grown.until)
        run_changed(db, MADE, carried=MeterTables())
        before = set(db.execute("select rowid, vehicle_id, meter, seq from readings_in_order").fetchall())
        if not turn:
            first = before
            grown.a_week_more()
    assert carried == [True, True]
    assert first < before


def test_what_another_program_or_another_query_made_is_not_carried_on(carried: list[bool]) -> None:
    grown, db = Growing(1), database()
    for _ in range(6):
        grown.a_week_more()
    grown.put_into(db, grown.until)
    run_changed(db, MADE, carried=MeterTables())
    db.execute("update made_from set key = 'of another' where name = 'meter_days'")
    grown.a_week_more()
    grown.put_into(db, grown.until)
    run_changed(db, MADE, carried=MeterTables())
    assert carried == [False, False]
    grown.a_week_more()
    grown.put_into(db, grown.until)
    run_changed(db, MADE, carried=MeterTables())
    assert carried[2:] == [True, True]


@pytest.mark.parametrize("table", ["dated_readings", "meter_spans", "kept_readings", "readings_in_order", "meter_days"])
def test_nothing_is_carried_on_where_a_fleets_own_query_is_among_what_makes_it(table: str, carried: list[bool]) -> None:
    """Such a query may count on what a new day changes of all that stands."""
    ours = next(one for one in MADE if one.table == table)
    assert isinstance(ours, Query)
    as_own = ours.sql
    if table == "kept_readings":
        as_own = f"select t.* from ({ours.sql}) t, run where t.read_on > as_of - 40"

    def make(db: duckdb.DuckDBPyConnection) -> None:
        db.execute(f'create or replace table "{table}" as {as_own}')

    own = [Step(table, (*ours.reads, "run"), make) if one.table == table else one for one in MADE]
    grown, db = Growing(1), database()
    for _ in range(6):
        grown.a_week_more()
    for each_made in (MADE, own, own, MADE):
        grown.a_week_more()
        fresh = database()
        grown.put_into(db, grown.until)
        grown.put_into(fresh, grown.until)
        run_changed(db, each_made, carried=MeterTables())
        run_all(fresh, each_made)
        assert tables(db) == tables(fresh)
    # Asked of only where all are ours again, and what stands is of another making then.
    assert carried == [False, False]


def test_two_readings_that_change_places_are_seen(carried: list[bool]) -> None:
    """Whatever the last column of `dated_readings` is: a XOR of rows' hashes would not see it."""
    grown, db, fresh = Growing(1), database(), database()
    for _ in range(6):
        grown.a_week_more()
    grown.readings = [row for row in grown.readings if row[2] != "V1" or row[1] in range(0, 1000, 3)]
    mine = [row for row in grown.readings if row[2] == "V1"]
    for turn in range(2):
        if turn:
            mine[3][6], mine[4][6] = mine[4][6], mine[3][6]
            grown.a_week_more()
        make_both_ways(grown, db, fresh)
    assert carried == [True, True]
    rows = "from (values (1, 10), (2, 20)) t(a, b)", "from (values (1, 20), (2, 10)) t(a, b)"
    sums = [db.execute(f"select sum(hash(t)::hugeint) {row}").fetchall() for row in rows]
    assert sums[0] != sums[1]


def test_an_exchange_that_is_written_down_late_moves_what_stands(carried: list[bool]) -> None:
    grown, db, fresh = Growing(1), database(), database()
    for _ in range(6):
        grown.a_week_more()
    # So that few of the readings are those of the meter that comes anew.
    grown.readings = [row for row in grown.readings if row[2] != "V1" or row[1] in range(0, 1000, 3)]
    for turn in range(2):
        if turn:
            grown.changes.append(["V1", "odometer", grown.until - timedelta(days=10), 1500, 1100, "km"])
            grown.a_week_more()
        make_both_ways(grown, db, fresh)
    added = db.execute("select distinct value - reading from readings_in_order where vehicle_id = 'V1' and unit = 'km'")
    assert {float(km) for (km,) in added.fetchall()} == {0, 400}
    assert carried == [True, True]


def test_another_limit_of_a_days_gain_is_asked_of_all_that_stands() -> None:
    grown, db, fresh = Growing(1), database(), database()
    grown.read("V1", grown.until, grown.shown["V1"] + 1200)
    for most in (1500, 900):
        grown.most = most
        make_both_ways(grown, db, fresh)
    assert db.execute("select count(*) from refused_readings where vehicle_id = 'V1'").fetchall() != [(0,)]
