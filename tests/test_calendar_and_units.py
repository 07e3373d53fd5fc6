"""Exact division, steps and yearly days against Fraction and python-dateutil; bands, units and dates of meters by hand;
published values stand in published/.
"""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

import duckdb
import pytest
from conftest import QUERIES
from dateutil.relativedelta import relativedelta
from hypothesis import given, settings
from hypothesis import strategies as st

from fleetreport.query import load_macros

DB = duckdb.connect()
load_macros(DB, QUERIES)


def value(sql: str, *parameters: object) -> object:
    row = DB.execute(f"select {sql}", list(parameters)).fetchone()
    assert row is not None
    return row[0]


def test_an_unknown_unit_is_an_error_not_a_blank() -> None:
    with pytest.raises(duckdb.InvalidInputException, match="km or mi, found furlong"):
        value("to_km(1, 'furlong')")
    with pytest.raises(duckdb.InvalidInputException, match="km or mi, found blank"):
        value("to_km(1, null)")


lengths = st.integers(-(10**9), 10**9).map(lambda n: Decimal(n) / 10**3)
rates = st.integers(1, 10**8).map(lambda n: Decimal(n) / 10**5)


@given(lengths, rates)
@settings(max_examples=300, deadline=None)
def test_days_until_is_the_exact_quotient_rounded_up(left: Decimal, rate: Decimal) -> None:
    """Against Fraction, which does not round."""
    found = value("days_until(?::decimal(18, 7), ?::decimal(18, 7))", left, rate)
    assert found == ceil(Fraction(left) / Fraction(rate))


@given(st.integers(0, 10**6), st.integers(1, 10**5))
@settings(max_examples=300, deadline=None)
def test_nearest_step_rounds_half_up_and_is_at_least_one(reached: int, step: int) -> None:
    found = value("nearest_step(?::decimal(18, 7), ?::decimal(18, 7))", reached, step)
    assert found == max(1, floor(Fraction(reached, step) + Fraction(1, 2)))


@given(st.dates(date(2015, 1, 1), date(2020, 12, 31)), st.integers(1, 30), st.integers(0, 4000))
@settings(max_examples=300, deadline=None)
def test_nearest_month_step_by_trying_all(start: date, months: int, days: int) -> None:
    """By going through every step from the first on, with python-dateutil."""
    reached = start + timedelta(days)
    steps = [(k, start + relativedelta(months=k * months)) for k in range(1, 150)]
    nearest = min(steps, key=lambda step: (abs((step[1] - reached).days), -step[0]))
    assert value("nearest_month_step(?::date, ?, ?::date)", start, months, reached) == nearest[0]


@given(
    st.dates(date(2019, 1, 1), date(2032, 12, 31)),
    st.sampled_from(["01-01", "02-28", "02-29", "03-31", "12-31"]),
)
@settings(max_examples=300, deadline=None)
def test_work_counts_for_the_yearly_day_whose_sixty_days_it_falls_in(done: date, month_day: str) -> None:
    """By going through the years: the first yearly day whose sixty days begin only after the work."""
    month, day = int(month_day[:2]), int(month_day[3:])
    yearly = [date(year, 1, 1) + relativedelta(month=month, day=day) for year in range(2018, 2036)]
    expected = next(y for y in yearly if done < y - timedelta(60))
    assert value("year_day_after(?::date, ?)", done, month_day) == expected


# Edges that rise by 10, 20, 30, 40, 50 and 60 a day from one point to the next.
RISING = "70, 210, 630, 3150, 7700, 18620"


@pytest.mark.parametrize(
    ("days", "distance"),
    [(-1, 0), (0, 0), (0.05, 0.5), (3.5, 35), (7, 70), (10.5, 140), (14, 210), (21, 420), (28, 630), (59.5, 1890),
     (91, 3150), (136.5, 5425), (182, 7700), (273, 13160), (364, 18620), (728, 37240), (7.5, 80), (14.5, 225),
     (28.5, 650), (91.5, 3175), (182.5, 7730)],
)  # fmt: skip
def test_a_band_goes_by_straight_lines_and_beyond_the_last_in_proportion(days: float, distance: float) -> None:
    assert value(f"band_distance({days}, {RISING})") == distance
    assert value(f"band_days({distance}, {RISING})") == max(0, days)


