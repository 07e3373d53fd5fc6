"""CLDR locale data as Babel gives them: how German writes days and numbers, how other languages write numbers.

What is expected is asked of Babel when the tests run, and so is of the CLDR of the Babel that is installed.
"""

from datetime import date
from decimal import Decimal

from babel.dates import format_date, format_skeleton
from babel.numbers import format_decimal
from published.checks import Source
from test_formats import LOCALES, READING, form_of, values

from fleetreport.languages.catalogues import GERMAN
from fleetreport.report.sentences import day, day_with_weekday, number

CLDR = Source("CLDR through Babel", "asked of the library as the tests run")
DAYS = [date(2026, 1, 1), date(2026, 3, 3), date(2026, 5, 31), date(2026, 9, 9), date(2026, 11, 25), date(2026, 12, 31)]
FIGURES = ("0", "0.5", "7.25", "999", "1000", "98900", "1234567.89", "-1234.5")


@CLDR.says_each("de, yMMMd", "{0}", [(when, format_skeleton("yMMMd", when, locale="de")) for when in DAYS])
def german_day(when: date) -> str:
    return day(when, GERMAN).replace("\u00a0", " ")


@CLDR.says_each("de, full", "{0}", [(when, format_date(when, "full", locale="de")) for when in DAYS])
def german_day_with_weekday(when: date) -> str:
    return day_with_weekday(when, GERMAN).replace("\u00a0", " ")


@CLDR.says_each("de, yMMMEd", "{0}", [(when, format_skeleton("yMMMEd", when, locale="de")) for when in DAYS])
def german_short_day_with_weekday(when: date) -> str:
    return day_with_weekday(when, GERMAN, short=True).replace("\u00a0", " ")


@CLDR.says_each("de, #,##0.00", "{0}", [(f, format_decimal(Decimal(f), "#,##0.00", locale="de")) for f in FIGURES])
def german_number(figure: str) -> str:
    return number(Decimal(figure), GERMAN, 2)


@CLDR.says_each("decimal", "1234567.891 as {0} writes it, read back", [(one, "1234567.891") for one in LOCALES])
def read_back(locale: str) -> object:
    pattern = "#,##,##0.###" if locale in ("en_IN", "hi") else "#,##0.###"
    said = format_decimal(Decimal("1234567.891"), pattern, locale, numbering_system="default")
    return values(READING, form_of(locale), said)[0]
