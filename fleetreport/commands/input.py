"""What was read and what is wrong with it: check, describe, loads, why."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from fleetreport.commands import log as run_log
from fleetreport.commands.terminal import (
    counted,
    hand_over,
    parse_day,
    print_lines,
    progress,
    say,
    say_sentence,
    terminal_width,
)
from fleetreport.problem import CannotReadOrWrite, Exit


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
    from fleetreport.checking.check_report import report_lines, summary, wrapped
    from fleetreport.checking.fleet_check import check_fleet

    day = parse_day(as_of) if as_of else None
    with progress() as tell:
        done = check_fleet(fleet, day, out, tell)
    for note in done.notes:
        run_log.note(note)
    print_lines(wrapped(report_lines(done.findings), terminal_width()))
    run_log.counts(as_of=done.as_of, to_mend=done.findings.to_mend, to_look_at=done.findings.to_look_at)
    say_sentence(f"{done.as_of}: {summary(done.findings)}")
    say(f"written: {out / 'check.html'}, {out / 'data' / 'check.csv'}")
    sys.exit(Exit.ROWS_TO_MEND if done.findings.to_mend else Exit.WRITTEN)


def _tables(begun: str) -> list[str]:
    """The tables whose name begins so, for completion."""
    from fleetreport.tables import BY_NAME

    return [name for name in BY_NAME if name.startswith(begun)]


def describe(
    file: Annotated[Path, typer.Argument(help="A file of any sort: CSV, XLSX, Parquet, JSON Lines …", metavar="FILE")],
    table: Annotated[
        str, typer.Option(help="Take it for this table: readings, history …", autocompletion=_tables)
    ] = "",
    sheet: Annotated[str, typer.Option(help="The sheet of a workbook.")] = "",
    fleet: Annotated[
        Path | None,
        typer.Option(help="The fleet folder: its vehicles tell which column names them. Default: the one it is in."),
    ] = None,
) -> None:
    """Say what a strange file is, and print a [[source]] section for fleet.toml.

    \b
    Examples:
      fleetreport describe fuel_cards.xlsx
      fleetreport describe fleet/fuel.csv --table history >> fleet/fleet.toml
      fleetreport describe Downloads/export.csv --fleet fleet

    Exit codes: 0 described, 2 the call is wrong, 3 the file could not be read.
    """
    from fleetreport.describing.describe import describe as described

    if fleet and not fleet.is_dir():
        raise CannotReadOrWrite(f"--fleet: {fleet}: found no such folder, expected a fleet folder")
    hand_over(described(file, table, sheet, fleet))


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
    from fleetreport.storing import load_log

    found = load_log.read_loads(fleet, store)
    if as_csv:
        hand_over(
            load_log.as_csv(load_log.LogLine, found.log) if log else load_log.as_csv(load_log.LoadedFile, found.files)
        )
        return
    for line in load_log.log_as_lines(found.log) if log else load_log.files_as_lines(found.files):
        say(line)
    taken = sum(line.event in ("replaced", "withdrawn") for line in found.log)
    if taken and not log:
        say("")
        say_sentence(f"{counted(taken, 'time')} a file was replaced or withdrawn; --log shows when")


def why(
    vehicle: Annotated[str, typer.Argument(help="The vehicle, as in vehicles.csv.", metavar="VEHICLE")],
    task: Annotated[
        str | None, typer.Argument(help="One of its tasks. Default: all, in short.", metavar="TASK")
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
    from fleetreport.checking.check_report import wrapped
    from fleetreport.why.why import why as explain

    day = parse_day(as_of) if as_of else None
    with progress() as tell:
        done = explain(fleet, vehicle, task, day, tell)
    say_sentence(f"As of {done.as_of}; distances since new, in the vehicle's own unit")
    print_lines(wrapped(done.lines, terminal_width()))
    say_sentence("An estimate from these records, not a decision that a vehicle is safe to use.")