@pytest.mark.parametrize(
    ("edge", "days"),
    [("70, 70, 70, 70, 70, 70", 7), ("0, 70, 70, 70, 70, 70", 14), ("0, 0, 70, 70, 70, 70", 28),
     ("0, 0, 0, 70, 70, 70", 91), ("0, 0, 0, 0, 70, 70", 182), ("0, 0, 0, 0, 0, 70", 364), ("0, 0, 0, 0, 0, 35", 728),
     ("0, 0, 0, 0, 0, 0.5", 50_960), ("0, 0, 0, 0, 0, 0", None)],
)  # fmt: skip
def test_an_edge_that_stands_still_reaches_a_distance_on_the_first_day_it_is_there(edge: str, days: int | None) -> None:
    assert value(f"band_days(70, {edge})") == days
    assert value(f"band_days(0, {edge})") == 0


@pytest.mark.parametrize(
    ("days", "early", "late", "chance"),
    [(-5, 10, 0, 0.3), (-10, 10, 0, 0.1), (-12, 10, 0, 0.02), (-13, 10, 0, 0), (-30, 10, 0, 0), (-1, 0, 9, 0),
     (0, 10, 10, 0.5), (5, 0, 10, 0.7), (10, 0, 10, 0.9), (13, 0, 10, 1), (30, 0, 10, 1), (0, 10, 0, 1), (1, 10, 0, 1),
     (-1, 3, 0, 0.366666667), (1, 0, 3, 0.633333333), (-1, 1, 0, 0.1), (1, 0, 1, 0.9)],
)  # fmt: skip
def test_the_chance_of_a_day_runs_through_one_half_and_a_tenth_at_either_edge(
    days: int, early: int, late: int, chance: float
) -> None:
    assert value(f"chance_by(date '2026-06-15' + {days}, date '2026-06-15', {early}, {late})") == chance


@pytest.mark.parametrize(
    ("unit", "litres"),
    [("L", "1"), ("lt", "1"), ("ltr", "1"), (" Litre ", "1"), ("litres", "1"), ("liter", "1"), ("liters", "1"),
     ("ml", "0.001"), ("millilitre", "0.001"), ("milliliter", "0.001"), ("gal", "3.785411784"),
     ("US gal", "3.785411784"), ("gallon", "3.785411784"), ("gallons", "3.785411784"), ("qt", "0.946352946"),
     ("us qt", "0.946352946"), ("quart", "0.946352946"), ("quarts", "0.946352946"), ("pt", "0.473176473"),
     ("us pt", "0.473176473"), ("pint", "0.473176473"), ("pints", "0.473176473"), ("imp gal", "4.54609"),
     ("imp qt", "1.1365225"), ("imp pt", "0.56826125"), ("kg", None), ("piece", None)],
)  # fmt: skip
def test_litres_of_each_unit_of_volume(unit: str, litres: str | None) -> None:
    """NIST SP 811, B.8: 1 gal = 3.785412 L, 1 qt = 0.9463529 L, 1 pt = 0.4731765 L; 1 gal is 231 cubic inches of
    2.54 cm, a quart a quarter and a pint an eighth of it; 1 imp gal = 4.54609 L.
    """
    two = value("litres(2, ?)", unit)
    assert two == (None if litres is None else round(2 * Decimal(litres), 7))
    assert value("is_measured(?)", unit) is (litres is not None or unit == "kg")


def test_what_is_measured_need_not_be_whole() -> None:
    measured = ("kg", "G", "lb", "oz", "m", "metre", "meter", "cm", "mm", "ft", " in ")
    assert [value("is_measured(?)", unit) for unit in measured] == [True] * len(measured)
    assert not any(value("is_measured(?)", unit) for unit in ("pc", "set", "pair", "box"))


@pytest.mark.parametrize(
    ("left", "rate", "day"),
    [("1", "300", "2026-11-26"), ("300", "300", "2026-11-26"), ("300.1", "300", "2026-11-27"),
     ("0", "300", "2026-11-25"), ("0", "0", "2026-11-25"), ("1", "0", None), ("0", "null", None), ("1", "null", None),
     ("-1", "null", "2026-11-20"), ("-1", "0", "2026-11-20"), ("-299", "300", "2026-11-25"),
     ("-300", "300", "2026-11-24"), ("-599.9", "300", "2026-11-24"), ("-99999999", "0.0001", "2026-11-20"),
     ("99999999", "0.0001", None)],
)  # fmt: skip
def test_the_day_on_which_a_meter_gets_there(left: str, rate: str, day: str | None) -> None:
    """Left over by the rate, rounded up; what is passed was passed by the last reading, of the 20th, at the latest."""
    found = value(
        f"meter_date(date '2026-11-25', {left}::decimal(18, 7), {rate}::decimal(18, 7), date '2026-11-20')::varchar"
    )
    assert found == day


