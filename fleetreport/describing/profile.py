"""What the cells of each column could be: counts of how many fit each way of writing numbers and dates.

The ways are tried with the very rules that reading uses, so that what is found here is what a run will read. Nothing
here knows a header or a table.
"""

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import duckdb

from fleetreport.kinds import DATE, number
from fleetreport.settings.formats import UNIT_WORDS, Format, cell_rule
from fleetreport.sql import NO_EXTENSIONS
from fleetreport.storing.store import open_only_to
from fleetreport.tables import Column

# Years between which a date of a fleet's records lies; a number taken for a date seldom does.
YEARS = (1970, 2069)
CURRENCIES = ("€", "$", "£", "¥", "₹", "zł", "Kč", "EUR", "USD", "GBP", "CHF", "PLN", "SEK", "NOK", "DKK", "CZK", "CAD",
              "AUD", "INR", "ZAR", "KES", "JPY", "BRL", "MXN", "Fr.", "kr", "R$")  # fmt: skip
MARKS = (
    ("", ()), (".", ()), (",", ()), (".", (",",)), (",", (".",)), (",", (" ",)), (".", (" ",)), (".", ("'",)),
    (",", ("'",)),
)  # fmt: skip
ORDERS = ("dmy", "mdy", "ymd")
DAYS = (Format(), *(Format(dates=(order,)) for order in (*ORDERS, "unix")))
SAMPLES = 4
# Columns to try the rules on: a meter in any unit or money in any currency, and a day.
AMOUNT = Column("reading", number(sql_type="DECIMAL(18,4)"))
DAY = Column("day", DATE)


class Way(NamedTuple):
    """One way of reading a column's cells: how many fit, a figure that differs where another way means otherwise, and
    for dates the share of rows that come after the one before (or, the newest first, before it) and the days from
    the first to the last.
    """

    form: Format
    fits: int
    means: str
    in_order: float = 0
    span: int = 0


class Profile(NamedTuple):
    """A column: its header, counts, samples, and the ways of reading it as numbers and as dates that fit best.

    `day_first` and `month_first` are cells that can only be read in that order; `small_iso` of `iso` cells in ISO form
    have a day that could be a month; `serials` could be day numbers of a spreadsheet; `unit` stands behind the figures.
    """

    name: str
    filled: int
    distinct: int
    samples: list[str]
    numbers: list[Way]
    dates: list[Way]
    serials: int
    unit: str
    currency: tuple[str, ...]
    day_first: int
    month_first: int
    iso: int
    small_iso: int
    times: int
    values: list[str]

    @property
    def number_share(self) -> float:
        """The share of filled cells that are numbers in the best way."""
        return max((way.fits for way in self.numbers), default=0) / max(self.filled, 1)

    @property
    def date_share(self) -> float:
        """The share of filled cells that are dates in the best way."""
        return max((way.fits for way in self.dates), default=0) / max(self.filled, 1)


def profile_columns(names: Sequence[str], rows: Sequence[Sequence[str]]) -> list[Profile]:
    """A profile of each column of rows that all have the header's width."""
    with duckdb.connect(config=NO_EXTENSIONS) as db:
        db.execute("set TimeZone = 'UTC'")
        open_only_to(db)
        return [_profile(db, name, [row[at].strip() for row in rows]) for at, name in enumerate(names)]


def _profile(db: duckdb.DuckDBPyConnection, name: str, cells: list[str]) -> Profile:
    counted = Counter(cell for cell in cells if cell)
    db.execute("create or replace temp table cells as select unnest(?::varchar[]) as cell, unnest(?::int[]) as n",
               [list(counted), list(counted.values())])  # fmt: skip
    marks = tuple(mark for mark in CURRENCIES if any(mark.casefold() in cell.casefold() for cell in counted))
    unit = _units(counted)
    slashed = [(re.fullmatch(r"(\d{1,2})[./-](\d{1,2})[./-]\d{2,4}\b.*", cell), n) for cell, n in counted.items()]
    iso = [(re.match(r"\d{4}-\d\d-(\d\d)\b", cell), n) for cell, n in counted.items()]
    return Profile(
        name=name,
        filled=counted.total(),
        distinct=len(counted),
        samples=_samples(counted),
        numbers=_ways(db, AMOUNT, [Format(decimal, thousands, marks, unit) for decimal, thousands in MARKS]),
        dates=[_ordered(db, way, cells) for way in _ways(db, DAY, DAYS)],
        serials=_serials(db),
        unit=unit,
        currency=marks,
        day_first=sum(n for found, n in slashed if found and int(found[1]) > 12 >= int(found[2])),
        month_first=sum(n for found, n in slashed if found and int(found[2]) > 12 >= int(found[1])),
        iso=sum(n for found, n in iso if found),
        small_iso=sum(n for found, n in iso if found and int(found[1]) <= 12),
        times=sum(n for cell, n in counted.items() if re.search(r"\d{1,2}[:h]\d{2}", cell)),
        values=cells,
    )


