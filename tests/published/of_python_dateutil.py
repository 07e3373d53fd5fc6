"""python-dateutil's relativedelta: months added on every day of four years, in SQL and in the second implementation."""

from datetime import date, timedelta

from dateutil.relativedelta import relativedelta
from plain_cells import add_months
from published.checks import RUN, Source, sql

DATEUTIL = Source("python-dateutil, relativedelta", RUN, "compared anew each time")
FIRST, LAST = date(2019, 12, 25), date(2024, 3, 5)


@DATEUTIL.says(
    "2019-12-25 to 2024-03-04", "8 steps of 1 to 24 months on each day, in SQL: how many differ", "0 of 12256"
)
def in_sql() -> str:
    wrong = tried = 0
    for step in (1, 2, 3, 6, 11, 12, 18, 24):
        rows = sql(f"(select list((d::date, add_months(d::date, {step}))) from range(?::date, ?::date, interval 1 day) t(d))", FIRST, LAST)  # fmt: skip  # noqa: E501
        tried += len(rows)
        wrong += sum(found != day + relativedelta(months=step) for day, found in rows)
    return f"{wrong} of {tried}"


@DATEUTIL.says("2019-12-25 to 2024-03-05", "7 steps of -1 to 24 months, in plain Python: how many differ", "0 of 10731")
def in_python() -> str:
    days = [FIRST + timedelta(n) for n in range((LAST - FIRST).days + 1)]
    steps = (1, 3, 6, 12, 18, 24, -1)
    wrong = sum(add_months(day, step) != day + relativedelta(months=step) for day in days for step in steps)
    return f"{wrong} of {len(days) * len(steps)}"
