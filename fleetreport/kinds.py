"""What a cell of an input table may hold: kinds of value, as SQL expressions from text to value.

An expression stands over a column of text (`{x}`, already trimmed, NULL when blank), so that a rule runs over a whole
column at once; what it does not accept becomes NULL. Nothing here touches a file or a database.
"""

from typing import NamedTuple

EARLIEST, LATEST = "1900-01-01", "2199-12-31"
MOST = 999_999_999


class Kind(NamedTuple):
    """What a cell may hold: the SQL type it becomes, how text becomes it (NULL: it does not), and in words."""

    sql_type: str
    parse: str
    expected: str


def number(
    least: float | None = None, above: float | None = None, most: int = MOST, sql_type: str = "DECIMAL(18,7)"
) -> Kind:
    """A number with a decimal point. `least` and `most` are allowed, `above` is a bound it must exceed."""
    cast = f"try_cast({{x}} as {sql_type})"
    lowest = -most if least is None else max(least, -most)
    # DuckDB reads 1_000 as a thousand and would let a stray underscore pass unseen.
    rules = [f"{cast} between {lowest} and {most}", "not contains({x}, '_')"]
    words = "a number such as 84120.5"
    if least is not None:
        words += f", {least} or more"
    if above is not None:
        rules.append(f"{cast} > {above}")
        words += f", more than {above}"
    if most < MOST:
        words += f", {most} at most"
    return Kind(sql_type, f"case when {' and '.join(rules)} then {cast} end", words)


def whole(least: int, most: int) -> Kind:
    """A whole number between two bounds, both allowed; `12.0` is read as 12."""
    cast = "try_cast({x} as INTEGER)"
    is_whole = "regexp_full_match({x}, '[+-]?[0-9]+(\\.0+)?')"
    parse = f"case when {is_whole} and {cast} between {least} and {most} then {cast} end"
    return Kind("INTEGER", parse, f"a whole number from {least} to {most}")


def one_of(*values: str) -> Kind:
    """One of a few words, in any case."""
    listed = ", ".join(f"'{value}'" for value in values)
    return Kind("VARCHAR", f"case when lower({{x}}) in ({listed}) then lower({{x}}) end", " or ".join(values))


TEXT = Kind("VARCHAR", "{x}", "text")
CODES = Kind("VARCHAR", "{x}", "codes with blanks between them")
MONEY = number(sql_type="DECIMAL(18,4)")
# `like` first: DuckDB also reads 2026/1/5, 'epoch' and years BC, which the contract's ISO dates are not.
DATE = Kind(
    "DATE",
    "case when {x} like '____-__-__' and try_cast({x} as date) "
    f"between date '{EARLIEST}' and date '{LATEST}' then try_cast({{x}} as date) end",
    "a date such as 2026-11-25",
)
# A time's distance from UTC: 14 h at most (W3C XML Schema 1.1 part 2, dateTime); DuckDB takes +99:99 too.
OFFSET = "[+-](?:0\\d|1[0-4])(?::?[0-5]\\d)?"
# With an offset or Z the local time of the fleet's time zone (the session's) is meant.
TIME = Kind(
    "TIMESTAMP",
    "case when {x} like '____-__-__' and try_cast({x} as date) "
    f"between date '{EARLIEST}' and date '{LATEST}' then try_cast({{x}} as timestamp) "
    "when regexp_full_match({x}, "
    f"'\\d{{{{4}}}}-\\d\\d-\\d\\d[T ]\\d\\d:\\d\\d(:\\d\\d(\\.\\d+)?)?( ?(Z|{OFFSET}))?') "
    f"and try_cast({{x}} as timestamptz) between timestamptz '{EARLIEST}' and timestamptz '{LATEST}' "
    "then try_cast({x} as timestamptz)::timestamp end",
    "a date or a time such as 2026-11-25 or 2026-11-25T14:30",
)
MONTH_DAY = Kind(
    "VARCHAR",
    "case when {x} like '__-__' and try_cast('2024-' || {x} as date) is not null then {x} end",
    "a day of the year such as 03-31",
)
