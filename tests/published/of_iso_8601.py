"""ISO 8601: calendar weeks at the turn of the year, and Python's own isocalendar on every day of a cycle."""

from datetime import date

from published.checks import QUOTED, RUN, Source, sql

from fleetreport.storing.past_weeks import iso_week

ISO_8601 = Source("ISO 8601, week dates", QUOTED)
PYTHON = Source("Python's datetime.date.isocalendar", RUN, "compared anew each time")
TURNS = [
    ("2005-01-01", "2004-W53"), ("2006-01-01", "2005-W52"), ("2007-12-31", "2008-W01"), ("2008-12-29", "2009-W01"),
    ("2009-12-31", "2009-W53"), ("2010-01-03", "2009-W53"), ("2024-12-30", "2025-W01"), ("2026-12-28", "2026-W53"),
    ("2027-01-03", "2026-W53"), ("2027-01-04", "2027-W01"),
]  # fmt: skip


@ISO_8601.says_each("turn of the year", "the week of {0}, in SQL", TURNS)
def in_sql(day: str) -> object:
    return sql("strftime(?::date, '%G-W%V')", day)


@ISO_8601.says_each("turn of the year", "the week of {0}, in file names", TURNS)
def in_names(day: str) -> str:
    return iso_week(date.fromisoformat(day))


@ISO_8601.says("weeks in 400 years", "years of 53 weeks among 2000 to 2399", "71")
def long_years() -> object:
    return sql("(select count(*) from range(2000, 2400) y(y) where strftime(make_date(y, 12, 28), '%V') = '53')")


@PYTHON.says("2000-01-01 to 2027-12-31", "days of 10,227 on which the weeks differ", "0 of 10227")
def every_day() -> str:
    rows = sql("(select list((d::date, strftime(d, '%G-W%V'))) from range(date '2000-01-01', date '2028-01-01', interval 1 day) t(d))")  # fmt: skip  # noqa: E501
    wrong = [day for day, week in rows if week != "{}-W{:02}".format(*day.isocalendar()[:2])]
    return f"{len(wrong)} of {len(rows)}"
