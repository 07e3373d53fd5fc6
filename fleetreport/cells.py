"""What a cell of a CSV that we write holds: plain numbers, and text that no spreadsheet takes for a formula."""

import re
from decimal import Decimal

# Controls, and characters that turn the direction of the text around them.
UNPRINTABLE = re.compile("[\x00-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2028\u2029\u2066-\u2069\ud800-\udfff]+")


def plain(value: Decimal) -> str:
    """A number without noughts at its end."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def clean(text: str) -> str:
    """A text on one line, without controls and marks that turn its direction."""
    return " ".join(UNPRINTABLE.sub(" ", text).split())


def harmless(cell: object) -> object:
    """A cell that no spreadsheet takes for a formula."""
    if isinstance(cell, str):
        shown = clean(cell)
        return f"'{shown}" if shown.startswith(("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")) else shown
    return cell
