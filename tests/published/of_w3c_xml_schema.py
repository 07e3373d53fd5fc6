"""W3C XML Schema part 2, appendix E: a month is added with the day clamped to the month's end."""

from datetime import date, timedelta

from plain_cells import add_months
from published.checks import QUOTED, Source, in_case, sql

APPENDIX_E = Source("W3C XML Schema Part 2: Datatypes, appendix E", QUOTED)


@APPENDIX_E.says("(2000-03-30 + P1D) + P1M", "a day, then a month", "2000-04-30")
def day_first() -> object:
    return sql("add_months(day_after(date '2000-03-30', 1), 1)")


@APPENDIX_E.says("(2000-03-30 + P1M) + P1D", "a month, then a day", "2000-05-01")
def month_first() -> object:
    return sql("day_after(add_months(date '2000-03-30', 1), 1)")


@APPENDIX_E.says("2000-01-12 + P1Y3M5D", "15 months, then 5 days", "2001-04-17")
def fifteen_months() -> object:
    return sql("day_after(add_months(date '2000-01-12', 15), 5)")


@APPENDIX_E.says("2000-01 - P3M", "three months back", "1999-10-01")
def back() -> object:
    return sql("add_months(date '2000-01-01', -3)")


@APPENDIX_E.says("the same three by the second implementation", "in plain Python", "2000-05-01, 2001-04-17, 1999-10-01")
def plain() -> list[date]:
    one, two, three = (
        add_months(date(2000, 3, 30), 1),
        add_months(date(2000, 1, 12), 15),
        add_months(date(2000, 1, 1), -3),
    )
    assert one is not None
    assert two is not None
    assert three is not None
    return [one + timedelta(1), two + timedelta(5), three]


@APPENDIX_E.says(
    "its rule at other month ends", "31 Jan + 1, 29 Feb + 12, 31 Aug + 6 months", "2024-02-29, 2025-02-28, 2025-02-28"
)
def month_ends() -> object:
    return in_case("due_by_interval/month_end_is_clamped", "due_month_on")
