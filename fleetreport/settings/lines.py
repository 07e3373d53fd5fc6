"""On which line of a TOML text a key stands: Python's reader does not tell.

The text is read statement by statement (a head, or a key with its value), each of which can be read by itself. So no
text in quotes is taken for a key.
"""

import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from typing import Any, NamedTuple

Loc = tuple[int | str, ...]

OTHER = "this-is-the-one"
# A value of many lines is read again with each line, and a key within it is looked for by reading it otherwise written.
MOST_READ = 3_000_000  # characters
MOST_TRIED = 20


class _Statement(NamedTuple):
    """A statement, the line it begins on, and the table it stands in."""

    line: int
    text: str
    table: Loc


class Places:
    """Where the keys of a TOML text stand. The text can be read."""

    def __init__(self, text: str) -> None:
        """Read the text."""
        self.found: dict[Loc, _Statement] = {}
        counts: Counter[Loc] = Counter()
        table: Loc = ()
        for line, text_of_one in _statements(text):
            value = tomllib.loads(text_of_one)
            if text_of_one.lstrip(" \t").startswith("["):
                table = self._head(_Statement(line, text_of_one, ()), value, counts)
                continue
            one = _Statement(line, text_of_one, table)
            for loc in _locs(value):
                self.found.setdefault((*table, *loc), one)

    def line_of(self, loc: Loc) -> int:
        """The line of the last part of `loc` that stands in the text, or of the table it is missing in; 0: not known.

        `loc` are the keys from the top, and numbers (from 0) of parts of lists.
        """
        while loc and loc not in self.found:
            loc = loc[:-1]
        if not loc:
            return 0
        one = self.found[loc]
        within = loc[len(one.table) :]
        while isinstance(within[-1], int) and len(within) > 1:
            within = within[:-1]
        return one.line + (_line_within(one.text, within) if "\n" in one.text else 0)

    def _head(self, one: _Statement, value: Any, counts: Counter[Loc]) -> Loc:
        """Take in `[a.b]` or `[[a.b]]`; gives the table that it begins."""
        here: Loc = ()
        while value:
            ((name, value),) = value.items()
            here = (*here, name)
            self.found.setdefault(here, one)
            if isinstance(value, list):
                counts[here] += 1
                value = None
            if counts[here]:
                here = (*here, counts[here] - 1)
                self.found.setdefault(here, one)
        return here


def _statements(text: str) -> Iterator[tuple[int, str]]:
    """The statements with the lines they begin on; none from where reading takes too long."""
    lines = text.replace("\r\n", "\n").split("\n")
    begin = read = 0
    for at, line in enumerate(lines):
        # What goes on over several lines ends in a bracket or in quotes.
        if at > begin and not re.search("[]\"']", line):
            continue
        one = "\n".join(lines[begin : at + 1])
        if (read := read + len(one)) > MOST_READ:
            return
        try:
            is_blank = not tomllib.loads(one)
        except tomllib.TOMLDecodeError:
            continue
        if not is_blank:
            yield begin + 1, one
        begin = at + 1


def _locs(value: Any) -> Iterator[Loc]:
    """All that stands in a value, by its keys and numbers."""
    if isinstance(value, dict | list):
        for name, part in value.items() if isinstance(value, dict) else enumerate(value):
            yield (name,)
            yield from ((name, *rest) for rest in _locs(part))


def _line_within(text: str, loc: Loc) -> int:
    """How many lines below its statement's first a key of it begins; 0 where it is not found.

    A place that may be the key is written otherwise, and the statement is read again: where the other name then stands
    in the key's place, that is it.
    """
    name = re.escape(str(loc[-1]))
    spelled = re.compile(rf"""(?<![\w-])(?:{name}|"{name}"|'{name}')(?=\s*[=.])""")
    for turn, found in enumerate(spelled.finditer(text)):
        if turn == MOST_TRIED:
            break
        try:
            changed = tomllib.loads(text[: found.start()] + OTHER + text[found.end() :])
        except tomllib.TOMLDecodeError:
            continue
        if (*loc[:-1], OTHER) in _locs(changed):
            return text.count("\n", 0, found.start())
    return 0
