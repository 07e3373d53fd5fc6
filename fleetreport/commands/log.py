"""What a run tells on stderr: lines for a person or, where asked for, a JSON object a line for a program.

A person is told notes and errors. A program is told of these too, and of the begin, the counts and the end of each run,
so that a monitor needs to read nothing else. Logs carry the clock's time, since they are no reports. What is printed on
stdout is the same either way. Nothing here knows what a command does.
"""

import json
import os
import sys
import time
from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import PurePath

import typer

from fleetreport.commands.plain import shown, shown_in_json
from fleetreport.problem import WrongCall

OPTION, VARIABLE = "--log-json", "FLEETREPORT_LOG"
HOW = f"as {VARIABLE}=json does"


class _State:
    is_json = False
    command = ""
    began = 0.0


def begin(arguments: Sequence[str]) -> None:
    """Look how the run wants to be told of, and tell that it begins.

    Looked for in the call itself, before it is parsed: a call that is wrong is told of in the same way. Raises
    WrongCall where the environment variable says what is neither `json` nor `text`.
    """
    asked = os.environ.get(VARIABLE, "").strip().lower()
    _State.is_json = OPTION in arguments or asked == "json"
    _State.command = next((argument for argument in arguments if not argument.startswith("-")), "")
    _State.began = time.monotonic()
    if asked not in ("", "json", "text"):
        raise WrongCall(f'{VARIABLE}: found "{os.environ[VARIABLE]}", expected json or text')
    if _State.is_json:
        _write("info", "begin")


def note(text: str) -> None:
    """What a person should know at once, though the run goes on."""
    if _State.is_json:
        _write("warning", "note", message=text)
    else:
        typer.echo(f"note: {shown(text)}", err=True)


def errors(messages: Sequence[str], help: str = "") -> None:
    """Why the run stops, a line for each reason, and what to do about it."""
    for at, message in enumerate(messages, 1):
        if _State.is_json:
            _write("error", "error", message=message, **({"help": help} if help and at == len(messages) else {}))
        else:
            typer.echo(f"error: {shown(message)}", err=True)
    if help and not _State.is_json:
        typer.echo(f"    help: {shown(help)}", err=True)


def counts(**found: object) -> None:
    """What the run came to, by name. Only a program is told: for a person it stands on stdout."""
    if _State.is_json:
        _write("info", "counts", **found)


def end(exit_code: int) -> None:
    """The run is over."""
    if _State.is_json:
        _write("error" if exit_code > 1 else "info", "end", exit_code=exit_code,
               seconds=round(time.monotonic() - _State.began, 3))  # fmt: skip


def is_json() -> bool:
    """Whether a program reads along."""
    return _State.is_json


def _write(level: str, event: str, **fields: object) -> None:
    moment = datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    said = {"time": moment, "level": level, "command": _State.command, "event": event, **fields}
    print(shown_in_json(json.dumps(said, ensure_ascii=False, default=_told)), file=sys.stderr, flush=True)


def _told(value: object) -> str:
    return value.isoformat() if isinstance(value, date) else str(value) if isinstance(value, PurePath) else repr(value)
