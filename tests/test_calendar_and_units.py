"""Months, ISO weeks, miles and exact division, against libraries and standards from outside."""

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


def test_months_are_added_as_dateutil_adds_them() -> None:
    """python-dateutil's relativedelta, every day of four years (with a leap day) by 1 to 24 months."""
    wrong = []
    for step in (1, 2, 3, 6, 11, 12, 18, 24):
        rows = DB.execute(
            """select d::date, add_months(d::date, ?)
                from range(date '2019-12-25', date '2024-03-05', interval 1 day) t(d)""",
            [step],
        ).fetchall()
        wrong += [(day, step) for day, found in rows if found != day + relativedelta(months=step)]
        assert len(rows) == 1532
    assert wrong == []


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        # W3C XML Schema part 2, appendix E: (2000-03-30 + P1D) + P1M and (2000-03-30 + P1M) + P1D.
        ("2000-03-31", 1, "2000-04-30"),
        ("2000-03-30", 1, "2000-04-30"),
        # The same rule at other month ends, computed with python-dateutil 2.9.
        ("2024-01-31", 1, "2024-02-29"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-08-31", 6, "2025-02-28"),
        # Three months are not 90 days: 49 CFR 396.3(a)(2) asks for 90 days, which fall on 2026-05-01.
        ("2026-01-31", 3, "2026-04-30"),
    ],
)
def test_a_month_is_clamped_to_its_end(day: str, months: int, expected: str) -> None:
    assert value("add_months(?::date, ?)", day, months) == date.fromisoformat(expected)


def test_ninety_days_are_not_three_months() -> None:
    assert value("day_after(date '2026-01-31', 90)") == date(2026, 5, 1)


@pytest.mark.parametrize(
    ("day", "week"),
    [
        # ISO 8601 examples of calendar weeks at the turn of the year.
        ("2005-01-01", "2004-W53"),
        ("2006-01-01", "2005-W52"),
        ("2007-12-31", "2008-W01"),
        ("2008-12-29", "2009-W01"),
        ("2009-12-31", "2009-W53"),
        ("2010-01-03", "2009-W53"),
        ("2026-12-28", "2026-W53"),
        ("2027-01-03", "2026-W53"),
    ],
)
def test_weeks_carry_the_week_year(day: str, week: str) -> None:
    assert value("strftime(?::date, '%G-W%V')", day) == week


def test_weeks_agree_with_the_standard_library_on_every_day_of_a_cycle() -> None:
    rows = DB.execute(
        "select d::date, strftime(d, '%G-W%V') from range(date '2000-01-01', date '2028-01-01', interval 1 day) t(d)"
    ).fetchall()
    wrong = [day for day, week in rows if week != "{}-W{:02}".format(*day.isocalendar()[:2])]
    assert len(rows) == 10227
    assert wrong == []


def test_a_mile_is_exact() -> None:
    """NIST SP 811, appendix B.8: 1 mi = 1.609344 km exactly."""
    assert value("to_km(1, 'mi')") == Decimal("1.609344")
    assert value("to_km(10000, 'mi')") == Decimal("16093.44")
    assert value("to_km(0.1, 'mi')") == Decimal("0.1609344")
    assert round(float(str(value("from_km(15000, 'mi')"))), 4) == 9320.5679


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