def _units(counted: Counter[str]) -> str:
    """The unit that stands behind most figures that have one; hours where figures have colons."""
    if sum(n for cell, n in counted.items() if re.fullmatch(r"\d{1,6}:[0-5]\d(:[0-5]\d)?", cell)) * 2 > counted.total():
        return "h"
    behind: Counter[str] = Counter()
    for cell, n in counted.items():
        found = re.search(r"\d ?([^\W\d_]+)\.?$", cell)
        if found:
            behind[found[1].casefold()] += n
    for word, _ in behind.most_common(1):
        return next((unit for unit, words in UNIT_WORDS.items() if word in words), word)
    return ""


def _samples(counted: Counter[str]) -> list[str]:
    """A few different cells, long and short, from all over the column."""
    all_cells = list(counted)
    step = max(1, len(all_cells) // SAMPLES)
    return all_cells[::step][:SAMPLES]


def _ways(db: duckdb.DuckDBPyConnection, column: Column, forms: Sequence[Format]) -> list[Way]:
    """The ways that fit most cells; none where no cell fits."""
    ways = [Way(form, *_fits(db, column, form)) for form in forms]
    most = max(way.fits for way in ways)
    return [way for way in ways if way.fits == most and most]


def _ordered(db: duckdb.DuckDBPyConnection, way: Way, cells: Sequence[str]) -> Way:
    """A way of reading dates with the share of rows in order of time."""
    days = dict(db.execute(f"select cell, value from ({_read(DAY, way.form)}) where value is not null").fetchall())
    told = [days[cell] for cell in cells if cell in days]
    pairs = list(pairwise(told))
    up, down = sum(a <= b for a, b in pairs), sum(a >= b for a, b in pairs)
    span = (max(told) - min(told)).days if told else 0
    return way._replace(in_order=max(up, down) / len(pairs) if pairs else 0, span=span)


def _read(column: Column, form: Format) -> str:
    """SQL for the table `cells` with the value of each cell read in this form."""
    rule = cell_rule(column, form)
    sql = "select cell, cell as said, n from cells"
    for step in rule.steps if rule else ():
        sql = f"select cell, {step.format(x='said')} as said, n from ({sql})"
    value = column.kind.parse.format(x="said")
    if column is DAY:
        value = f"case when year({value}) between {YEARS[0]} and {YEARS[1]} then {value} end"
    return f"select cell, n, {value} as value from ({sql})"


def _fits(db: duckdb.DuckDBPyConnection, column: Column, form: Format) -> tuple[int, str]:
    means = "sum(hash(value)::hugeint * n)::varchar" if column is DAY else "sum(value)::varchar"
    row = db.execute(f"select coalesce(sum(n) filter (value is not null), 0), coalesce({means}, '') "
                     f"from ({_read(column, form)})").fetchone()  # fmt: skip
    return (int(row[0]), str(row[1])) if row else (0, "")


def _serials(db: duckdb.DuckDBPyConnection) -> int:
    """How many cells could be day numbers of a spreadsheet, 1970 to 2069."""
    row = db.execute("select coalesce(sum(n), 0) from cells where regexp_full_match(cell, '[2-6]\\d{4}([.,]\\d+)?') "
                     "and try_cast(replace(cell, ',', '.') as double) between 25569 and 62094").fetchone()  # fmt: skip
    return int(row[0]) if row else 0
