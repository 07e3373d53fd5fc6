"""The program against the second implementation, row by row, on random fleets that use every rule of the contract."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import duckdb
import plain_due
import pytest
from plain_meters import constant_rate
from random_fleets import write_random_fleet

from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.storing.store import open_store
from fleetreport.week import makers_of, work_out

SEEDS = range(60)
LOOKED_AT = ("due", "occurrences", "on_time", "refused_readings", "daily_rate")
KM_IN_A_MILE = Decimal("1.609344")
SAME = ("status", "governed_by", "due_on", "days_left", "last_done_on", "odometer_read_on", "distance_unit")
ONE_PLACE = (
    "due_odometer",
    "distance_left",
    "last_done_odometer",
    "odometer_now",
    "due_hours",
    "hours_left",
    "late_by_pct",
)
DISTANCES = ("due_odometer", "distance_left", "last_done_odometer", "odometer_now")

Case = tuple[duckdb.DuckDBPyConnection, plain_due.WorkedOut]


@pytest.fixture(scope="module", params=SEEDS)
def case(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Case]:
    """A random fleet worked out by both; the second is told the daily rates, which the contract leaves open."""
    folder: Path = tmp_path_factory.mktemp("random") / "fleet"
    as_of = write_random_fleet(folder, request.param)
    settings = read_settings(folder)
    db = open_store(folder.parent / "store.duckdb", settings)
    work_out(db, find_files(folder)[0], settings, as_of, "fleet", made=makers_of(LOOKED_AT))
    rates = {(v, m): rate for v, m, rate in db.execute("select vehicle_id, meter, rate from daily_rate").fetchall()}
    yield db, plain_due.work_out(folder, as_of, rates)
    db.close()


def rows(db: duckdb.DuckDBPyConnection, sql: str) -> list[tuple[Any, ...]]:
    return db.execute(sql).fetchall()


def printed(row: plain_due.DueRow, column: str) -> Fraction | None:
    """A number of the second implementation (km, h, exact) as due.csv would print it, before rounding."""
    value = getattr(row, column)
    if value is None:
        return None
    in_miles = column in DISTANCES or (column == "rate_per_day" and row.governed_by != "hours")
    return Fraction(value) / (Fraction(KM_IN_A_MILE) if in_miles and row.distance_unit == "mi" else 1)


def test_every_row_of_the_due_list(case: Case) -> None:
    db, plain = case
    columns = [name for name, *_ in db.execute("describe due").fetchall()]
    found = {row[:2]: dict(zip(columns, row, strict=True)) for row in rows(db, "from due")}
    assert set(found) == set(plain.due)
    wrong = []
    for key, row in found.items():
        other = plain.due[key]
        wrong += [(key, c, row[c], getattr(other, c)) for c in SAME if row[c] != getattr(other, c)]
        for column, half in [*((c, Fraction(1, 20)) for c in ONE_PLACE), ("rate_per_day", Fraction(1, 2000))]:
            exact, shown = printed(other, column), row[column]
            if exact is None or shown is None:
                same = exact is shown
            else:
                same = abs(Fraction(shown) - exact) <= half + Fraction(1, 10**9)
            # What is just passed is not printed as nothing left.
            same = same or (
                column in ("distance_left", "hours_left")
                and exact is not None
                and -half < exact < 0
                and shown == Decimal("-0.1")
            )
            wrong += [] if same else [(key, column, shown, exact and float(exact))]
    assert wrong == []


def test_every_occurrence(case: Case) -> None:
    db, plain = case
    found: dict[tuple[str, str], list[object]] = {}
    for vehicle_id, task, day in rows(
        db, "select vehicle_id, task, on_day from occurrences, run where on_day <= horizon_until order by all"
    ):
        found.setdefault((vehicle_id, task), []).append(day)
    assert found == {key: days for key, days in plain.occurrences.items() if days}


def test_every_month_on_time(case: Case) -> None:
    db, plain = case
    found = {(c, month): (done, on_time) for c, month, done, on_time in
             rows(db, "select class, month, done, on_time from on_time")}  # fmt: skip
    assert found == plain.on_time


def test_every_refused_reading_and_nothing_else_set_aside(case: Case) -> None:
    db, plain = case
    found = set(rows(db, 'select file, line, "column" from refused_readings'))
    assert found == {(file, line, column) for file, line, column, _ in plain.refused_readings}
    assert rows(db, "from problems") == []


def test_a_vehicle_driven_the_same_every_day_has_that_rate_exactly(case: Case) -> None:
    db, plain = case
    rates = {(v, m): rate for v, m, rate in rows(db, "select vehicle_id, meter, rate from daily_rate")}
    steady = {key: constant_rate(both.kept) for key, both in plain.kept.items()}
    # Held with seven places.
    apart = {key: abs(Fraction(rates[key]) - rate) for key, rate in steady.items() if rate is not None}
    assert {key: far for key, far in apart.items() if far > Fraction(1, 2 * 10**7)} == {}
