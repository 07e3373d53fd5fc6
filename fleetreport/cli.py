"""The command line: which commands there are, how an error ends the run, and with which exit code.

Nothing else in the package but `commands/` prints or exits.
"""

import os
import sys
from typing import Annotated

import typer

from fleetreport import __version__
from fleetreport.commands import input as input_commands
from fleetreport.commands import money, reports
from fleetreport.problem import Exit, StopRun

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


app.command()(reports.week)
app.command()(reports.send)
app.command()(input_commands.check)
app.command()(input_commands.describe)
app.command()(input_commands.why)
app.command()(input_commands.loads)
app.command("what-if")(money.what_if)
app.command("backtest")(reports.backtest)
app.command("backtest-money")(money.backtest_money)


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
