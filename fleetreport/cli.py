"""The command line: reads the call, shows progress to a person, turns faults into one line and an exit code.

Nothing else in the package prints or exits. What takes long to import is imported by the command that needs it.
"""

import os
import re
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fleetreport import __version__
from fleetreport.problem import CannotReadOrWrite, Exit, StopRun, WrongCall

if TYPE_CHECKING:
    from fleetreport.check_report import Line

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
    typer.echo(f"written: {out / 'week.html'}, {out / 'order.html'}, {out / 'week.xlsx'}, {out / 'data'}")


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
def loads(
    fleet: Annotated[Path, typer.Argument(help="The fleet folder.", metavar="FLEET")],
    store: Annotated[
        Path | None,
        typer.Option(help="The database file. Default: .fleetreport/store.duckdb in the fleet folder."),
    ] = None,
    log: Annotated[
        bool, typer.Option("--log", help="Show when files were loaded, replaced or withdrawn instead.")
    ] = False,
    as_csv: Annotated[bool, typer.Option("--csv", help="Print CSV.")] = False,
) -> None:
    """Show what was loaded from which file, and when.

    Looks at what the last run remembers and reads no file of the folder but fleet.toml.

    \b
    Examples:
      fleetreport loads sample_fleet
      fleetreport loads /srv/fleet --log --csv

    Exit codes: 0 shown, 2 the call or a setting is wrong, 3 there is no database yet or it cannot be read.
    """
    from fleetreport import load_log

    found = load_log.read_loads(fleet, store)
    if as_csv:
        typer.echo(
            load_log.as_csv(load_log.LogLine, found.log) if log else load_log.as_csv(load_log.LoadedFile, found.files),
            nl=False,
        )
        return
    for line in load_log.log_as_lines(found.log) if log else load_log.files_as_lines(found.files):
        typer.echo(line)
    taken = sum(line.event in ("replaced", "withdrawn") for line in found.log)
    if taken and not log:
        typer.echo(f"\n{_count(taken, 'time')} a file was replaced or withdrawn; --log shows when")


@app.command()
def check(
    fleet: Annotated[Path, typer.Argument(help="The fleet folder.", metavar="FLEET")],
    as_of: Annotated[
        str, typer.Option(help="The day to look from, such as 2026-11-25; nothing later is used. Default: today.")
    ] = "",
    out: Annotated[Path, typer.Option(help="Where the page goes.")] = Path("out"),
) -> None:
    """List everything that is wrong with the files of a fleet, the worst first, and where to mend it.

    \b
    Examples:
      fleetreport check sample_fleet --as-of 2026-11-25 --out out
      fleetreport check /srv/fleet | less

    Exit codes: 0 there is nothing to mend, 1 there is, 2 the call is wrong, 3 the folder cannot be read or the page
    not be written. What is only there to be looked at (words that no rule reads, items without a price, tasks that
    cannot be judged, columns that are not used) makes no 1.
    """
    from fleetreport.check_report import report_lines, summary, wrapped
    from fleetreport.fleet_check import check_fleet

    day = parse_day(as_of) if as_of else None
    with _progress() as tell:
        done = check_fleet(fleet, day, out, tell)
    for note in done.notes:
        typer.echo(f"note: {note}", err=True)
    _print(wrapped(report_lines(done.findings), _terminal_width()))
    typer.echo(f"{done.as_of}: {summary(done.findings)}")
    typer.echo(f"written: {out / 'check.html'}, {out / 'data' / 'check.csv'}")
    sys.exit(Exit.ROWS_TO_MEND if done.findings.to_mend else Exit.WRITTEN)


@app.command()
def why(
    vehicle: Annotated[str, typer.Argument(help="The vehicle, as in vehicles.csv.", metavar="VEHICLE")],
    task: Annotated[
        str | None, typer.Argument(help="One of its tasks. Default: all, in short.", metavar="[TASK]")
    ] = None,
    fleet: Annotated[Path, typer.Option(help="The fleet folder. Default: the folder this is called in.")] = Path(),
    as_of: Annotated[
        str, typer.Option(help="The day to explain, such as 2026-11-25; nothing later is used. Default: today.")
    ] = "",
) -> None:
    """Say how each figure of a vehicle came about, back to file and line.

    \b
    Examples:
      fleetreport why L05 --fleet sample_fleet --as-of 2026-11-25
      fleetreport why L05 engine_oil --fleet sample_fleet --as-of 2026-11-25

    Exit codes: 0 it is told, 2 the call or a setting is wrong, 3 an input could not be read.
    """
    from fleetreport.check_report import wrapped
    from fleetreport.why import why as explain

    day = parse_day(as_of) if as_of else None
    with _progress() as tell:
        done = explain(fleet, vehicle, task, day, tell)
    typer.echo(f"As of {done.as_of}; distances since new, in the vehicle's own unit")
    _print(wrapped(done.lines, _terminal_width()))
    typer.echo("An estimate from these records, not a decision that a vehicle is safe to use.")


