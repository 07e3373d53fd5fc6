"""The record: what an inspector asks to see of each vehicle, and what the past says of the plan.

One page: how much was done on time under two stated rules, what the findings say of intervals, fluid used between
services, then vehicle by vehicle its identification, the nature and due date of its work and what was done, with the
day until which each record is kept. What is not given is said to be missing. Rules are quoted with their source; local
law and the maker's schedule decide.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from itertools import groupby
from typing import NamedTuple, TypeVar

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.frame import anchor, natural_order, page_environment, styled
from fleetreport.pages.page import MONTHS_SHOWN
from fleetreport.record.findings import CONDITIONS
from fleetreport.report.cautions import cautions
from fleetreport.report.report_rows import read_rows, read_week
from fleetreport.report.sheet_rows import without_page


class Field(NamedTuple):
    """`register_fields`: a field that identifies a vehicle; `value` None: not given."""

    vehicle_id: str
    turn: int
    field: str
    value: str | None
    is_missing: bool


class PlannedWork(NamedTuple):
    """`record_due`: a task planned on a vehicle, its nature and due date."""

    vehicle_id: str
    task: str
    title: str
    status: str
    due_on: date | None
    source: str | None
    last_done_on: date | None


class WorkDone(NamedTuple):
    """`recent_work`: work done on a vehicle and until when its record is kept at least."""

    vehicle_id: str
    done_on: date
    nature: str
    kind: str
    condition: str | None
    invoices: str | None
    keep_until: date
    keep_report_until: date | None
    keep_15_months_until: date


class OnTimeBy(NamedTuple):
    """`on_time_by`: a class, depot and month under both rules."""

    vehicle_class: str
    depot: str
    month: str
    done: int
    not_done: int
    in_time: int
    in_window: int
    late_only_pct: Decimal
    two_sided_pct: Decimal
    late_only_met: bool
    two_sided_met: bool


class Proposal(NamedTuple):
    """`advice_shown`: an interval that the findings say could be longer, or should be shorter. Shares, not per cent."""

    scope: str
    name: str
    duty: str
    task: str
    title: str
    advice: str
    findings: int
    soiled_or_worse: int
    bad: int
    soiled_low: float
    soiled_high: float
    bad_low: float
    bad_high: float
    every_distance: Decimal | None
    every_hours: Decimal | None
    every_months: int | None
    proposed_distance: Decimal | None
    proposed_hours: Decimal | None
    proposed_months: int | None
    distance_unit: str


class FindingsOfYear(NamedTuple):
    """`findings_by_year`: what was found of a task in a year, by code, for a class and duty."""

    vehicle_class: str
    duty: str
    task: str
    title: str
    year: int
    findings: int
    clean: int
    serviceable: int
    soiled: int
    contaminated: int
    failed: int


class FluidUse(NamedTuple):
    """`fluid_use`: fluid a vehicle used between services, `unit` per 1,000 km or per 100 h."""

    vehicle_id: str
    vehicle_class: str
    item: str
    title: str
    unit: str
    per: str
    top_ups: int
    dips: int
    quantity: Decimal
    used: Decimal | None
    used_before: Decimal | None
    used_lately: Decimal | None
    trend: str | None
    class_median: Decimal | None
    times_class: Decimal | None
    last_dipped_on: date | None
    last_used: Decimal | None
    use_limit: Decimal | None
    over_limit: bool


class VehicleRecord(NamedTuple):
    """One vehicle: its fields, the names of those missing, its planned work and what was done."""

    vehicle_id: str
    anchor: str
    fields: list[Field]
    missing: list[str]
    planned: list[PlannedWork]
    done: list[WorkDone]


OfVehicle = TypeVar("OfVehicle", PlannedWork, WorkDone)
STANDS_OUT = 2  # times its class's median


def record_page(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH) -> str:
    """The record as HTML text.

    Reads week_at_a_glance, register_fields, record_due, recent_work, on_time_by, advice_shown, findings_by_year and
    fluid_use, and sheet_vehicles for which vehicles of a large fleet are shown.
    """
    on_time = read_rows(db, OnTimeBy, "on_time_by")
    months = sorted({row.month for row in on_time})[-MONTHS_SHOWN:]
    fluids = read_rows(db, FluidUse, "fluid_use")
    left_out = without_page(db)
    proposals = read_rows(db, Proposal, "advice_shown", ("advice", "scope", "name"))
    return page_environment(words).get_template("records.html").render(
        week=read_week(db),
        on_time=[row for row in on_time if row.month in months[-1:]],
        month=months[-1] if months else None,
        proposals=proposals,
        years=_years_of(proposals, read_rows(db, FindingsOfYear, "findings_by_year")),
        conditions=CONDITIONS,
        fluids=[row for row in fluids if _stands_out(row)],
        fluids_all=len(fluids),
        vehicles=_vehicles(db, left_out),
        left_out=len(left_out),
        cautions=cautions(words, "week"), **styled("_style.css", "_records.css"),
    )  # fmt: skip


def _years_of(proposals: Iterable[Proposal], rows: Iterable[FindingsOfYear]) -> list[FindingsOfYear]:
    """What was found year by year of the tasks that a proposal speaks of."""
    spoken_of = {(row.duty, row.task) for row in proposals}
    return [row for row in rows if (row.duty, row.task) in spoken_of]


def _stands_out(row: FluidUse) -> bool:
    """Over the handbook's limit, growing, or far above its class with more than a chance top-up."""
    above = row.times_class is not None and row.times_class >= STANDS_OUT and row.top_ups + row.dips > STANDS_OUT
    return row.over_limit or row.trend == "rising" or above


def _vehicles(db: duckdb.DuckDBPyConnection, left_out: frozenset[str]) -> list[VehicleRecord]:
    shown = "vehicle_id not in (select vehicle_id from sheet_vehicles where not has_page)"
    planned = _by_vehicle(read_rows(db, PlannedWork, "record_due", ("vehicle_id", "due_on", "task"), shown))
    done = _by_vehicle(read_rows(db, WorkDone, "recent_work", ("vehicle_id", "done_on", "nature"), shown))
    fields = groupby(read_rows(db, Field, "register_fields", ("vehicle_id", "turn")), key=lambda row: row.vehicle_id)
    records = []
    for vehicle, rows in fields:
        if vehicle in left_out:
            continue
        known = list(rows)
        missing = [row.field for row in known if row.is_missing]
        latest_first = done.get(vehicle, [])[::-1]
        records.append(
            VehicleRecord(vehicle, anchor("vehicle", vehicle), known, missing, planned.get(vehicle, []), latest_first)
        )
    return sorted(records, key=lambda record: natural_order(record.vehicle_id))


def _by_vehicle(rows: Iterable[OfVehicle]) -> dict[str, list[OfVehicle]]:
    return {vehicle: list(some) for vehicle, some in groupby(rows, key=lambda row: row.vehicle_id)}
