"""What the commands share: reading a day, counting in words, progress, and printing lines that fit the terminal."""

import os
import re
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import date
from textwrap import wrap
from typing import TYPE_CHECKING

import typer

from fleetreport.commands import log
from fleetreport.commands.plain import shown, shown_lines
from fleetreport.problem import WrongCall

if TYPE_CHECKING:
    from fleetreport.checking.check_report import Line


def counted(number: int, word: str) -> str:
    """`1 vehicle`, `59 vehicles`."""
    return f"{number} {word}" + ("" if number == 1 else "s")


def parse_day(text: str) -> date:
    """A day as YYYY-MM-DD. Raises WrongCall where it is none, or outside the years 1900 to 2199."""
    try:
        day = date.fromisoformat(text) if re.fullmatch(r"\d{4}-\d\d-\d\d", text) else None
    except ValueError:
        raise WrongCall(f"--as-of: found {text}, a day that does not exist") from None
    if day is None or not 1900 <= day.year <= 2199:
        raise WrongCall(f'--as-of: found "{text}", expected a date such as 2026-11-25')
    return day


@contextmanager
def progress() -> Iterator[Callable[[str, float], None]]:
    """A bar that tells what is being done and how much is, on a terminal only; it goes when the work is done."""
    if not sys.stderr.isatty() or log.is_json():
        yield lambda what, share: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn

    columns = (BarColumn(), TaskProgressColumn(), TextColumn("{task.description}", markup=False))
    with Progress(*columns, console=Console(stderr=True, no_color=True), transient=True) as bar:
        task = bar.add_task("", total=1.0)
        yield lambda what, share: bar.update(task, description=shown(what), completed=share)


def say(text: str) -> None:
    """Print one line on stdout, with nothing in it that steers a terminal."""
    typer.echo(shown(text))


def say_sentence(text: str) -> None:
    """Print words without a path on stdout: one line, but on a terminal too narrow for it broken at blanks."""
    width = terminal_width()
    lines = wrap(text, width, break_long_words=False, break_on_hyphens=False) if width else [text]
    for line in lines:
        say(line)


def hand_over(text: str) -> None:
    """Print data for another program as it stands; on a terminal, what would steer it is written out."""
    typer.echo(shown_lines(text) if sys.stdout.isatty() else text, nl=False)


# Weight and grey only: a colour would say something, and what is said stands in the words.
STYLES: dict[str, dict[str, bool]] = {"head": {"bold": True}, "place": {"dim": True}}


def print_lines(lines: Iterable["Line"]) -> None:
    """Print lines, heads bold and places dim on a terminal; plain elsewhere, or where NO_COLOR asks for it."""
    plain = is_plain()
    for line in lines:
        text = shown(line.text)
        typer.echo(text if plain else typer.style(text, **STYLES.get(line.kind, {})))


def bold(text: str) -> str:
    """The text in bold, where the terminal may be written to so."""
    return text if is_plain() else typer.style(text, bold=True)


def is_plain() -> bool:
    """Whether stdout takes text only: it is no terminal, or NO_COLOR asks for it (any value but an empty one)."""
    return not sys.stdout.isatty() or bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"


def terminal_width() -> int | None:
    """How many characters a line of the terminal holds; None where there is no terminal to wrap for."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None
