"""What a cell of a CSV that we write holds: plain numbers, and text that no spreadsheet takes for a formula."""

from decimal import Decimal

from fleetreport.characters import ACTS_IN_PLAIN_TEXT, DECEIVES, WITHOUT_WIDTH, blank_or_nothing, stopping

# What has no shape but acts on nothing stays: a cell's text is found again by it, and fed back.
_without_acts = stopping(ACTS_IN_PLAIN_TEXT, blank_or_nothing)
_with_a_shape = stopping(DECEIVES | WITHOUT_WIDTH, blank_or_nothing)
BEGINS_A_FORMULA = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def plain(value: Decimal) -> str:
    """A number without noughts at its end."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def clean(text: str) -> str:
    """A text on one line, without controls and marks that turn its direction."""
    return " ".join(_without_acts(text).split())


def harmless(cell: object) -> object:
    """A cell that no spreadsheet takes for a formula."""
    if isinstance(cell, str):
        shown = clean(cell)
        # A program may pass over what cannot be seen, such as a byte order mark, before it looks for a formula.
        return f"'{shown}" if _with_a_shape(shown).lstrip().startswith(BEGINS_A_FORMULA) else shown
    return cell
