"""Exact division, steps and yearly days against Fraction and python-dateutil; published values stand in published/."""

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
