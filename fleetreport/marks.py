"""How a language writes numbers and dates: the marks and names of a locale, from the CLDR data that Babel carries.

They are read once a language; a figure is then put together from them, since Babel's own formatting of each would take
longer than all the rest of a page. Currencies have as many decimals as CLDR gives them.
"""

from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from babel import Locale
from babel.numbers import get_currency_precision


class Marks(NamedTuple):
    """What a locale puts between thousands and before decimals, and how it calls months and weekdays (from Monday).

    `instead`: its marks by those that Python writes, as `str.translate` takes them; empty where they are the same.
    """

    thousands: str
    decimal: str
    instead: Mapping[int, str]
    months: tuple[str, ...]
    months_in_full: tuple[str, ...]
    weekdays: tuple[str, ...]
    weekdays_in_full: tuple[str, ...]


@lru_cache
def marks_of(locale: str) -> Marks:
    """The marks of a locale such as `en` or `de_AT`. Raises babel.UnknownLocaleError for one CLDR does not have."""
    found = Locale.parse(locale)
    symbols = found.number_symbols["latn"]
    months, days = found.months["format"], found.days["format"]
    instead = {ord(mark): own for mark, own in ((",", symbols["group"]), (".", symbols["decimal"]))}
    return Marks(
        symbols["group"], symbols["decimal"], {} if instead == {ord(own): own for own in ",."} else instead,
        tuple(months["abbreviated"][at] for at in range(1, 13)), tuple(months["wide"][at] for at in range(1, 13)),
        tuple(days["abbreviated"][at] for at in range(7)), tuple(days["wide"][at] for at in range(7)),
    )  # fmt: skip


@lru_cache
def minor_digits(currency: str) -> int:
    """Decimals of a currency's minor unit: 2 for EUR, 0 for JPY, 3 for KWD; 2 for one that is not known."""
    return int(get_currency_precision(currency))


@lru_cache
def plural_form(count: int, locale: str) -> str:
    """Which of the two forms of a counted noun goes with `count`: `one` or `many`."""
    return "one" if Locale.parse(locale).plural_form(count) == "one" else "many"
