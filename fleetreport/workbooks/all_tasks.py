"""The sheet of all tasks: the table `due` as it is, its columns found from the table itself."""

from collections.abc import Iterator

import duckdb

from fleetreport.languages.catalogues import Catalogue
from fleetreport.report.report_rows import ROWS_AT_ONCE
from fleetreport.sql import identifier
from fleetreport.workbooks.sheets import Column, Quantity

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
        while block := cursor.fetchmany(ROWS_AT_ONCE):
            for row in block:
                unit = row[names.index("distance_unit")]
                by_hours = row[names.index("governed_by")] == "hours"
                yield tuple(
                    words[f"code.{value}"]
                    if name == "governed_by" and value
                    else Quantity(
                        value, "h" if column.kind == "hours" or (column.kind == "rate" and by_hours) else unit
                    )
                    if column.kind in ("distance", "hours", "rate")
                    else value
                    for name, column, value in zip(names, columns, row, strict=True)
                )

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
