"""Diagnose every refused reading of a run: take them from the database, find the likely slip, say it in words.

`DIAGNOSES` makes the table `diagnoses`: one row a refused reading, with its kind (see diagnose.Diagnosis), what a
suggestion is for and what it is, the words, and the meter change that would settle it, if one would. Only meters with a
refused reading leave SQL. Nothing here changes a reading.
"""

from collections import defaultdict
from collections.abc import Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any

import duckdb

from fleetreport.meters.believed import DAY
from fleetreport.meters.diagnose import Diagnosis, OtherVehicle, diagnose_meter, to_time
from fleetreport.meters.restarts import MeterChange, Reading
from fleetreport.query import Step, fetched

WORDS = {
    "digit lost": "A digit was probably lost",
    "digit added": "A digit too many was probably written",
    "digits swapped": "Two digits were probably swapped",
    "wrong digit": "One digit is probably wrong",
    "point misplaced": "The decimal point is probably in the wrong place",
    "miles as km": "Probably miles written as km",
    "km as miles": "Probably km written as miles",
    "another vehicle": "Probably the reading of another vehicle",
    "date slip": "Probably written against the wrong date",
    "clock slip": "Probably written against the wrong time of day",
}
WOULD_FIT = {
    "reading": "{suggestion} would fit",
    "vehicle": "it fits {suggestion} that day",
    "date": "it fits on {suggestion}",
}
# The words of 49 CFR 580.5 for an odometer that has run past its last figure.
ROLLED_OVER = "The odometer has probably passed {limit} and begun again from 0 (in excess of its mechanical limits)"
CHANGED = "The meter was probably exchanged about {day} without a line in meter_changes.csv"
NOTHING_FITS = "No simple slip explains it"
# What to mend in a row, by the table it stands in.
DATE_COLUMN = {"readings": "read_at", "history": "done_on", "vehicles": "in_service_on"}


def diagnosis_words(diagnosis: Diagnosis, change: MeterChange | None) -> str:
    """A sentence or two that a person can act on: the likely slip, what would fit, how much else fits."""
    if change is not None:
        return _restart_words(diagnosis, change)
    if diagnosis.target is None:
        return f"{NOTHING_FITS}."
    fit = WOULD_FIT[diagnosis.target].format(suggestion=diagnosis.suggestion)
    more = diagnosis.others
    also = f" ({more} other explanation{'s' * (more > 1)} would fit)" if more else ""
    return f"{WORDS[diagnosis.kind]}: {fit}{also}."


def _restart_words(diagnosis: Diagnosis, change: MeterChange) -> str:
    if change.kind == "rollover":
        said = ROLLED_OVER.format(limit=f"{change.final - 1:,.0f}")
        stands = f"{diagnosis.suggestion} in all would fit" if diagnosis.suggestion else "the reading itself fits"
    else:
        said = CHANGED.format(day=to_time(change.at).date().isoformat())
        stands = "the reading itself fits"
    return f"{said}: {stands} once the suggested line is in meter_changes.csv."


def _diagnose_all(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `diagnoses`."""
    others: dict[tuple[str, str, int], list[OtherVehicle]] = defaultdict(list)
    for vehicle, meter, seq, *other in db.execute(
        """select vehicle_id, meter, seq, other_vehicle, units(off)::bigint, units(drive)::bigint, is_exact, is_alike,
            among
        from vehicles_that_fit order by all"""
    ).fetchall():
        others[vehicle, meter, seq].append(OtherVehicle(*other))
    limits: dict[str, int] = dict(
        db.execute(
            """select 'odometer', units(most_km_per_day)::bigint from run
            union all select 'hours', units(most_h_per_day)::bigint from run"""
        ).fetchall()
    )
    as_of: int = db.execute("select epoch_us(as_of::timestamp) from run").fetchall()[0][0]
    # One meter's readings at a time: those of a large fleet are millions. Where a believed one stands is not asked for.
    readings = db.execute(
        """select vehicle_id, meter, seq, epoch_us(read_at), units(value)::bigint, units(reading)::bigint, written,
            unit, is_believed, case when not is_believed then struct_pack(file, line, "table", "column") end
        from questioned_readings
        order by vehicle_id, meter, seq"""
    )
    made: list[list[Any]] = []
    for (vehicle, meter), of_one in groupby(fetched(readings), itemgetter(0, 1)):
        made += _diagnose_one(vehicle, meter, list(of_one), others, limits[meter], as_of + DAY - 1)
    db.execute(
        """create or replace table diagnoses (file varchar, line bigint, "table" varchar, "column" varchar,
            kind varchar, suggestion_for varchar, suggestion varchar, others bigint, words varchar,
            vehicle_id varchar, meter varchar, changed_on date,
            final_reading decimal(18, 7), first_reading decimal(18, 7), unit varchar)"""
    )
    if made:
        columns = [list(column) for column in zip(*made, strict=True)]
        types = [kind for _, kind, *_ in db.execute("describe diagnoses").fetchall()]
        db.execute(f"insert into diagnoses select {', '.join(f'unnest(?::{kind}[])' for kind in types)}", columns)


def _diagnose_one(
    vehicle: str, meter: str, rows: Sequence[tuple[Any, ...]],
    others: dict[tuple[str, str, int], list[OtherVehicle]], most_per_day: int, not_after: int,
) -> list[list[Any]]:  # fmt: skip
    """The rows of `diagnoses` for one meter; limits as for `diagnose_meter`."""
    readings = [Reading(*row[3:9]) for row in rows]
    beside = {at: others[vehicle, meter, row[2]] for at, row in enumerate(rows) if (vehicle, meter, row[2]) in others}
    found, changes = diagnose_meter(readings, most_per_day, not_after, beside)
    made = []
    for one in found:
        place = rows[one.position][9]
        file, line, table, column = (place[name] for name in ("file", "line", "table", "column"))
        suggested = {"vehicle": "vehicle_id", "reading": column, "date": DATE_COLUMN[table]}.get(one.target or "")
        change = changes[one.change] if one.change is not None else None
        settled = [to_time(change.at).date(), change.final, change.first, change.unit] if change else [None] * 4
        made.append([
            file, line, table, column, one.kind, suggested, one.suggestion, one.others, diagnosis_words(one, change),
            vehicle, meter, *settled,
        ])  # fmt: skip
    return made


DIAGNOSES = Step(
    "diagnoses",
    ("questioned_readings", "vehicles_that_fit", "run"),
    _diagnose_all,
    per_vehicle=True,
)
