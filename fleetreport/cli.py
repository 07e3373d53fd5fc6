"""The command line: which commands there are, how an error ends the run, and with which exit code.

Nothing else in the package but `commands/` prints or exits.
"""

import logging
import os
import sys
from collections.abc import Callable
from functools import wraps
from inspect import Parameter, signature
from io import StringIO
from typing import Annotated

import typer

from fleetreport import __version__
from fleetreport.commands import first_steps, log, money, reports
from fleetreport.commands import input as input_commands
from fleetreport.commands.plain import shown_lines
from fleetreport.problem import Exit, StopRun

INTERRUPTED = 130  # 128 + SIGINT, as shells have it
# Databases, logs and reports are not for other users; `[outputs] readable_by` opens the reports.
OWNER_ALONE = 0o077

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


def _told_of(command: Callable[..., None]) -> Callable[..., None]:
    """The command with the option that says how its run is told of; `log` looks for it in the call itself."""

    @wraps(command)
    def run(*values: object, log_json: bool = False, **named: object) -> None:
        before = os.umask(OWNER_ALONE)
        try:
            command(*values, **named)
        finally:
            os.umask(before)

    asked = Annotated[bool, typer.Option(log.OPTION, help=f"Tell of the run in JSON lines on stderr ({log.HOW}).")]
    own = signature(command)
    option = Parameter("log_json", Parameter.KEYWORD_ONLY, default=False, annotation=asked)
    run.__signature__ = own.replace(parameters=[*own.parameters.values(), option])  # type: ignore[attr-defined]
    run.__annotations__ = {**command.__annotations__, "log_json": asked}
    return run


# In the order of a person's first days, each with its line in the list of commands.
COMMANDS: dict[str, tuple[Callable[..., None], str]] = {
    "new": (first_steps.new, "Make a fleet folder to start from."),
    "describe": (input_commands.describe, "Say what a strange file is, for fleet.toml."),
    "check": (input_commands.check, "List what is wrong with the files, and where."),
    "week": (reports.week, "Write the week's reports: what is due and why."),
    "shard": (reports.shard, "Split a fleet for week --cluster."),
    "why": (input_commands.why, "Say how each figure of a vehicle came about."),
    "send": (reports.send, "Send the week's letters, each once."),
    "loads": (input_commands.loads, "Show what was loaded from which file, and when."),
    "what-if": (money.what_if, "Show the forecast with something changed."),
    "backtest": (reports.backtest, "Judge past projections by what came after."),
    "backtest-money": (money.backtest_money, "Judge past forecasts of spend by what was paid."),
    "guide": (first_steps.guide, "Read the user guides."),
}
for name, (command, in_short) in COMMANDS.items():
    app.command(name, short_help=in_short)(_told_of(command))


def main() -> None:
    """Run the command line and exit with one of the codes of `Exit`; no traceback reaches the user."""
    if not os.environ.get("FLEETREPORT_DEBUG"):
        # What a library's objects fail at while they are cleared away is told of as a traceback.
        sys.unraisablehook = lambda _: None
    # What Matplotlib says of its caches where no home can be written is neither for the user nor JSON.
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    code = _run()
    log.end(code)
    sys.exit(code)


def _run() -> int:
    try:
        log.begin(sys.argv[1:])
        app(standalone_mode=False, prog_name="fleetreport")
    except StopRun as stop:
        log.errors(stop.messages, stop.help)
        return stop.code
    except typer.Abort:
        return INTERRUPTED
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else Exit.CANNOT_READ_OR_WRITE
    except Exception as error:
        return _unforeseen(error)
    return Exit.WRITTEN


def _unforeseen(error: Exception) -> int:
    # Typer's own messages for a wrong call know how to show themselves.
    if hasattr(error, "show") and hasattr(error, "format_message"):
        if log.is_json():
            log.errors([error.format_message()])
        else:
            told = StringIO()
            error.show(told)
            typer.echo(shown_lines(told.getvalue()), err=True, nl=False)
        return Exit.WRONG_CALL
    if os.environ.get("FLEETREPORT_DEBUG"):
        raise error
    kind = type(error).__name__
    first = (str(error).splitlines() or [""])[0]
    log.errors(
        [f"the run stopped on something unforeseen: {kind}: {first}"],
        "set FLEETREPORT_DEBUG=1 to see where, and report it",
    )
    return Exit.CANNOT_READ_OR_WRITE