# Weight and grey only: a colour would say something, and what is said stands in the words.
STYLES: dict[str, dict[str, bool]] = {"head": {"bold": True}, "place": {"dim": True}}


def _print(lines: Iterable["Line"]) -> None:
    """Print lines, heads bold and places dim on a terminal; plain elsewhere, or where NO_COLOR asks for it."""
    plain = not sys.stdout.isatty() or bool(os.environ.get("NO_COLOR"))
    for line in lines:
        typer.echo(line.text if plain else typer.style(line.text, **STYLES.get(line.kind, {})))


def _terminal_width() -> int | None:
    """How many characters a line of the terminal holds; None where there is no terminal to wrap for."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None


@app.command("backtest-money")
def backtest_money(
    fleet: Annotated[Path, typer.Argument(help="The fleet folder.", metavar="FLEET")],
    as_of: Annotated[str, typer.Option(help="The last day of what is known, such as 2026-11-25. Default: today.")] = "",
    out: Annotated[Path, typer.Option(help="Where the result goes.")] = Path("out"),
) -> None:
    """Judge the forecasts of spend that would have been made a year ago and before by what was paid since.

    \b
    Example:
      fleetreport backtest-money sample_fleet --as-of 2026-11-25 --out out

    Exit codes: 0 the result is written, 2 the call or a setting is wrong, 3 an input or output could not be read or
    written, or the history does not reach back far enough.
    """
    from fleetreport.money_backtest import make_money_backtest

    day = parse_day(as_of) if as_of else None
    with _progress() as tell:
        done = make_money_backtest(fleet, day, out, tell)
    for line in done.lines():
        typer.echo(line)
    typer.echo(f"written: {out / 'data' / 'money_backtest.csv'}")


@app.command("what-if")
def what_if(
    fleet: Annotated[Path, typer.Argument(help="The fleet folder.", metavar="FLEET")],
    as_of: Annotated[str, typer.Option(help="The day of the forecast, such as 2026-11-25. Default: today.")] = "",
    out: Annotated[Path, typer.Option(help="Where the result goes.")] = Path("out"),
    labour_rate: Annotated[str, typer.Option(metavar="RATE", help="What an hour of labour costs.")] = "",
    interval: Annotated[
        list[str] | None,
        typer.Option(metavar="TASK=LENGTH", help="A task's interval: engine_oil=12000km, 500h or 6mo."),
    ] = None,
    price: Annotated[
        list[str] | None,
        typer.Option(metavar="ITEM=PRICE", help="An item's price: engine_oil=7.40 or =+10%; * is all."),
    ] = None,
    distance: Annotated[str, typer.Option(metavar="SHARE", help="Distance a day: +10% or -5%.")] = "",
    retire: Annotated[list[str] | None, typer.Option(metavar="CLASS", help="A class retired on that day.")] = None,
) -> None:
    """Show what the forecast would be if something were different, beside what it is. The store is left alone.

    \b
    Examples:
      fleetreport what-if sample_fleet --as-of 2026-11-25 --labour-rate 72 --distance +10%
      fleetreport what-if /srv/fleet --interval engine_oil=12000km --price engine_oil_heavy=+10% --retire trailer

    Exit codes: 0 the result is written, 2 the call or a setting is wrong, 3 an input or output could not be read or
    written.
    """
    from fleetreport.changes import read_changes
    from fleetreport.what_if import make_what_if

    day = parse_day(as_of) if as_of else None
    changes = read_changes(labour_rate, interval or [], price or [], distance, retire or [])
    with _progress() as tell:
        done = make_what_if(fleet, day, out, changes, tell)
    if changes.intervals:
        typer.echo(
            "note: the maker's schedule and the law come first; a longer interval may not be yours to choose", err=True
        )
    for line in (*changes.told(), *done.summary()):
        typer.echo(line)
    typer.echo(f"written: {out / 'what_if.xlsx'}, {out / 'data' / 'what_if.csv'}")


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
