"""Numbers and dates as sources write them, against CLDR (through Babel) and published day numbers of spreadsheets."""

import re
from datetime import date
from decimal import Decimal

import duckdb
import pytest
from babel import Locale
from babel.dates import format_date
from babel.numbers import format_decimal, get_decimal_symbol, get_group_symbol
from hypothesis import given, settings
from hypothesis import strategies as st

from fleetreport.months import LANGUAGES, MONTHS
from fleetreport.settings.formats import DISTANCES, HOURS, Format, cell_rule
from fleetreport.tables import HISTORY, READINGS, TABLES, Column

DB = duckdb.connect()
DB.execute("set TimeZone = 'Africa/Nairobi'")
READING, READ_AT = READINGS.column("reading"), READINGS.column("read_at")
DAY, MONEY, WORK_HOURS = (HISTORY.column(name) for name in ("done_on", "parts_cost", "labour_hours"))
# What Babel calls a group symbol, as a source would declare it.
DECLARED = {"\u202f": " ", "\xa0": " ", "\u2019": "'"}
# German, Swiss, French, Indian, Finnish, Arabic (Egypt), Persian, Polish, Swedish, English.
LOCALES = ("de", "de_CH", "fr", "fr_CH", "en_IN", "hi", "fi", "ar_EG", "fa", "pl", "sv", "en", "es", "it_CH")


def values(column: Column, form: Format, *texts: str) -> list[object]:
    """What each text is read as; None where it does not fit."""
    rule = cell_rule(column, form)
    assert rule is not None
    sql = "select unnest(?::varchar[]) as said, generate_subscripts(?, 1) as turn"
    for step in rule.steps:
        sql = f"select turn, {step.format(x='said')} as said from ({sql})"
    sql = f"select {column.kind.parse.format(x='said')} from ({sql}) order by turn"
    return [value for (value,) in DB.execute(sql, [list(texts), list(texts)]).fetchall()]


def form_of(locale: str) -> Format:
    group = get_group_symbol(locale, numbering_system="default")
    decimal = get_decimal_symbol(locale, numbering_system="default")
    return Format(decimal, (DECLARED.get(group, group),))


@pytest.mark.parametrize("locale", LOCALES)
@given(st.lists(st.decimals(0, 9_999_999, places=3), min_size=1, max_size=20))
@settings(max_examples=20, deadline=None)
def test_numbers_of_cldr_locales_are_read_back(locale: str, numbers: list[Decimal]) -> None:
    texts = [format_decimal(number, "#,##,##0.###" if locale in ("en_IN", "hi") else "#,##0.###", locale,
                            numbering_system="default") for number in numbers]  # fmt: skip
    assert values(READING, form_of(locale), *texts) == numbers


def test_the_locales_differ_in_their_marks() -> None:
    assert len({form_of(locale) for locale in LOCALES}) >= 5


@pytest.mark.parametrize(
    ("form", "text"),
    [
        (Format(), "12.345"),  # thousands in one country, a decimal in another: has to be declared
        (Format(), "12,345"),
        (Format(decimal=","), "12.345"),
        (Format(decimal=",", thousands=(".",)), "12.34"),  # DuckDB's own reader makes 1234 of it
        (Format(decimal=",", thousands=(".",)), "1.2.3"),  # and 123 of this
        (Format(decimal=",", thousands=(".",)), "1.2345"),
        (Format(decimal=".", thousands=("'",)), "12,345"),
        (Format(decimal=".", thousands=(",",)), "1234,567"),
        (Format(unit="mi"), "12 km"),
        (Format(), "1-2"),
        (Format(), "--1"),
        (Format(), "12.73+22.88 = $35.61"),
    ],
)
def test_what_could_be_a_thousand_times_wrong_is_refused(form: Format, text: str) -> None:
    assert values(READING, form, text) == [None]


def test_money_with_signs_brackets_and_marks_behind() -> None:
    form = Format(",", (".",), ("€", "EUR"))
    texts = ["84,50 €", "€ 1.084,50", "EUR\xa05", "-€5,00", "(84,50 €)", "84,50-", "\u221284,50", "$5", "5 USD"]
    expected = ["84.5", "1084.5", "5", "-5", "-84.5", "-84.5", "-84.5", None, None]
    assert values(MONEY, form, *texts) == [text and Decimal(text) for text in expected]


def test_metres_miles_and_hours_with_minutes() -> None:
    assert values(READING, Format(unit="m"), "198041", "198041 m") == [Decimal("198.041")] * 2
    assert values(READING, Format(thousands=(",",), decimal=".", unit="mi"), "102113mi", "115,413 mi") == [
        102113,
        115413,
    ]
    assert values(WORK_HOURS, Format(), "7:30", "0:45:00", "7:75", "1.5 h") == [
        Decimal("7.5"),
        Decimal("0.75"),
        None,
        Decimal("1.5"),
    ]


