"""What the cells of each column could be: counts of how many fit each way of writing numbers and dates.

The ways are tried with the very rules that reading uses, so that what is found here is what a run will read. Nothing
here knows a header or a table.
"""

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
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
# Of marks and units that columns of one file differ in. No table has as many; a file made to take for ever may.
MOST_KINDS = 40
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
    """A profile of each column of rows that all have the header's width.

    A rule is tried on all columns at once: to prepare it takes longer than to read some thousand cells with it.
    """
    columns = [[row[at].strip() for row in rows] for at in range(len(names))]
    counts = [Counter(cell for cell in cells if cell) for cells in columns]
    marks = [_currencies(counted) for counted in counts]
    units = [_units(counted) for counted in counts]
    with duckdb.connect(config=NO_EXTENSIONS) as db:
        db.execute("set TimeZone = 'UTC'")
        open_only_to(db)
        db.execute("create temp table cells (place integer, cell varchar, n integer)")
        for at, counted in enumerate(counts):
            if counted:
                db.execute("insert into cells select ?, unnest(?::varchar[]), unnest(?::int[])",
                           [at, list(counted), list(counted.values())])  # fmt: skip
        numbers: dict[int, list[Way]] = {}
        for (some, unit), alike in _alike(list(zip(marks, units, strict=True))).items():
            forms = [Format(decimal, thousands, some, unit) for decimal, thousands in MARKS]
            numbers |= _ways(db, AMOUNT, forms, alike)
        dates = _ways(db, DAY, DAYS, range(len(names)))
        days = {form: _days(db, form) for form in {way.form for ways in dates.values() for way in ways}}
        serials = _serials(db)
    return [
        _profile(
            name, columns[at], counts[at], marks[at], units[at], numbers[at],
            [_ordered(way, days[way.form].get(at, {}), columns[at]) for way in dates[at]], serials.get(at, 0),
        )
        for at, name in enumerate(names)
    ]  # fmt: skip


def _currencies(counted: Iterable[str]) -> tuple[str, ...]:
    folded = [cell.casefold() for cell in counted]
    return tuple(mark for mark in CURRENCIES if any(mark.casefold() in cell for cell in folded))


def _alike(kinds: Sequence[tuple[tuple[str, ...], str]]) -> dict[tuple[tuple[str, ...], str], list[int]]:
    """The columns by the marks and unit in their cells; past MOST_KINDS of these, a column's are no longer tried."""
    found: dict[tuple[tuple[str, ...], str], list[int]] = {((), ""): []}
    for at, kind in enumerate(kinds):
        found.setdefault(kind if kind in found or len(found) < MOST_KINDS else ((), ""), []).append(at)
    return found


def _profile(
    name: str,
    cells: list[str],
    counted: Counter[str],
    marks: tuple[str, ...],
    unit: str,
    numbers: list[Way],
    dates: list[Way],
    serials: int,
) -> Profile:
    slashed = [(re.fullmatch(r"(\d{1,2})[./-](\d{1,2})[./-]\d{2,4}\b.*", cell), n) for cell, n in counted.items()]
    iso = [(re.match(r"\d{4}-\d\d-(\d\d)\b", cell), n) for cell, n in counted.items()]
    return Profile(
        name=name,
        filled=counted.total(),
        distinct=len(counted),
        samples=_samples(counted),
        numbers=numbers,
        dates=dates,
        serials=serials,
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


def _ways(
    db: duckdb.DuckDBPyConnection, rule: Column, forms: Sequence[Format], columns: Sequence[int]
) -> dict[int, list[Way]]:
    """For each of these columns the ways that fit most cells; none where no cell fits."""
    fits = [_fits(db, rule, form, columns) if columns else {} for form in forms]
    found: dict[int, list[Way]] = {}
    for at in columns:
        ways = [Way(form, *fit.get(at, (0, ""))) for form, fit in zip(forms, fits, strict=True)]
        most = max(way.fits for way in ways)
        found[at] = [way for way in ways if way.fits == most and most]
    return found


def _ordered(way: Way, days: Mapping[str, date], cells: Sequence[str]) -> Way:
    """A way of reading dates with the share of rows in order of time; `days` are the days of cells read so."""
    told = [days[cell] for cell in cells if cell in days]
    pairs = list(pairwise(told))
    up, down = sum(a <= b for a, b in pairs), sum(a >= b for a, b in pairs)
    span = (max(told) - min(told)).days if told else 0
    return way._replace(in_order=max(up, down) / len(pairs) if pairs else 0, span=span)


def _read(rule: Column, form: Format) -> str:
    """SQL for the table `cells` with the value of each cell read in this form."""
    written = cell_rule(rule, form)
    sql = "select place, cell, cell as said, n from cells"
    for step in written.steps if written else ():
        sql = f"select place, cell, {step.format(x='said')} as said, n from ({sql})"
    value = rule.kind.parse.format(x="said")
    if rule is DAY:
        value = f"case when year({value}) between {YEARS[0]} and {YEARS[1]} then {value} end"
    return f"select place, cell, n, {value} as value from ({sql})"


def _fits(
    db: duckdb.DuckDBPyConnection, rule: Column, form: Format, columns: Sequence[int]
) -> dict[int, tuple[int, str]]:
    """Of these columns, how many cells can be read in this form, and a figure for what they then mean."""
    means = "sum(hash(value)::hugeint * n)::varchar" if rule is DAY else "sum(value)::varchar"
    rows = db.execute(
        f"""select place, coalesce(sum(n) filter (value is not null), 0)::bigint, coalesce({means}, '')
            from ({_read(rule, form)}) where place in (select unnest(?::int[])) group by place""",
        [list(columns)],
    ).fetchall()
    return {at: (count, means) for at, count, means in rows}


def _days(db: duckdb.DuckDBPyConnection, form: Format) -> dict[int, dict[str, date]]:
    """The day of each cell that can be read in this form, by column."""
    found: dict[int, dict[str, date]] = {}
    rows = db.execute(f"select place, cell, value from ({_read(DAY, form)}) where value is not null").fetchall()
    for at, cell, day in rows:
        found.setdefault(at, {})[cell] = day
    return found


def _serials(db: duckdb.DuckDBPyConnection) -> dict[int, int]:
    """How many cells of each column could be day numbers of a spreadsheet, 1970 to 2069."""
    rows = db.execute(
        """select place, sum(n)::bigint from cells
            where regexp_full_match(cell, '[2-6]\\d{4}([.,]\\d+)?')
                and try_cast(replace(cell, ',', '.') as double) between 25569 and 62094
            group by place"""
    ).fetchall()
    return dict(rows)
