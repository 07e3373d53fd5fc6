"""The first minutes with the program: new, guide."""

import os
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fleetreport.commands import log
from fleetreport.commands.terminal import bold, hand_over, say, terminal_width

if TYPE_CHECKING:
    from fleetreport.starting.guides import Guide

WIDEST_TEXT = 110


def new(
    folder: Annotated[Path, typer.Argument(help="The folder to make; it may exist if it is empty.", metavar="DIR")],
) -> None:
    """Make a fleet folder to start from: commented settings, and small files with invented rows to replace.

    \b
    Example:
      fleetreport new my_fleet

    Exit codes: 0 the folder is made, 2 it holds something already, 3 it cannot be written.
    """
    from fleetreport.starting.new_folder import as_argument, make_folder

    names = make_folder(folder, date.today())
    say(f"written into {folder}: {', '.join(names)}")
    where = as_argument(folder)
    say("")
    say("The rows are invented. Look at what they make, then replace them by your own:")
    for command in (f"check {where}", f"week {where}", "guide first_report"):
        say(f"  fleetreport {command}")


def _topics(begun: str) -> list[tuple[str, str]]:
    """The topics that begin so, each with what it is about, for completion."""
    from fleetreport.starting.guides import guides

    return [(one.topic, one.about) for one in guides() if one.topic.startswith(begun)]


def guide(
    topic: Annotated[
        str | None,
        typer.Argument(
            help="What to read about. Default: the list of topics.", metavar="TOPIC", autocompletion=_topics
        ),
    ] = None,
    browser: Annotated[bool, typer.Option("--browser", help="Show it as a page in the browser.")] = False,
) -> None:
    """Read the user guides: in a pager on a terminal, as plain text elsewhere.

    \b
    Examples:
      fleetreport guide
      fleetreport guide due_dates
      fleetreport guide settings --browser

    Exit codes: 0 it is shown, 2 there is no such topic, 3 it cannot be read or written.
    """
    from fleetreport.starting.guides import CONTENTS, guides, text_of, topic_meant

    there = guides()
    meant = topic_meant(topic, there) if topic else None
    if browser:
        _in_the_browser(meant or CONTENTS)
    elif meant is None:
        _list_topics(there)
    elif sys.stdout.isatty():
        _in_the_pager(text_of(meant))
    else:
        hand_over(text_of(meant))


def _list_topics(there: "Sequence[Guide]") -> None:
    """The topics under their headings, what each is about beside it or, on a narrow terminal, below it."""
    import textwrap

    width = terminal_width() or 120
    column = max(len(one.topic) for one in there) + 4
    narrow = width < column + 40
    head = ""
    for one in there:
        if one.head != head:
            head = one.head
            typer.echo(f"\n{bold(head)}")
        further = " " * (4 if narrow else column)
        first = f"  {one.topic}".ljust(len(further))
        if narrow:
            say(first)
            first = further
        typer.echo(textwrap.fill(one.about, width, initial_indent=first, subsequent_indent=further))
    typer.echo("\nfleetreport guide TOPIC shows one, with --browser as a page.")


def _in_the_pager(text: str) -> None:
    """Laid out for the width of the terminal; where colours are not wanted, without any."""
    import pydoc

    from rich.console import Console
    from rich.markdown import Markdown

    width = min(terminal_width() or 80, WIDEST_TEXT)
    bare = bool(os.environ.get("NO_COLOR"))
    console = Console(width=width, force_terminal=True, color_system=None if bare else "standard", no_color=True)
    with console.capture() as laid_out:
        console.print(Markdown(text, code_theme="bw", hyperlinks=False))
    # As others ask it of `less`: end at once if all fits on the screen, let weight through, leave the text there.
    os.environ.setdefault("LESS", "FRX")
    pydoc.pager("\n".join(line.rstrip() for line in laid_out.get().splitlines()) + "\n")


def _in_the_browser(topic: str) -> None:
    import tempfile
    import webbrowser

    from fleetreport.starting.guide_pages import write_guide_pages

    # The browser reads the files after this has ended, so that they cannot be cleared away here.
    page = write_guide_pages(Path(tempfile.mkdtemp(prefix="fleetreport-guide-")))[topic]
    say(f"written: {page}")
    if not webbrowser.open(page.as_uri()):
        log.note("no browser could be opened; open the file named above in one")
