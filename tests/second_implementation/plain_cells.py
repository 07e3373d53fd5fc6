"""The cells of a clean fleet folder: rows of CSV tables, numbers with units, dates and months.

A row that equals an earlier row of its table in every column of the contract, after typing and with defaults
filled, is read once. Numbers become Decimals, distances km with 7 places.

It does not know malformed cells, formats other than CSV, or time zones.
"""

import csv
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

KM_IN_A_MILE = Decimal("1.609344")
SEVENTH_PLACE = Decimal("0.0000001")

# fmt: off
TASK_COLUMNS = [
    "title", "every_distance", "every_months", "every_hours", "first_distance", "first_months",
    "first_hours", "severe_distance", "severe_months", "severe_hours", "distance_unit", "basis",
    "every_year_on", "after", "covers", "labour_hours", "category", "late_tolerance_pct", "source",
    "caution",
]

COLUMNS = {
    "vehicles": [
        "vehicle_id", "title", "class", "depot", "cost_centre", "distance_unit", "in_service_on",
        "in_service_odometer", "in_service_hours", "duty", "retired_on", "budget_per_year",
    ],
    "readings": [
        "vehicle_id", "read_at", "meter", "reading", "unit", "source",
    ],
    "meter_changes": [
        "vehicle_id", "changed_on", "meter", "final_reading", "first_reading", "unit",
    ],
    "history": [
        "vehicle_id", "done_on", "odometer", "hours", "unit", "task", "description", "kind", "item",
        "quantity", "parts_cost", "labour_hours", "labour_cost", "other_cost", "invoice",
        "condition", "note",
    ],
    "expiries": [
        "vehicle_id", "task", "expires_on",
    ],
    "tasks": ["class", "task", *TASK_COLUMNS],
    "vehicle_tasks": ["vehicle_id", "task", *TASK_COLUMNS, "reason"],
}

DATES = {"in_service_on", "retired_on", "changed_on", "done_on", "expires_on"}
NUMBERS = {
    "in_service_odometer", "in_service_hours", "budget_per_year", "reading", "final_reading",
    "first_reading", "odometer", "hours", "quantity", "parts_cost", "labour_hours", "labour_cost",
    "other_cost", "every_distance", "every_months", "every_hours", "first_distance", "first_months",
    "first_hours", "severe_distance", "severe_months", "severe_hours", "late_tolerance_pct",
}
# fmt: on


@dataclass(frozen=True)
class Row:
    """One line of a file: `raw` cells as written, `cells` with the defaults filled in."""

    file: str
    line: int
    raw: dict[str, str]
    cells: dict[str, str]


def add_months(day: date, months: int) -> date | None:
    """The same day of the month `months` later, clamped to that month's end; None beyond 9999-12-31."""
    year, month0 = divmod(day.year * 12 + day.month - 1 + months, 12)
    if year > 9999:
        return None
    for day_of_month in (day.day, 30, 29, 28):
        try:
            return date(year, month0 + 1, min(day.day, day_of_month))
        except ValueError:
            continue
    raise ValueError(f"no such month: {year}-{month0 + 1}")


def add_days(day: date, days: int) -> date | None:
    """`days` later (earlier if negative); None where the calendar ends."""
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return None


def in_km(value: Decimal, unit: str) -> Decimal:
    """A distance in km with 7 places."""
    factor = {"km": Decimal(1), "mi": KM_IN_A_MILE}[unit]
    return (value * factor).quantize(SEVENTH_PLACE, ROUND_HALF_UP)


def in_meter_unit(meter: str, text: str, unit: str) -> Decimal:
    """A meter value in km (odometer) or h (hours), with 7 places."""
    if meter == "odometer":
        return in_km(Decimal(text), unit)
    if unit != "h":
        raise ValueError(f"hours are in h, found {unit}")
    return Decimal(text).quantize(SEVENTH_PLACE, ROUND_HALF_UP)


def load(
    folder: Path,
    table: str,
    fill: Callable[[dict[str, str]], None] = lambda cells: None,
    needed: bool = False,
) -> list[Row]:
    """The rows of a table, files in name order, each distinct row once. `fill` fills defaults in place."""
    seen: set[tuple[Any, ...]] = set()
    rows = []
    for row in raw_rows(folder, table, needed):
        fill(row.cells)
        key = tuple(typed(column, row.cells[column]) for column in COLUMNS[table])
        if key not in seen:
            seen.add(key)
            rows.append(row)
    return rows


def raw_rows(folder: Path, table: str, needed: bool) -> Iterator[Row]:
    """Every row of TABLE.csv or TABLE/*.csv, blank where a column is missing."""
    files = [folder / f"{table}.csv"] if (folder / f"{table}.csv").exists() else []
    files += sorted((folder / table).glob("*.csv"), key=lambda path: path.name)
    if needed and not files:
        raise FileNotFoundError(f"{table}.csv")
    for path in files:
        with path.open(encoding="utf-8", newline="") as stream:
            reader = csv.DictReader(stream)
            assert reader.fieldnames is not None
            line = reader.line_num + 1
            for found in reader:
                raw = {column: (found.get(column) or "").strip() for column in COLUMNS[table]}
                yield Row(path.relative_to(folder).as_posix(), line, raw, dict(raw))
                line = reader.line_num + 1


def typed(column: str, text: str) -> Any:
    """The value of a cell, so that 1000 equals 1000.0; None for a blank."""
    if text == "":
        return None
    if column in NUMBERS:
        return Decimal(text)
    if column in DATES:
        return date.fromisoformat(text)
    if column == "read_at":
        return moment(text)
    return text


def moment(text: str) -> tuple[date, time | None]:
    """A date, and the time of day where one is written: YYYY-MM-DD, or that, T or a blank, HH:MM[:SS]."""
    if len(text) == len("2026-01-31"):
        return date.fromisoformat(text), None
    both = datetime.fromisoformat(text)
    return both.date(), both.time()
