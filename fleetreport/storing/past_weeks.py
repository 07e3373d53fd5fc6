"""The weeks that stay in the output folder, and the tables of the last one, to compare with.

Each run keeps its pages and tables in `weeks/<ISO week>/` of the output folder. `past_weeks` finds those of an earlier
week and the same fleet; `bring_last_week` puts what the latest of them published into the store, and the money of the
latest that is a month old, as text that was checked again: a file there may have been edited, or be of another version.
What cannot be read is told and left out, never an error: the week at hand matters more than the one before.

Knows nothing of what changed between two weeks; the queries work that out.
"""

import csv
import re
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.sql import identifier

WEEKS = "weeks"
ISO_WEEK = re.compile(r"[0-9]{4}-W[0-9]{2}")
FIGURES = ("vehicles", "tasks_overdue", "tasks_due")
# Of each table what the comparison needs; all but the day are text or numbers that any version writes.
DUE = {
    "vehicle_id": "VARCHAR", "task": "VARCHAR", "title": "VARCHAR", "status": "VARCHAR", "due_on": "DATE",
    "due_odometer": "DECIMAL(18,1)", "due_hours": "DECIMAL(18,1)", "last_done_on": "DATE",
}  # fmt: skip
VISITS = {"vehicle_id": "VARCHAR", "task": "VARCHAR", "occurrence_no": "INTEGER", "visit_on": "DATE"}
EVENTS = {"uid": "VARCHAR", "vehicle_id": "VARCHAR", "visit_on": "DATE", "tasks": "VARCHAR", "depot": "VARCHAR",
          "doings": "VARCHAR"}  # fmt: skip
TABLES = {"due": ("due_last_week", DUE), "visit_tasks": ("visits_last_week", VISITS),
          "calendar_events": ("events_last_week", EVENTS)}  # fmt: skip
# Four weeks: what a weekly run has kept for about a month.
A_MONTH = timedelta(28)
FORECAST = {"month": "VARCHAR", "cost_centre": "VARCHAR", "category": "VARCHAR", "total": "DECIMAL(18,4)",
            "currency": "VARCHAR"}  # fmt: skip
BUDGET = {"cost_centre": "VARCHAR", "financial_year": "VARCHAR", "paid_to_date": "DECIMAL(18,4)",
          "outcome": "DECIMAL(18,4)"}  # fmt: skip
MONEY = {"forecast": ("forecast_last_month", FORECAST), "budget": ("budget_last_month", BUDGET)}
# What a week kept by an earlier version may not have.
ADDED_LATER = {"doings"}
# A blank cell of these is a name: that of what has none.
NAMES_MAY_BE_BLANK = {"cost_centre", "category"}


class PastWeek(NamedTuple):
    """A week kept in the output folder: where, of which day, and its counts."""

    iso_week: str
    folder: Path
    as_of: date
    vehicles: int
    tasks_overdue: int
    tasks_due: int


def iso_week(day: date) -> str:
    """`2026-W48`: the ISO 8601 week with its week-year."""
    year, week, _ = day.isocalendar()
    return f"{year:04d}-W{week:02d}"


def week_folder(week: str) -> str:
    """Where a week is kept, from the output folder: `weeks/2026-W48`."""
    return f"{WEEKS}/{week}"


def past_weeks(out: Path, as_of: date, fleet_name: str) -> tuple[list[PastWeek], list[str]]:
    """The weeks kept in `out` that lie before the week of `as_of`, the latest first, and notes on what is unreadable.

    A week of another fleet is none of this one's.
    """
    found, notes = [], []
    for folder in sorted((out / WEEKS).glob("*"), reverse=True):
        if not ISO_WEEK.fullmatch(folder.name) or folder.name >= iso_week(as_of):
            continue
        try:
            week = _figures_of(folder, fleet_name)
        except (OSError, UnicodeError, csv.Error, ValueError, KeyError, TypeError):  # a row cut short has None
            notes.append(f"{folder}: this past week cannot be read; it is not listed and not compared with")
            continue
        found += [week] if week else []
    return found, notes


