"""The sheets of what is due, what could not be judged and which meters to read: of the whole fleet or of a part of it.

Knows nothing of how a figure is worked out: every cell is a value of the database, or a sentence of such values.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal

import duckdb

from fleetreport.languages.catalogues import Catalogue
from fleetreport.report.depot_parts import IS_IN_PART, Part
from fleetreport.report.report_rows import DueRow, NotJudged, StaleMeter, iterate_rows
from fleetreport.report.sentences import why_due
from fleetreport.workbooks.sheet_cells import Quantity
from fleetreport.workbooks.sheets import Column

DUE_COLUMNS = (
    Column("Vehicle", "text", 12), Column("Task", "text", 38), Column("Status", "status", 13),
    Column("Due on", "date", 12), Column("Days left", "count", 8), Column("Why", "long", 70),
    Column("Depot", "text", 16), Column("Vehicle title", "text", 26), Column("Class", "text", 12),
    Column("Cost centre", "text", 12), Column("Governed by", "text", 11), Column("Earliest", "date", 12),
    Column("Latest", "date", 12), Column("Late by", "percent", 9), Column("Due at odometer", "distance", 14),
    Column("Distance left", "distance", 14), Column("Odometer now", "distance", 14),
    Column("Odometer read on", "date", 12), Column("Due at hours", "hours", 12),
    Column("Hours left", "hours", 12), Column("Hours now", "hours", 12), Column("Use", "rate", 16),
    Column("Last done on", "date", 12), Column("Last done at, in all", "distance", 14),
    Column("Labour", "hours", 9), Column("Source", "text", 21), Column("Caution", "long", 40),
)  # fmt: skip
NOT_JUDGED_COLUMNS = (
    Column("Vehicle", "text", 12), Column("Vehicle title", "text", 26), Column("Depot", "text", 16),
    Column("Task", "text", 28), Column("Reason", "text", 14), Column("Meter", "text", 11),
    Column("Last reading on", "date", 12), Column("What to do", "long", 70),
)  # fmt: skip
STALE_METER_COLUMNS = (
    Column("Vehicle", "text", 12), Column("Vehicle title", "text", 26), Column("Depot", "text", 16),
    Column("Meter", "text", 11), Column("Last reading on", "date", 12), Column("Days old", "count", 9),
    Column("Should show", "distance", 14), Column("At least", "distance", 14), Column("At most", "distance", 14),
    Column("Tasks it settles", "count", 12), Column("Dates that hang on it", "count", 12),
)  # fmt: skip


def _within(part: Part | None) -> tuple[str, Sequence[object]]:
    """What asks for the rows of a part; None: all."""
    return (IS_IN_PART, part.which) if part else ("true", ())


def due_rows(db: duckdb.DuckDBPyConnection, words: Catalogue, part: Part | None = None) -> Iterator[tuple[object, ...]]:
    """What is overdue, due or upcoming, by day. Reads due_list."""
    for row in iterate_rows(db, DueRow, "due_list", ("due_on", "vehicle_id", "task"), *_within(part)):
        unit, hours = row.distance_unit, words["hours_unit"]
        # Meters as the dash shows them, but the last service, which an earlier meter may have shown, in all.
        yield (
            row.vehicle_id, row.task_title or row.task, row.status, row.due_on, row.days_left,
            why_due(row, words).replace("\u00a0", " "), row.depot, row.vehicle_title, row.vehicle_class,
            row.cost_centre, words[f"code.{row.governed_by}"], row.due_on_early, row.due_on_late, row.late_by_pct,
            Quantity(_shown(row.due_odometer, row.odometer_offset), unit), Quantity(row.distance_left, unit),
            Quantity(_shown(row.odometer_now, row.odometer_offset), unit), row.odometer_read_on,
            Quantity(_shown(row.due_hours, row.hours_offset), hours), Quantity(row.hours_left, hours),
            Quantity(_shown(row.hours_now, row.hours_offset), hours),
            Quantity(row.rate_per_day, hours if row.governed_by == "hours" else unit),
            row.last_done_on, Quantity(row.last_done_odometer, unit),
            Quantity(row.labour_hours, hours), words[f"source.{row.source}"] if row.source else None,
            row.caution,
        )  # fmt: skip


def _shown(total: Decimal | None, offset: Decimal) -> Decimal | None:
    return None if total is None else total - offset


def not_judged_rows(
    db: duckdb.DuckDBPyConnection, words: Catalogue, part: Part | None = None
) -> Iterator[tuple[object, ...]]:
    """What could not be judged, by reason. Reads not_judged."""
    for row in iterate_rows(db, NotJudged, "not_judged", ("reason", "vehicle_id"), *_within(part)):
        what_to_do = words[f"reason.{row.reason}"].format(meter=words[f"meter.{row.meter or ''}"])
        yield (
            row.vehicle_id, row.vehicle_title, row.depot, row.task_title or row.task, words[f"code.{row.reason}"],
            words[f"code.{row.meter}"] if row.meter else None, row.last_reading_on, what_to_do,
        )  # fmt: skip


def stale_meter_rows(
    db: duckdb.DuckDBPyConnection, words: Catalogue, part: Part | None = None
) -> Iterator[tuple[object, ...]]:
    """Meters on which due dates hang and that nobody read lately, the worst first. Reads stale_meters."""
    for row in iterate_rows(db, StaleMeter, "stale_meters", ("worst",), *_within(part)):
        yield (
            row.vehicle_id, row.vehicle_title, row.depot, words[f"code.{row.meter}"], row.last_reading_on, row.days_old,
            Quantity(row.shown_now, row.unit), Quantity(row.shown_now_low, row.unit),
            Quantity(row.shown_now_high, row.unit), row.tasks_unsettled, row.tasks_hanging,
        )  # fmt: skip
