"""Questions to the forecast of spend: what if, and how good it was."""

from pathlib import Path
from typing import Annotated

import typer

from fleetreport.commands import log
from fleetreport.commands.terminal import parse_day, progress, say


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
    from fleetreport.trials.changes import read_changes
    from fleetreport.trials.what_if import make_what_if

    day = parse_day(as_of) if as_of else None
    changes = read_changes(labour_rate, interval or [], price or [], distance, retire or [])
    with progress() as tell:
        done = make_what_if(fleet, day, out, changes, tell)
    if changes.intervals:
        log.note("the maker's schedule and the law come first; a longer interval may not be yours to choose")
    for line in (*changes.told(), *done.summary()):
        say(line)
    say(f"written: {out / 'what_if.html'}, {out / 'what_if.xlsx'}, {out / 'data' / 'what_if.csv'}")


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
    from fleetreport.trials.money_backtest import make_money_backtest

    day = parse_day(as_of) if as_of else None
    with progress() as tell:
        done = make_money_backtest(fleet, day, out, tell)
    for line in done.lines():
        say(line)
    say(f"written: {out / 'backtest_money.html'}, {out / 'data' / 'money_backtest.csv'}")
