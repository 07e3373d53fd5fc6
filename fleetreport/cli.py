"""The command line: reads the call, shows progress to a person, turns faults into one line and an exit code.

Nothing else in the package prints or exits. What takes long to import is imported by the command that needs it.
"""

import os
import re
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from fleetreport import __version__
from fleetreport.problem import CannotReadOrWrite, Exit, StopRun, WrongCall

app = typer.Typer(add_completion=True, no_args_is_help=True, rich_markup_mode=None, pretty_exceptions_enable=False)


def _version(asked: bool) -> None:
    if asked:
        typer.echo(f"fleetreport {__version__}")
        raise typer.Exit


@app.callback()
def fleetreport(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    """Which vehicles to bring in this week and why, from odometer exports and service histories."""


@app.command()
def week(
    fleet: Annotated[
        Path, typer.Argument(help="The fleet folder: vehicles.csv, tasks.csv, readings …", metavar="FLEET")
    ],
    as_of: Annotated[
        str,
        typer.Option(help="The day the report is for, such as 2026-11-25; nothing later is used. Default: today."),
    ] = "",
    out: Annotated[Path, typer.Option(help="Where the reports go.")] = Path("out"),
    store: Annotated[
        Path | None,
        typer.Option(help="The database file. Default: .fleetreport/store.duckdb in the fleet folder."),
    ] = None,
    parquet: Annotated[bool, typer.Option("--parquet", help="Also write the tables as Parquet.")] = False,
) -> None:
    """Write the week's reports: what is due and overdue, and why.

    \b
    Examples:
      fleetreport week sample_fleet --as-of 2026-11-25 --out out
      fleetreport week /srv/fleet --out /srv/reports --parquet

    Exit codes: 0 the reports are written, 2 the call or a setting is wrong, 3 an input or output could not be read
    or written.
    """
    from fleetreport.week import make_week

    day = parse_day(as_of) if as_of else None
    with _progress() as tell:
        done = make_week(fleet, day, out, store, parquet, tell)
    for note in done.notes:
        typer.echo(f"note: {note}", err=True)
    typer.echo(
        f"{done.as_of}: {_count(done.vehicles, 'vehicle')} in service; "
        f"{_count(done.overdue, 'task')} overdue, {done.due} due, {done.not_judged} not judged; "
        f"{_count(done.set_aside, 'thing')} of the input set aside"
    )
    typer.echo(f"written: {out / 'week.html'}, {out / 'week.xlsx'}, {out / 'data'}")


@app.command()
def backtest(
    fleet: Annotated[Path, typer.Argument(help="The fleet folder.", metavar="FLEET")],
    as_of: Annotated[
        str, typer.Option(help="The last day of which readings are used, such as 2026-11-25. Default: today.")
    ] = "",
    out: Annotated[Path, typer.Option(help="Where the result goes.")] = Path("out"),
    every: Annotated[
        int, typer.Option(min=1, max=120, metavar="MONTHS", help="Look at each meter every so many months.")
    ] = 3,
    history: Annotated[
        int, typer.Option(min=1, max=120, metavar="MONTHS", help="Months of readings before the first look.")
    ] = 12,
    every_days: Annotated[
        int | None,
        typer.Option(min=1, max=366, metavar="DAYS", help="Look every so many days instead: for meters read daily."),
    ] = None,
    store: Annotated[
        Path | None,
        typer.Option(help="The database file. Default: .fleetreport/backtest.duckdb in the fleet folder."),
    ] = None,
) -> None:
    """Replay past days and judge the projections made on them by what came after.

    \b
    Examples:
      fleetreport backtest sample_fleet --as-of 2026-11-25 --out out
      fleetreport backtest /srv/fleet --every 1 --history 6

    Exit codes: 0 the result is written, 2 the call or a setting is wrong, 3 an input or output could not be read or
    written, or the readings do not reach back far enough.
    """
    from fleetreport.backtest import Looks, make_backtest

    day = parse_day(as_of) if as_of else None
    with _progress() as tell:
        done = make_backtest(fleet, day, out, store, Looks(every, history, every_days), tell)
    for note in done.notes:
        typer.echo(f"note: {note}", err=True)
    typer.echo(f"{_count(done.days, 'past day')} replayed, {done.first_day} to {done.last_day}; error ratios:")
    for line in done.lines():
        typer.echo(line)
    typer.echo(f"written: {out / 'backtest.html'}, {out / 'data' / 'backtest.csv'}")


@app.command()
def send(
    out: Annotated[Path, typer.Argument(help="The folder a week was written into.", metavar="OUT")],
    fleet: Annotated[
        Path, typer.Option(help="The fleet folder: its fleet.toml names the recipients and the server.")
    ] = Path(),
    really: Annotated[bool, typer.Option("--really", help="Send. Without this, only say what would be sent.")] = False,
) -> None:
    """Send the week's letters to the people named in fleet.toml, each once. Without --really nothing is sent.

    \b
    Examples:
      fleetreport send out --fleet sample_fleet
      fleetreport send /srv/reports --fleet /srv/fleet --really

    Exit codes: 0 all is sent (or would be), 2 the call or a setting is wrong, 3 a message could not be read or was not
    accepted; run it again to try those once more.
    """
    from fleetreport.send import letters_in, plan_of, send_all
    from fleetreport.settings import read_settings

    settings = read_settings(fleet)
    log = fleet / ".fleetreport" / "sent.tsv"
    plan = plan_of(letters_in(out), settings, log)
    for one in plan.not_named:
        typer.echo(f"note: {one.name}: {one.recipient} is not named under [mail] in fleet.toml: nothing sent", err=True)
    for one in plan.sent_before:
        typer.echo(f"{one.name}: {one.recipient}: sent before")
    if not really:
        for one in plan.to_send:
            typer.echo(f"{one.name}: {one.recipient}: would be sent: {one.message['Subject']}")
        typer.echo(f"nothing was sent; {_count(len(plan.to_send), 'message')} would be with --really")
        return
    outcome = send_all(plan.to_send, settings, log)
    for one in outcome.sent:
        typer.echo(f"{one.name}: {one.recipient}: sent")
    if outcome.refused:
        raise CannotReadOrWrite(
            *(f"{one.name}: {one.recipient}: not accepted: {why}" for one, why in outcome.refused),
            help="what was accepted is not sent again: mend the cause and run this again",
        )


@app.command()
def describe(
    file: Annotated[Path, typer.Argument(help="A file of any sort: CSV, XLSX, Parquet, JSON Lines …", metavar="FILE")],
    table: Annotated[str, typer.Option(help="Take it for this table: readings, history …")] = "",
    sheet: Annotated[str, typer.Option(help="The sheet of a workbook.")] = "",
) -> None:
    """Say what a strange file is, and print a [[source]] section for fleet.toml.

    \b
    Examples:
      fleetreport describe fuel_cards.xlsx
      fleetreport describe fleet/fuel.csv --table history >> fleet/fleet.toml

    Exit codes: 0 described, 2 the call is wrong, 3 the file could not be read.
    """
    from fleetreport.describe import describe as described

    typer.echo(described(file, table, sheet), nl=False)


def _count(number: int, word: str) -> str:
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
def _progress() -> Iterator[Callable[[str, float], None]]:
    """A bar that tells what is being done and how much is, on a terminal only; it goes when the work is done."""
    if not sys.stderr.isatty():
        yield lambda what, share: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn

    columns = (BarColumn(), TaskProgressColumn(), TextColumn("{task.description}", markup=False))
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=1.0)
        yield lambda what, share: bar.update(task, description=what, completed=share)


def main() -> None:
    """Run the command line and exit with one of the codes of `Exit`; no traceback reaches the user."""
    try:
        app(standalone_mode=False, prog_name="fleetreport")
    except StopRun as stop:
        for message in stop.messages:
            typer.echo(f"error: {message}", err=True)
        if stop.help:
            typer.echo(f"    help: {stop.help}", err=True)
        sys.exit(stop.code)
    except typer.Abort:
        sys.exit(130)
    except Exception as error:
        _unforeseen(error)
    sys.exit(Exit.WRITTEN)


def _unforeseen(error: Exception) -> None:
    # Typer's own messages for a wrong call know how to show themselves.
    if hasattr(error, "show") and hasattr(error, "exit_code"):
        error.show()
        sys.exit(Exit.WRONG_CALL)
    if os.environ.get("FLEETREPORT_DEBUG"):
        raise error
    kind = type(error).__name__
    first = (str(error).splitlines() or [""])[0]
    typer.echo(f"error: the run stopped on something unforeseen: {kind}: {first}", err=True)
    typer.echo("    help: set FLEETREPORT_DEBUG=1 to see where, and report it", err=True)
    sys.exit(Exit.CANNOT_READ_OR_WRITE)
