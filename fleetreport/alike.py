"""Which known names are nearly one that was written: for messages that ask what was meant. Knows no table."""

from collections.abc import Iterable
from difflib import get_close_matches

LOOK_ALIKE = str.maketrans("- oil", "__011")
LEAST_LIKE = 0.6  # of one name that somebody waits for to be told


def nearest_names(name: str, known: Iterable[str], least: float = 0.7, most: int = 2) -> list[str]:
    """Of the known names those that are nearly this one, the nearest first.

    Case, hyphens, and letters that are typed for a figure (O for 0, I and l for 1) make no difference.
    `least` is the likeness asked for, 0 to 1 (Ratcliff & Obershelp, as in `difflib`).
    """
    folded = {_folded(one): one for one in known}
    if same := folded.get(_folded(name)):
        return [same]
    return [folded[near] for near in get_close_matches(_folded(name), folded, most, least)]


def question(near: Iterable[str]) -> str:
    """`did you mean … or …?` of names that are near; nothing where none is."""
    names = " or ".join(near)
    return f"did you mean {names}?" if names else ""


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """` (did you mean …?)` with the nearest of the known names, to end a message with; nothing where none is near."""
    asked = question(nearest_names(name, known, LEAST_LIKE, 1))
    return f" ({asked})" if asked else ""


def _folded(name: str) -> str:
    return name.lower().translate(LOOK_ALIKE)
