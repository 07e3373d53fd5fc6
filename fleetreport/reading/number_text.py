"""A number of a file that has numbers (a workbook, Parquet, JSON), as its source would write it: in Python and in SQL.

It has the decimal mark that the source declares, and never a figure that looks like thousands: 12.345 is written
12.3450, so that the rules for text cannot take it for twelve thousand.
"""

import re
from decimal import Decimal

from fleetreport.settings.formats import LIKE_THOUSANDS
from fleetreport.sql import literal

MOST_PLACES = 400  # of a number written with an exponent: all that a double can be
LONGEST_LIKE_THOUSANDS = 8  # characters: a minus sign, three figures, the mark, three figures


def number_text(text: str, decimal: str) -> str:
    """The number `text` as its source would write it; `decimal` is the mark it declares, empty where it says none."""
    plain = text
    if "e" in text.lower():
        # A few letters can ask for a figure of a thousand million places; such a one stays as it is written.
        if abs(int(text.lower().partition("e")[2])) > MOST_PLACES:
            return text
        plain = format(Decimal(text), "f")
    if not decimal and re.fullmatch(f"-?{LIKE_THOUSANDS}", plain):
        plain += "0"
    return plain.replace(".", decimal or ".")


def number_text_sql(text: str, decimal: str) -> str:
    """SQL that does to the SQL `text` what `number_text` does; NULL for a number written with an exponent."""
    plain = text
    if not decimal:
        like = f"length({text}) <= {LONGEST_LIKE_THOUSANDS} and regexp_full_match({text}, '-?{LIKE_THOUSANDS}')"
        plain = f"case when {like} then {text} || '0' else {text} end"
    elif decimal != ".":
        plain = f"replace({text}, '.', {literal(decimal)})"
    is_number = f"{text}[-1] between '0' and '9'"
    return f"case when not {is_number} then {text} when not contains({text}, 'e') then {plain} end"
