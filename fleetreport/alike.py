"""Which known names are nearly one that was written: for messages that ask what was meant. Knows no table."""

import re
import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches

# Also letters of Greek and Cyrillic that look like ours on number plates.
LOOK_ALIKE = str.maketrans("- oilавекмнорстухαβεζηικμνορτυχ", "__011abekmh0pctyxabezh1kmn0ptyx")
UNSEEN = re.compile("[\u00ad\u115f\u1160\u200b-\u200f\u202a-\u202e\u2060-\u206f\u3164\ufe00-\ufe0f\ufeff\uffa0]")
LEAST_LIKE = 0.6  # of one name that somebody waits for to be told


def nearest_names(name: str, known: Iterable[str], least: float = 0.7, most: int = 2) -> list[str]:
    """Of the known names those that are nearly this one, the nearest first.

    Case, hyphens, letters that are typed for a figure (O for 0, I and l for 1), letters of other scripts that look the
    same and what cannot be seen make no difference.
    `least` is the likeness asked for, 0 to 1 (Ratcliff & Obershelp, as in `difflib`).
    """
    folded: dict[str, list[str]] = {}
    for one in known:
        folded.setdefault(_folded(one), []).append(one)
    if same := folded.get(_folded(name)):
        return same[:most]
    return [one for near in get_close_matches(_folded(name), folded, most, least) for one in folded[near]][:most]


def question(near: Iterable[str]) -> str:
    """`did you mean … or …?` of names that are near; nothing where none is."""
    names = " or ".join(near)
    return f"did you mean {names}?" if names else ""


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """` (did you mean …?)` with the nearest of the known names, to end a message with; nothing where none is near."""
    asked = question(nearest_names(name, known, LEAST_LIKE, 1))
    return f" ({asked})" if asked else ""


def _folded(name: str) -> str:
    if not name.isascii():
        name = unicodedata.normalize("NFKC", UNSEEN.sub("", name))
    return name.lower().translate(LOOK_ALIKE)
