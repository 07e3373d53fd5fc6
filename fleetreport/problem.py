"""What can be wrong: a value set aside, or a run that must stop.

A `Problem` is a value: it is collected, stored and listed, and the run goes on. A `StopRun` is an
exception for what leaves nothing sensible to report (a wrong setting, a file that cannot be read).
Nothing here knows where problems come from or how they are printed.
"""

from collections.abc import Sequence
from enum import IntEnum
from typing import Literal, NamedTuple

Scope = Literal["row", "value", "reading"]


class Exit(IntEnum):
    """What the exit code tells a scheduler."""

    WRITTEN = 0
    ROWS_TO_MEND = 1
    WRONG_CALL = 2
    CANNOT_READ_OR_WRITE = 3


class Problem(NamedTuple):
    """One thing of the input that was set aside, and why: a row of `quarantine.csv`.

    `scope` says what was lost: `row` (the row was not loaded), `value` (the cell was left blank and the
    row loaded) or `reading` (loaded, judged implausible in this run).
    """

    file: str
    line: int
    table: str
    column: str
    value: str
    reason: str
    scope: Scope


class StopRun(Exception):
    """The run cannot go on. `messages` are one line each, fit to be shown to a person as they are.

    `help` says what to do about it; `code` is the exit code.
    """

    code = Exit.CANNOT_READ_OR_WRITE

    def __init__(self, *messages: str, help: str = "") -> None:
        super().__init__("\n".join(messages))
        self.messages: Sequence[str] = messages
        self.help = help


class WrongCall(StopRun):
    """The call or a setting is wrong."""

    code = Exit.WRONG_CALL


class CannotReadOrWrite(StopRun):
    """An input or an output could not be read or written."""

    code = Exit.CANNOT_READ_OR_WRITE