def _figures_of(folder: Path, fleet_name: str) -> PastWeek | None:
    """The week in `folder`; None: of another fleet. Raises ValueError or KeyError where it is not as written."""
    (row,) = _rows(folder / "data" / "week_at_a_glance.csv")
    as_of = date.fromisoformat(row["as_of"])
    if iso_week(as_of) != folder.name:
        raise ValueError(folder.name)
    vehicles, overdue, due = (int(row[name]) for name in FIGURES)
    return PastWeek(folder.name, folder, as_of, vehicles, overdue, due) if row["fleet_name"] == fleet_name else None


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def bring_last_week(db: duckdb.DuckDBPyConnection, as_of: date, past: Sequence[PastWeek] = ()) -> list[str]:
    """Make `last_week` (its ISO week and day; no row: none), `due_last_week`, `visits_last_week`, `events_last_week`,
    and, of the latest week that lies four weeks before `as_of`, `last_month`, `forecast_last_month`,
    `budget_last_month`.

    They are empty where there is no such week. Gives a note for each table that cannot be read.
    """
    notes: list[str] = []
    month_ago = [week for week in past if as_of - week.as_of >= A_MONTH]
    for name, weeks, tables, needed in (
        ("last_week", past, TABLES, {"due"}), ("last_month", month_ago, MONEY, set(MONEY))
    ):  # fmt: skip
        last = weeks[0] if weeks else None
        unreadable = _bring(db, last, tables, notes)
        known = [[last.iso_week, last.as_of.isoformat()]] if last and not needed & unreadable else []
        _fill(db, name, {"iso_week": "VARCHAR", "as_of": "DATE"}, known)
    return notes


def _bring(
    db: duckdb.DuckDBPyConnection,
    last: PastWeek | None,
    tables: Mapping[str, tuple[str, Mapping[str, str]]],
    notes: list[str],
) -> set[str]:
    """Fill `tables` with what `last` published (None: nothing); gives those that cannot be read, told in `notes`."""
    unreadable = set()
    for name, (table, columns) in tables.items():
        path = last.folder / "data" / f"{name}.csv" if last else None
        try:
            read = _rows(path) if path else []
            _fill(db, table, columns, [[_cell(row, column) for column in columns] for row in read])
        except (OSError, UnicodeError, csv.Error, KeyError, duckdb.ConversionException):
            notes.append(f"{path}: cannot be read; this week is not compared with it")
            unreadable.add(name)
            _fill(db, table, columns, [])
    return unreadable


def _cell(row: Mapping[str, str | None], column: str) -> str | None:
    """None for a blank. Raises KeyError for a column that is not there."""
    text = row.get(column) if column in ADDED_LATER else row[column]
    return text or ("" if column in NAMES_MAY_BE_BLANK and text is not None else None)


def _fill(
    db: duckdb.DuckDBPyConnection, table: str, columns: Mapping[str, str], rows: Sequence[Sequence[str | None]]
) -> None:
    """Raises duckdb.ConversionException where a cell is not what its column holds; the table is then not changed."""
    values = [list(column) for column in zip(*rows, strict=True)] if rows else [[] for _ in columns]
    # Cast before the table is made, and without an exception inside the run's transaction, which would end it.
    checks = " and ".join(f"list_bool_and([x is null or try_cast(x as {kind}) is not null for x in ?::varchar[]])"
                          for kind in columns.values())  # fmt: skip
    row = db.execute(f"select coalesce({checks}, true)", values).fetchone()
    if rows and row != (True,):
        raise duckdb.ConversionException(table)
    listed = ", ".join(f"unnest(?::varchar[])::{kind} as {identifier(name)}" for name, kind in columns.items())
    db.execute(f"create or replace table {identifier(table)} as select {listed}", values)