def test_an_odometer_that_looks_like_a_day_number_stays_a_number() -> None:
    assert values(READING, Format(), "45351") == [45351]


@given(st.dates(date(1970, 1, 1), date(2068, 12, 31)))
@settings(max_examples=60, deadline=None)
def test_every_order_reads_what_it_says(day: date) -> None:
    for order, patterns in {
        "dmy": ("%d.%m.%Y", "%d/%m/%y", "%d-%m-%Y", "%d%m%Y", "%d%m%y"),
        "mdy": ("%m/%d/%Y", "%m-%d-%y", "%m%d%y"),
        "ymd": ("%y%m%d", "%Y%m%d", "%Y/%m/%d", "%y-%m-%d"),
    }.items():
        texts = [day.strftime(pattern) for pattern in (*patterns, "%Y-%m-%d", "%d %b %Y", "%B %d, %Y")]
        assert values(DAY, Format(dates=(order,)), *texts) == [day] * len(texts)
    days = str((day - date(1899, 12, 30)).days)
    assert values(DAY, Format(dates=("serial",)), days) == [day]


def test_what_is_no_day_in_the_declared_order_is_refused() -> None:
    assert values(DAY, Format(dates=("dmy",)), "11/25/2026", "31.02.2026", "2026-02-30", "1/2", "25.11.") == [None] * 5
    assert values(DAY, Format(dates=("mdy",)), "25/11/2026") == [None]
    assert values(DAY, Format(), "03/04/2026", "260105") == [None] * 2


def test_dates_that_a_spreadsheet_swapped_are_swapped_back() -> None:
    form = Format(dates=("dmy", "swapped"))
    assert values(DAY, form, "2026-03-04", "25.11.2026", "2026-03-25") == [date(2026, 4, 3), date(2026, 11, 25), None]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("pattern", ["d MMMM y", "d. MMM y", "d-MMM-yy"])
def test_month_names_of_cldr(language: str, pattern: str) -> None:
    days = [date(2026, month, 5) for month in range(1, 13)]
    texts = [format_date(day, pattern, language) for day in days]
    spelled = [(text, day) for text, day in zip(texts, days, strict=True) if re.search(r"[^\W\d_]{3}", text)]
    assert len(spelled) >= 11 or language == "cs"
    assert values(DAY, Format(dates=("dmy",)), *(text for text, _ in spelled)) == [day for _, day in spelled]


def test_no_month_name_means_two_months() -> None:
    """The table against CLDR: a name is a month of at least one language, and of no language another one."""
    from unicodedata import combining, normalize

    for language in LANGUAGES:
        for context in ("format", "stand-alone"):
            for width in ("wide", "abbreviated"):
                for number, name in Locale(language).months[context][width].items():
                    plain = "".join(c for c in normalize("NFD", name.lower().rstrip(".")) if not combining(c))
                    assert MONTHS.get(plain, f"{number:02}") == f"{number:02}"


def test_times_are_told_where_the_fleet_is() -> None:
    """Denver is 7 hours behind UTC in November and Nairobi 3 before it (IANA time zone database)."""
    form = Format(dates=("mdy",), time_zone="America/Denver")
    texts = ["11/25/2026 11:30 PM", "11/25/2026 12:00 am", "2026-11-25T22:00:00Z", "11/25/2026 14:05:09"]
    shown = [str(value) for value in values(READ_AT, form, *texts)]
    assert shown == ["2026-11-26 09:30:00", "2026-11-25 10:00:00", "2026-11-26 01:00:00", "2026-11-26 00:05:09"]
    assert values(DAY, form, *texts[:3]) == [date(2026, 11, 26), date(2026, 11, 25), date(2026, 11, 26)]


def test_seconds_since_1970() -> None:
    """POSIX: 1000000000 s is 2001-09-09T01:46:40Z."""
    assert [str(v) for v in values(READ_AT, Format(dates=("unix",)), "1000000000", "1000000000000")] == [
        "2001-09-09 04:46:40"
    ] * 2


def test_the_words_show_the_declared_order() -> None:
    rule = cell_rule(READ_AT, Format(dates=("dmy",)))
    assert rule is not None
    assert rule.expected == "a date as day, month, year such as 25/11/2026"


def test_no_column_of_a_distance_or_of_hours_is_left_in_a_sources_own_unit() -> None:
    """A limit left in metres would be a thousand times too long."""
    names = {column.name for table in TABLES for column in table.columns}
    assert {name for name in names if "distance" in name or "odometer" in name} - {"distance_unit"} <= set(DISTANCES)
    assert {name for name in names if "hours" in name} <= set(HOURS)
