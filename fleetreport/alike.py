"""Which names a reader takes for one another, and which known ones are nearly one that was written. Knows no table."""

import unicodedata
from collections.abc import Callable, Iterable
from difflib import get_close_matches

from fleetreport.characters import Kind, stopping

# Letters of Cyrillic and Greek that look like ours on number plates (GOST R 50577, from memory), small and large.
SMALL, OURS = "авекмнорстухαβεζηικμνορτυχ", "abekmhopctyxabezhikmnoptyx"
LETTERS = str.maketrans(SMALL + SMALL.upper(), OURS + OURS.upper())
# What is typed for a figure or for another mark.
TYPED = str.maketrans("- oil", "__011")
# All that has no shape of its own, or none that is text.
_without_unseen = stopping({*Kind} - {Kind.TEXT, Kind.NONE, Kind.LINE_END}, lambda char: "")
LEAST_LIKE = 0.6  # of one name that somebody waits for to be told


def without_blanks(name: str) -> str:
    """A name without the blanks in it, of whatever width."""
    return "".join(char for char in name if not (char.isspace() or unicodedata.category(char).startswith("Z")))


def with_our_letters(name: str) -> str:
    """A name in which nothing is unseen, and letters that look like ours are ours, as are those of double width."""
    return name if name.isascii() and name.isprintable() else _plain_letters(name)


def _plain_letters(name: str) -> str:
    return unicodedata.normalize("NFKC", _without_unseen(name)).translate(LETTERS)


LOOKS = "characters that look alike or cannot be seen"
# What makes no difference to a reader, in the order in which it is evened out: a tab is a blank before it is something
# unseen, and a letter of double width has a case once it is ours.
WAYS: dict[str, Callable[[str], str]] = {"blanks": without_blanks, LOOKS: with_our_letters, "case": str.lower}


def looks_like(name: str, but: str = "") -> str:
    """What a reader takes a name for: the same for names that differ only in `WAYS`, of which one can be left out."""
    for way, evened_out in WAYS.items():
        name = name if way == but else evened_out(name)
    return name


def differ_in(one: str, other: str) -> list[str]:
    """The ways in which two names differ that look like each other: those without which they would not.

    Where there is no such way, as two would each do (a blank that does not break is one of another look): the first.
    """
    needed = [way for way in ("case", "blanks", LOOKS) if looks_like(one, way) != looks_like(other, way)]
    return needed or [next((way for way, even in WAYS.items() if even(one) == even(other)), LOOKS)]


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
    return with_our_letters(name).lower().translate(TYPED)
