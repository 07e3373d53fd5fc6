"""The sheet of all tasks: the table `due` whole, further columns of the fleet's own query and all."""

from collections.abc import Iterator

import duckdb

from fleetreport.languages.catalogues import Catalogue
from fleetreport.query import fetched
from fleetreport.sql import identifier
from fleetreport.workbooks.sheet_cells import Quantity
from fleetreport.workbooks.sheets import Column

# What a column of `due` holds, where its type alone does not tell.
KINDS_OF_DUE = {
    "status": "status", "days_left": "count", "late_by_pct": "percent", "rate_per_day": "rate",
    "due_odometer": "distance", "distance_left": "distance", "last_done_odometer": "distance",
    "odometer_now": "distance", "due_hours": "hours", "hours_left": "hours",
}  # fmt: skip
# The contract's columns of `due`; one that is not among them keeps its own name.
NAMES_OF_DUE = frozenset((
    "vehicle_id", "task", "title", "status", "governed_by", "due_on", "days_left", "due_odometer", "distance_left",
    "due_hours", "hours_left", "distance_unit", "last_done_on", "last_done_odometer", "odometer_now",
    "odometer_read_on", "rate_per_day", "due_on_early", "due_on_late", "late_by_pct",
))  # fmt: skip
WIDEST_TEXT = 48
WIDTHS = {
    "date": 12.0,
    "count": 9.0,
    "number": 12.0,
    "percent": 9.0,
    "distance": 14.0,
    "hours": 12.0,
    "rate": 16.0,
}


def all_tasks(
    db: duckdb.DuckDBPyConnection, words: Catalogue
) -> tuple[tuple[Column, ...], Iterator[tuple[object, ...]]]:
    """The whole table `due`, further columns and all. Meters are on the accumulated scale."""
    described = db.execute('describe "due"').fetchall()
    names = [name for name, *_ in described]
    columns = tuple(_column_of(db, name, kind, words) for name, kind, *_ in described)

    def rows() -> Iterator[tuple[object, ...]]:
        order = ", ".join(f"{identifier(name)} nulls last" for name in names)
        cursor = db.execute(f'select * from "due" order by {order}')
        unit_at, governor_at = names.index("distance_unit"), names.index("governed_by")
        lengths, hours, rates = (
            [at for at, column in enumerate(columns) if column.kind == kind] for kind in ("distance", "hours", "rate")
        )
        for row in map(list, fetched(cursor)):
            unit, governor = row[unit_at], row[governor_at]
            for at in lengths:
                row[at] = Quantity(row[at], unit)
            for at in hours:
                row[at] = Quantity(row[at], "h")
            for at in rates:
                row[at] = Quantity(row[at], "h" if governor == "hours" else unit)
            row[governor_at] = words[f"code.{governor}"] if governor else governor
            yield tuple(row)

    return columns, rows()


def _column_of(db: duckdb.DuckDBPyConnection, name: str, sql_type: str, words: Catalogue) -> Column:
    heading = name.replace("_", " ").capitalize()
    if name in NAMES_OF_DUE:
        heading = words[f"heading.{heading}"]
    kind = KINDS_OF_DUE.get(name)
    if kind is None:
        number = "count" if "INT" in sql_type else "number"
        kind = {"VARCHAR": "text", "DATE": "date"}.get(sql_type, number)
    if kind in WIDTHS:
        return Column(heading, kind, max(WIDTHS[kind], len(heading) / 2 + 4))
    longest = db.execute(f'select max(length({identifier(name)}::varchar)) from "due"').fetchall()[0][0]
    return Column(heading, kind, min(WIDEST_TEXT, max(longest or 0, len(heading), 8) + 4))