@pytest.mark.parametrize(
    ("day", "read", "following", "rate", "shown"),
    [("2026-03-04", None, None, "90", "40000"), ("2026-03-01", "2026-03-01", None, "90", "40500"),
     ("2026-03-04", "2026-03-01", None, "90", "40770"), ("2026-03-04", "2026-03-01", None, "null", "40500"),
     ("2026-03-04", "2026-03-01", "2026-03-11", "90", "40530"), ("2026-03-02", "2026-03-01", "2026-03-04", "90",
      "40533.3333333"), ("2026-03-01", "2026-03-01", "2026-03-11", "90", "40500")],
)  # fmt: skip
def test_what_a_meter_showed_on_a_day(day: str, read: str | None, following: str | None, rate: str, shown: str) -> None:
    """40,000 at first; 40,500 at the end of the day read, 40,600 at the beginning of the next; cut at the 7th place."""
    found = value(
        f"""read_off(?::date, 40000::decimal(18, 7), ?::date, 40500::decimal(18, 7), ?::date, 40600::decimal(18, 7),
        {rate}::decimal(18, 7))""", day, read, following
    )  # fmt: skip
    assert found == Decimal(shown)


def test_ten_millionths_and_shares_are_exact() -> None:
    assert value("units(1.2345678)") == 12_345_678
    assert value("from_units(12345678)") == Decimal("1.2345678")
    # 10 % of 10,000: at 1,000 within, a ten-millionth more is not.
    for off, within in (("1000", True), ("-1000", True), ("1000.0000001", False), ("-1000.0000001", False)):
        assert value(f"within_tolerance({off}::decimal(18, 7), 10, 10000)") is within
    assert [value(f"nearest_step({one})") for one in ("null, 10", "10, null", "0, 10", "14.9, 10", "15, 10")] == [
        None, None, 1, 1, 2,
    ]  # fmt: skip
    assert value("nearest_month_step(date '2026-01-01', null, date '2026-05-01')") is None
    assert value("nearest_month_step(date '2026-01-01', 3, null)") is None
    assert value("step_at(3, 2.5)") == Decimal("7.5")
    assert [value(f"ceil_div({one})") for one in ("7, 2", "6, 2", "0, 2", "-7, 2", "1, 2")] == [4, 3, 0, -3, 1]
    assert value("days_until(1, 0)") is None
    assert value("days_until(1, -1)") is None


def test_days_are_counted_within_the_years_1_to_9999() -> None:
    assert value("day_after(date '2026-11-25', 3)") == date(2026, 11, 28)
    assert value("day_after(date '9999-12-30', 1)") == date(9999, 12, 31)
    assert value("day_after(date '9999-12-30', 2)") is None
    assert value("day_after(date '0001-01-02', -1)") == date(1, 1, 1)
    assert value("day_after(date '0001-01-02', -2)") is None


@pytest.mark.parametrize(
    ("from_day", "month_day", "found"),
    [("2026-03-31", "03-31", "2026-03-31"), ("2026-04-01", "03-31", "2027-03-31"),
     ("2026-03-30", "03-31", "2026-03-31"), ("2027-03-01", "02-29", "2028-02-29"),
     ("2026-03-01", "02-29", "2027-02-28"), ("2026-01-01", "01-01", "2026-01-01")],
)  # fmt: skip
def test_the_next_yearly_day_may_be_the_day_itself(from_day: str, month_day: str, found: str) -> None:
    assert value("next_year_day(?::date, ?)::varchar", from_day, month_day) == found


@pytest.mark.parametrize(
    ("day", "km", "last_day", "distance", "unit", "runs"),
    [("2026-05-01", "100", "2026-05-01", "100", "km", True), ("2026-05-02", "100", "2026-05-01", "100", "km", False),
     ("2026-05-01", "100.1", "2026-05-01", "100", "km", False), ("2026-05-01", "160.9344", None, "100", "mi", True),
     ("2026-05-01", "160.9345", None, "100", "mi", False), ("2026-05-01", "100", None, "100", None, True),
     ("2026-05-01", None, None, "100", None, True), ("2026-05-01", None, "2026-05-01", None, None, True),
     ("2026-05-01", "9", None, None, None, False)],
)  # fmt: skip
def test_a_warranty_runs_to_its_last_day_and_its_distance(
    day: str, km: str | None, last_day: str | None, distance: str | None, unit: str | None, *, runs: bool
) -> None:
    found = value(
        "runs_in_warranty(?::date, ?::decimal(18, 7), ?::date, ?::decimal(18, 7), ?)", day, km, last_day, distance, unit
    )
    assert found is runs
