"""On which line of a TOML text a key stands: Python's reader does not tell.

A line that may hold the key is tried: the key is written otherwise there, and the text is read again. Where the other
name then stands in the key's place, that is the line. So no text in quotes is taken for a key.
"""

import re
import tomllib
from collections.abc import Iterator
from typing import Any

Loc = tuple[int | str, ...]

NOTHING = object()
OTHER = "this-is-the-one"
# Reading a text again and again takes time, and a person mends a few faults at once.
LONGEST_TEXT = 30_000
MOST_TRIED = 20


def line_of(text: str, loc: Loc) -> int:
    """The line of the last part of `loc` that stands in the text, or of the table it is missing in; 0: not known.

    `loc` are the keys from the top, and numbers (from 0) of parts of lists. The text can be read.
    """
    if len(text) > LONGEST_TEXT:
        return 0
    whole = tomllib.loads(text)
    while loc and (_at(whole, loc) is NOTHING or (isinstance(loc[-1], int) and not isinstance(_at(whole, loc), dict))):
        loc = loc[:-1]
    if not loc:
        return 0
    part = loc[-1] if isinstance(loc[-1], int) else 0
    key = loc[:-1] if isinstance(loc[-1], int) else loc
    lines = list(_lines(text, key))
    return lines[part] if part < len(lines) else (lines[0] if lines else 0)


def _lines(text: str, loc: Loc) -> Iterator[int]:
    """The lines in which the key begins, the first MOST_TRIED."""
    lines = text.split("\n")
    name = str(loc[-1])
    spelled = re.compile(rf"""(?<![\w-])(?:{re.escape(name)}|"{re.escape(name)}"|'{re.escape(name)}')(?=\s*[=.\]])""")
    places = ((number, found) for number, line in enumerate(lines) for found in spelled.finditer(line))
    tried = 0
    for number, found in places:
        if (tried := tried + 1) > MOST_TRIED:
            return
        line = lines[number]
        changed = [*lines[:number], line[: found.start()] + OTHER + line[found.end() :], *lines[number + 1 :]]
        try:
            if _at(tomllib.loads("\n".join(changed)), (*loc[:-1], OTHER)) is not NOTHING:
                yield number + 1
        except tomllib.TOMLDecodeError:
            continue


def _at(whole: Any, loc: Loc) -> Any:
    """What stands there; NOTHING where nothing does."""
    for part in loc:
        try:
            whole = whole[part]
        except (KeyError, IndexError, TypeError):
            return NOTHING
    return whole
