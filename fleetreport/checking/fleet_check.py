"""Look through everything of a fleet folder and list what is wrong with it, without stopping at the first thing.

The folder goes the way of a week: settings, files, rows, readings, wordings, plan. What cannot be read on the way (a
setting, a file, a table that is missing) is put down and the rest goes on, with default settings if it must. The work
is done in a database of its own that is thrown away, so that the week's store stays as it is.
"""

import re
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.checking.check_report import Findings, check_page, read_findings
from fleetreport.checking.nearest import note_nearest
from fleetreport.languages.catalogues import CATALOGUES
from fleetreport.placing import put_in_place
from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.publishing import write_table
from fleetreport.query import beside_the_package, load_macros, run_all
from fleetreport.reading.rows import InputFile, find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import begin_run, one_transaction, open_only_to, passing_store
from fleetreport.tables import TABLES
from fleetreport.week import makers_of

MADE = ("faults", "first_places")
# "file:line: what is wrong", the line left out where the whole file is meant.
SAID_OF_A_FILE = re.compile(r"(?P<file>[^:]+?)(?::(?P<line>\d+))?: (?P<said>.+)", re.DOTALL)

Fault = tuple[str, str]


class Checked(NamedTuple):
    """What a check found, the day it is for, and notes on what could not be looked at."""

    as_of: date
    findings: Findings
    notes: list[str]


def check_fleet(
    fleet: Path, as_of: date | None, out: Path, tell: Callable[[str, float], None] = lambda what, share: None
) -> Checked:
    """List everything wrong with the fleet's files as of a day (None: today where the fleet is), and write the page.

    Raises CannotReadOrWrite where the folder cannot be read or `out` cannot be written; nothing else stops it.
    """
    faults: list[Fault] = []
    if not fleet.is_dir():
        raise CannotReadOrWrite(f"{fleet}: found no such folder, expected a fleet folder")
    try:
        settings = read_settings(fleet)
    except (WrongCall, CannotReadOrWrite) as stop:
        settings = Settings()
        faults += [("setting", said.removeprefix(f"{fleet}/")) for said in stop.messages]
    unreadable: list[str] = []
    files, remarks = find_files(fleet, settings.source, unreadable)
    faults += [("file", said.removeprefix(f"{fleet}/")) for said in unreadable]
    faults += [("unused", said) for said in remarks]
    if out.exists() and not out.is_dir():
        raise CannotReadOrWrite(f"{out}: found a file, expected a folder to write the page into")
    day = as_of or settings.today()
    with passing_store(settings) as db:
        _look_through(db, files, settings, day, fleet.resolve().name, faults, tell, out)
        findings = read_findings(db)
        notes = _notes(db, files, faults)
        with put_in_place(out, readable_by=settings.outputs.readable_by) as aside:
            write_table(db, "check_places", aside / "data" / "check.csv", "format csv, header")
            page = check_page(db, findings, notes, CATALOGUES[settings.fleet.language])
            (aside / "check.html").write_text(page, encoding="utf-8", newline="\n")
    return Checked(day, findings, notes)


def _look_through(
    db: duckdb.DuckDBPyConnection,
    files: Sequence[InputFile],
    settings: Settings,
    as_of: date,
    fleet_name: str,
    faults: list[Fault],
    tell: Callable[[str, float], None],
    out: Path,
) -> None:
    """Make the tables of the check; when the files are read, the database is open only to `out`.

    Files that cannot be read are added to `faults`.
    """
    unreadable: list[str] = []
    changes = stage(db, files, settings, lambda name: tell(name, 0.0), unreadable)
    faults += [("file", said) for said in unreadable]
    load_macros(db, beside_the_package("queries"))
    open_only_to(db, out)
    made = makers_of(MADE, "check")
    names = [one.table for one in made]
    with one_transaction(db):
        keep(db, changes)
        begin_run(db, settings, as_of, fleet_name)
        write_faults(db, faults)
        run_all(db, made, lambda name: tell(name, names.index(name) / len(names)))
        note_nearest(db)


def write_faults(db: duckdb.DuckDBPyConnection, faults: Sequence[Fault]) -> None:
    """The table `input_faults`: what could not be read at all, split into where and what."""
    db.execute("create or replace table input_faults (kind varchar, file varchar, line bigint, said varchar)")
    for kind, text in dict.fromkeys(faults):
        found = SAID_OF_A_FILE.fullmatch(text)
        row = [found["file"], int(found["line"] or 0), found["said"]] if found else ["", 0, text]
        db.execute("insert into input_faults values (?, ?, ?, ?)", [kind, *row])


def _notes(db: duckdb.DuckDBPyConnection, files: Sequence[InputFile], faults: Sequence[Fault]) -> list[str]:
    """What of the fleet could not be looked at, since something it hangs on is missing."""
    notes = []
    if any(kind == "setting" for kind, _ in faults):
        notes.append(
            "fleet.toml could not be used, so all settings are the defaults here, and no wording rule was applied"
        )
    for table in TABLES:
        if table.needed and not db.execute(f"from {table.name} limit 1").fetchall():
            lacks = (
                "no such file was found"
                if all(f.table != table.name for f in files)
                else "none of its rows could be used"
            )
            hangs = {"vehicles": "no reading, service or task could be placed", "tasks": "no due point was worked out"}
            notes.append(f"{table.name}: {lacks}, so {hangs[table.name]}")
    return notes
