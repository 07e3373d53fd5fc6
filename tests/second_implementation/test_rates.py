"""The daily rates and bands of the SQL against the same method in numpy, and what must hold of any rate."""

import itertools
from datetime import date, timedelta

import duckdb
import numpy as np
import plain_rates
import pytest
from conftest import QUERIES

from fleetreport.query import in_order, load_macros, load_queries, run_all

AS_OF = date(2026, 11, 25)
HORIZONS = plain_rates.HORIZONS
LOW, HIGH = (", ".join(f"{edge}_{days}" for days in HORIZONS) for edge in ("low", "high"))

Readings = dict[str, list[tuple[date, float]]]


def rates_of(readings: Readings, classes: dict[str, str], threads: int = 2) -> duckdb.DuckDBPyConnection:
    """A database in which the queries of rates/ have run on these readings (km since new)."""
    db = duckdb.connect(config={"threads": threads})
    load_macros(db, QUERIES)
    db.execute(
        "create table kept_readings (vehicle_id varchar, meter varchar, seq bigint, read_on date, value decimal(18,7))"
    )
    rows = [[v, "odometer", seq, day, km] for v, some in readings.items() for seq, (day, km) in enumerate(some)]
    db.executemany("insert into kept_readings values (?, ?, ?, ?, ?)", rows)
    db.execute("create table vehicles (vehicle_id varchar, class varchar)")
    db.executemany("insert into vehicles values (?, ?)", [list(pair) for pair in classes.items()])
    db.execute("create table run as select ?::date as as_of", [AS_OF])
    queries = [query for query in load_queries(QUERIES) if query.folder == "rates" and query.table != "meter_now"]
    run_all(db, in_order(queries))
    return db


def random_readings(seed: int, vehicles: int = 12) -> tuple[Readings, dict[str, str]]:
    """Three years of vehicles of three classes: daily or rarely read, seasonal, idle for months, new."""
    rng = np.random.default_rng(seed)
    readings: Readings = {}
    classes = {}
    for number in range(vehicles):
        name = f"V{number:02}"
        classes[name] = "abc"[number % 3]
        days = np.cumsum(rng.integers(1, (2, 9, 40, 150)[number % 4], size=1100))
        days = days[days < (1090 if number % 5 else 60)]
        use = rng.gamma(2.0, 40.0) * rng.lognormal(0, 0.4, 1100) * (1 + 0.5 * np.sin(np.arange(1100) / 58))
        use[300:420] *= number % 3 > 0
        km = np.round(np.cumsum(use), 1)
        start = AS_OF - timedelta(1095)
        readings[name] = [(start + timedelta(int(day)), float(km[day])) for day in days]
    return readings, classes


@pytest.mark.parametrize("seed", range(6))
def test_rates_and_bands_are_those_of_the_second_implementation(seed: int) -> None:
    readings, classes = random_readings(seed)
    epoch = date(1970, 1, 1)
    series = {v: ([(day - epoch).days for day, _ in some], [km for _, km in some]) for v, some in readings.items()}
    expected = plain_rates.estimate(series, classes, AS_OF)
    db = rates_of(readings, classes)
    found = db.execute(
        f"select vehicle_id, rate::double, is_own, [{LOW}]::double[], [{HIGH}]::double[] "
        "from daily_rate join distance_band using (vehicle_id, meter)"
    ).fetchall()
    assert len(found) == sum(estimate.own for estimate in expected.values()) > 8
    for vehicle_id, rate, is_own, low, high in found:
        plain = expected[vehicle_id]
        assert is_own
        assert rate == pytest.approx(plain.rate, abs=2e-7)
        # The seventh place of the rate, 364 times over.
        assert low == pytest.approx(list(plain.low), abs=1e-3)
        assert high == pytest.approx(list(plain.high), abs=1e-3)


def test_a_steady_vehicle_has_its_own_rate_whatever_its_class_does() -> None:
    readings, classes = random_readings(7)
    start = AS_OF - timedelta(700)
    readings["steady"] = [(start + timedelta(day), day * 216.0) for day in range(0, 700, 9)]
    readings["idle"] = [(start + timedelta(day), 5000.0) for day in range(0, 700, 9)]
    classes |= {"steady": "a", "idle": "a"}
    found = dict(rates_of(readings, classes).execute("select vehicle_id, rate::double from daily_rate").fetchall())
    assert found["steady"] == 216
    assert found["idle"] == 0
    assert min(found.values()) >= 0


def test_one_reading_tells_no_rate() -> None:
    db = rates_of({"one": [(AS_OF - timedelta(9), 100.0)], "two": [(AS_OF - timedelta(9), 1.0), (AS_OF, 10.0)]}, {
        "one": "a", "two": "a",
    })  # fmt: skip
    found = db.execute("select vehicle_id, rate::double from daily_rate order by 1").fetchall()
    assert found == [("one", None), ("two", 1.0)]


def test_the_band_rises_and_holds_the_rate() -> None:
    db = rates_of(*random_readings(11))
    rows = db.execute(f"select rate::double, [{LOW}]::double[], [{HIGH}]::double[] "
                      "from daily_rate join distance_band using (vehicle_id, meter)").fetchall()  # fmt: skip
    assert len(rows) > 8
    for rate, low, high in rows:
        assert low == sorted(low)
        assert high == sorted(high)
        for days, least, most in zip(HORIZONS, low, high, strict=True):
            assert least <= rate * days + 1e-6
            assert most >= rate * days - 1e-6


def test_days_and_distances_of_a_band_are_each_others_inverse() -> None:
    db = rates_of(*random_readings(12))
    for days in (1, 7, 10, 30, 100, 200, 364, 700):
        there_and_back = db.execute(
            f"select band_days(band_distance({days}, {HIGH}), {HIGH}) from distance_band where high_7 > 0"
        ).fetchall()
        assert [back for (back,) in there_and_back] == pytest.approx([days] * len(there_and_back))


def test_order_of_rows_and_number_of_threads_change_nothing() -> None:
    readings, classes = random_readings(13)
    backwards = {v: readings[v] for v in reversed(readings)}
    first = rates_of(readings, classes)
    other = rates_of(backwards, dict(reversed(classes.items())), threads=1)
    for table in ("daily_rate", "distance_band"):
        rows = first.execute(f"from {table} order by all").fetchall()
        assert len(rows) > 8
        assert other.execute(f"from {table} order by all").fetchall() == rows


def test_the_mixes_are_each_view_alone_and_each_pair_half_and_half() -> None:
    """What each is expected to miss is that of the second implementation."""
    alone = [tuple(float(at == one) for at in range(5)) for one in range(5)]
    pairs = [tuple((a + b) / 2 for a, b in zip(*two, strict=True)) for two in itertools.combinations(alone, 2)]
    rows = duckdb.connect().execute((QUERIES / "rates" / "mixes.sql").read_text(encoding="utf-8")).fetchall()
    misses = [float(miss) for _, miss in plain_rates.MIXES]
    expected = [
        (at, *shares, miss) for at, (shares, miss) in enumerate(zip([*alone, *pairs], misses, strict=True), start=1)
    ]
    assert [(mix, *map(float, figures)) for mix, *figures in rows] == expected
