"""The planted faults, as plain data: cells spoilt, rows added, readings typed wrong, rows written twice."""

# fmt: off
# ruff: noqa: E501 - a row of a table of data stays on one line

from collections.abc import Callable
from typing import NamedTuple

Cells = dict[str, str]
HB, CF, TC, WS, FL = (f"history/{hand}-2023-to-2026-10.csv" for hand in
                      ("harrow_bore", "cinder_flat", "tallow_crossing", "wheel_shop", "field_log"))
TR24, TR25, TR26 = (
    "readings/tracker-2024.csv",
    "readings/tracker-2025.csv",
    "readings/tracker-2026-01-to-10.csv",
)
CARD25, CARD26 = "readings/fuelcard-2024-2025.csv", "readings/fuelcard-2026-01-to-10.csv"
HAND = "readings/handlog-2023-to-2026-10.csv"


class Spoilt(NamedTuple):
    """One cell of one row replaced."""

    path: str
    where: Cells
    since: str
    column: str
    value: str
    scope: str
    what: str


class Added(NamedTuple):
    """A row put behind another; `like` starts from that row's cells, `raw` is the line as it stands."""

    path: str
    behind: Cells
    since: str
    like: bool
    cells: Cells
    column: str
    scope: str
    what: str
    raw: str | None = None


class TypedWrong(NamedTuple):
    """A believable-looking number that cannot be: `change` gives the cells that differ."""

    path: str
    vehicle: str
    since: str
    change: Callable[[Cells], Cells]
    what: str


def digit_lost(column: str, at: int = 1) -> Callable[[Cells], Cells]:
    """The digit at a place is missing."""
    return lambda c: {column: c[column][:at] + c[column][at + 1 :]}


def digit_added(column: str, at: int, digit: str) -> Callable[[Cells], Cells]:
    """A digit too many at a place."""
    return lambda c: {column: c[column][:at] + digit + c[column][at:]}


def swapped(column: str, at: int) -> Callable[[Cells], Cells]:
    """Two neighbouring digits the wrong way round."""
    return lambda c: {column: c[column][:at] + c[column][at + 1] + c[column][at] + c[column][at + 2 :]}


def plus(column: str, much: int) -> Callable[[Cells], Cells]:
    """So much more, or less, than it was."""
    return lambda c: {
        column: str(int(c[column]) + much) if "." not in c[column] else f"{float(c[column]) + much:.1f}"
    }


def other(column: str, value: str) -> Callable[[Cells], Cells]:
    """Another value altogether."""
    return lambda c: {column: value}


def year_less(c: Cells) -> Cells:
    """A reading dated one year early."""
    return {"read_at": str(int(c["read_at"][:4]) - 1) + c["read_at"][4:]}


TYPED_WRONG = (
    TypedWrong(TR24, "L03", "2024-03-04", digit_lost("reading"), "a digit lost in the export"),
    TypedWrong(TR24, "T02", "2024-07-15", digit_added("reading", 3, "7"), "a digit too many"),
    TypedWrong(TR24, "W01", "2024-10-07", swapped("reading", 0), "first two digits swapped"),
    TypedWrong(TR25, "L05", "2025-02-10", plus("reading", -4200), "rolled back by 4,200 km for one report"),
    TypedWrong(TR25, "V03", "2025-05-12", other("reading", "18311"), "the reading of another van"),
    TypedWrong(TR25, "T06", "2025-09-08", year_less, "date slip: reported a year early"),
    TypedWrong(TR26, "L11", "2026-01-19", digit_lost("reading", 0), "first digit lost"),
    TypedWrong(TR26, "T05", "2026-06-10", swapped("reading", 0), "first two digits swapped in the export"),
    TypedWrong(TR26, "D02", "2026-04-06", digit_added("reading", 2, "0"), "hours with a nought too many"),
    TypedWrong(CARD25, "P01", "2024-06-03", other("unit", "km"), "miles booked as km at a new pump"),
    TypedWrong(CARD25, "P03", "2025-03-17", digit_lost("reading", 2), "a digit lost at the pump"),
    TypedWrong(CARD25, "V02", "2025-08-04", other("unit", "mi"), "km booked as miles"),
    TypedWrong(CARD26, "P06", "2026-05-04", digit_added("reading", 0, "1"), "a 1 too many in front"),
    TypedWrong(CARD26, "L12", "2026-08-10", other("reading", "5"), "the pump's number typed for the reading"),
    TypedWrong(HAND, "G01", "2024-09-02", swapped("reading", 0), "first two digits of the hours swapped"),
    TypedWrong(HAND, "D04", "2025-06-02", digit_lost("reading", 0), "first digit of the hours lost"),
    TypedWrong(HAND, "W04", "2026-02-02", plus("reading", 3000), "pump hours 3,000 h too high"),
    TypedWrong("readings/tracker-2026-W47.csv", "W03", "2026-11-17", digit_added("reading", 3, "4"),
               "a digit too many: from W47 on the tanker would have gone ten times as far"),
    TypedWrong("readings/fuelcard-2026-W48.csv", "P02", "2026-11-19", digit_lost("reading", 1),
               "a digit lost at the pump in the last week"),
    TypedWrong("readings/handlog-2026-W46.csv", "G03", "2026-11-02", plus("reading", -300),
               "hours 300 too low, read off the wrong page"),
    TypedWrong(HB, "T01", "2024-11-04", digit_lost("odometer", 1), "service line: a digit lost"),
    TypedWrong(HB, "L01", "2025-10-06", digit_added("odometer", 4, "8"), "service line: a digit too many"),
    TypedWrong(CF, "L06", "2025-04-07", swapped("odometer", 0), "service line: first two digits swapped"),
    TypedWrong(CF, "P05", "2026-03-02", plus("odometer", 30000), "service line: another vehicle's dial"),
    TypedWrong(TC, "L10", "2025-07-07", plus("odometer", -60000), "service line: the trip card of 2023"),
    TypedWrong(TC, "L14", "2026-02-02", other("unit", "km"), "service line: miles written as km"),
    TypedWrong("history/cinder_flat-2026-W48.csv", "W03", "2026-11-23", digit_lost("odometer", 0),
               "service line in the last week: first digit lost"),
)

SPOILT = (
    # vehicles
    Spoilt("vehicles.csv", {"vehicle_id": "R02"}, "", "budget_per_year", "two thousand", "value", "a number in words"),
    Spoilt("vehicles.csv", {"vehicle_id": "R03"}, "", "distance_unit", "leagues", "value", "unit not known"),
    Spoilt("vehicles.csv", {"vehicle_id": "R04"}, "", "in_service_hours", "new", "value", "a word for a number"),
    Spoilt("vehicles.csv", {"vehicle_id": "V05"}, "", "duty", "hard", "value", "duty is normal or severe"),
    Spoilt("vehicles.csv", {"vehicle_id": "P02"}, "", "retired_on", "soon", "value", "a word for a date"),
    # tasks and what goes with them
    Spoilt("tasks.csv", {"class": "trailer", "task": "coupling_recheck"}, "", "after", "coupling_overhaul", "value",
           "follows a task that does not exist"),
    Spoilt("tasks.csv", {"class": "generator", "task": "load_test"}, "", "covers", "battery_test", "value",
           "covers a task that does not exist"),
    Spoilt("tasks.csv", {"class": "van", "task": "fuel_filter"}, "", "severe_distance", "30k", "value",
           "a distance with a letter"),
    Spoilt("tasks.csv", {"class": "generator", "task": "fuel_tank_clean"}, "", "basis", "rolling", "value",
           "basis not known"),
    Spoilt("tasks.csv", {"class": "trailer", "task": "brake_check"}, "", "every_year_on", "13-40", "value",
           "no such day of the year"),
    Spoilt("tasks.csv", {"class": "wheel_loader", "task": "bucket_pins"}, "", "source", "habit", "value",
           "source not known"),
    Spoilt("task_items.csv", {"class": "trailer", "task": "wheel_bearings"}, "", "chance", "often", "value",
           "a word for a chance"),
    Spoilt("items.csv", {"item": "pump_oil"}, "", "unit_cost", "ca. 14", "value", "a price with a word"),
    Spoilt("items.csv", {"item": "hydraulic_filter"}, "", "lead_time_days", "3 weeks", "value", "days with a unit"),
    Spoilt("packs.csv", {"item": "coolant", "pack": "bottle_1L"}, "", "available", "plenty", "value",
           "a word for a number"),
    Spoilt("vehicle_items.csv", {"vehicle_id": "W04"}, "", "instead_of", "pump_oil_old", "value",
           "stands for an item that does not exist"),
    # readings
    Spoilt(TR24, {"vehicle_id": "L07"}, "2024-02-01", "reading", "3O512", "row", "a letter O for a nought"),
    Spoilt(TR24, {"vehicle_id": "T03"}, "2024-04-22", "read_at", "2024-02-30T17:10", "row", "no such day"),
    Spoilt(TR24, {"vehicle_id": "V04"}, "2024-08-01", "reading", "", "row", "reading blank"),
    Spoilt(TR25, {"vehicle_id": "L02"}, "2025-03-03", "read_at", "2025-03-06T25:10", "row", "no such hour"),
    Spoilt(TR25, {"vehicle_id": "W02"}, "2025-06-16", "reading", "-105", "row", "a reading below nought"),
    Spoilt(TR25, {"vehicle_id": "L09"}, "2025-07-14", "unit", "klm", "row", "unit not known"),
    Spoilt(TR25, {"vehicle_id": "T08"}, "2025-11-03", "reading", "NaN", "row", "not a number"),
    Spoilt(TR26, {"vehicle_id": "L15"}, "2026-02-02", "meter", "dial", "row", "meter not known"),
    Spoilt(TR26, {"vehicle_id": "V08"}, "2026-03-02", "unit", "h", "row", "an odometer in hours"),
    Spoilt(CARD25, {"vehicle_id": "P07"}, "2024-04-15", "read_at", "15/04/2024 09:20", "row", "date the wrong way round"),
    Spoilt(CARD25, {"vehicle_id": "V06"}, "2024-10-07", "reading", "84.120,5", "row", "decimal comma"),
    Spoilt(CARD26, {"vehicle_id": "P08"}, "2026-01-12", "vehicle_id", "", "row", "no vehicle"),
    Spoilt(HAND, {"vehicle_id": "D05"}, "2025-01-06", "reading", "abt 900", "row", "a guess in words"),
    Spoilt(HAND, {"vehicle_id": "G04"}, "2025-10-06", "read_at", "2025-11-31", "row", "no such day"),
    # history
    Spoilt(HB, {"vehicle_id": "L02", "task": "engine_oil", "labour_hours": "*"}, "2024-06-01", "task", "engine_oyl",
           "value", "task misspelt: money kept"),
    Spoilt(HB, {"vehicle_id": "D01", "odometer": "", "hours": "*"}, "2024-09-01", "hours", "n/a", "value",
           "not a number of hours"),
    Spoilt(HB, {"vehicle_id": "V01", "parts_cost": "*"}, "2025-02-01", "parts_cost", "12.5O", "value",
           "a letter O for a nought"),
    Spoilt(HB, {"vehicle_id": "T02", "quantity": "*"}, "2025-04-01", "quantity", "24 L", "value", "quantity with unit"),
    Spoilt(HB, {"vehicle_id": "W01", "item": "*"}, "2025-06-01", "item", "oil_filter_hevy", "value", "item not known"),
    Spoilt(HB, {"vehicle_id": "L04", "kind": "scheduled"}, "2025-08-01", "kind", "servicing", "value", "kind not known"),
    Spoilt(HB, {"vehicle_id": "R01"}, "2025-03-01", "done_on", "2025-02-30", "row", "no such day"),
    Spoilt(HB, {"vehicle_id": "P01", "labour_hours": "*"}, "2025-09-01", "labour_hours", "1,5", "value",
           "decimal comma"),
    Spoilt(CF, {"vehicle_id": "L07", "odometer": "*"}, "2025-01-01", "odometer", "abt 130000", "value",
           "a guess in words"),
    Spoilt(CF, {"vehicle_id": "V05"}, "2024-10-01", "done_on", "in May", "row", "a word for a date"),
    Spoilt(CF, {"vehicle_id": "R04"}, "2025-05-01", "vehicle_id", "", "row", "no vehicle"),
    Spoilt(CF, {"vehicle_id": "T04", "odometer": "*"}, "2025-11-01", "odometer", "-1", "value", "below nought"),
    Spoilt(TC, {"vehicle_id": "L13", "task": "*"}, "2024-09-01", "vehicle_id", "L31", "value",
           "vehicle not known: money kept"),
    Spoilt(TC, {"vehicle_id": "L14", "unit": "mi"}, "2025-03-01", "unit", "miles?", "value", "unit not known"),
    Spoilt(TC, {"vehicle_id": "W05", "labour_cost": "*"}, "2025-05-01", "labour_cost", "paid", "value",
           "a word for money"),
    Spoilt(WS, {"vehicle_id": "L10"}, "2024-05-01", "other_cost", "see invoice", "value", "words for money"),
    Spoilt(FL, {"vehicle_id": "T03", "kind": "top_up"}, "2025-06-01", "quantity", "2 tins", "value",
           "quantity in tins"),
)

ADDED = (
    # a second row of the same key that says something else; the later one is refused
    Added("vehicles.csv", {"vehicle_id": "L05"}, "", True, {"vehicle_id": "L04", "title": "Light 4x4, survey two"},
          "vehicle_id", "row", "vehicle listed twice, differently"),
    Added("vehicles.csv", {"vehicle_id": "T08"}, "", False,
          {"vehicle_id": "X01", "title": "Roller, borrowed", "in_service_on": "2025-04-01"}, "class", "row", "no class"),
    Added("vehicles.csv", {"vehicle_id": "G05"}, "", False,
          {"vehicle_id": "X02", "title": "Welder, on trial", "class": "generator", "in_service_on": "2024-13-01"},
          "in_service_on", "row", "no such month"),
    Added("tasks.csv", {"class": "van", "task": "brake_fluid"}, "", True, {"task": "engine_oil", "title": "Engine oil",
          "every_distance": "20000"}, "task", "row", "task listed twice, differently"),
    Added("tasks.csv", {"class": "tipper", "task": "hoist_oil"}, "", True, {"task": ""}, "task", "row", "no task"),
    Added("task_items.csv", {"class": "tipper", "task": "axle_oil"}, "", False,
          {"class": "tipper", "task": "axle_oil", "item": "axle_fill_washer_heavy", "quantity": "2"}, "item", "row",
          "an item that does not exist"),
    Added("task_items.csv", {"class": "van", "task": "gearbox_oil"}, "", False,
          {"class": "van", "task": "gearbox_oil", "item": "gearbox_washer", "quantity": "2 off"}, "quantity", "row",
          "quantity with a word"),
    Added("items.csv", {"item": "cabin_filter"}, "", True, {"item": "oil_filter_van", "title": "Oil filter, van (new)"},
          "item", "row", "item listed twice, differently"),
    Added("items.csv", {"item": "lamp"}, "", False, {"item": "rope_winch", "title": "Winch rope"}, "unit", "row",
          "no unit"),
    Added("packs.csv", {"item": "axle_oil_heavy", "pack": "pail_20L"}, "", False,
          {"item": "axle_oil_heavy", "pack": "keg_60L", "size": "60 L", "price": "355"}, "size", "row",
          "size with its unit"),
    Added("packs.csv", {"item": "hydraulic_oil", "pack": "pail_20L"}, "", False,
          {"item": "hydraulic_oil", "pack": "keg_60L", "size": "60"}, "price", "row", "no price"),
    Added("packs.csv", {"item": "grease"}, "", False, {"item": "copper_paste", "pack": "tin", "size": "1",
          "price": "9.50"}, "item", "row", "an item that does not exist"),
    Added("expiries.csv", {"vehicle_id": "L06"}, "", False,
          {"vehicle_id": "L06", "task": "roadworthiness", "expires_on": "2026-11-31"}, "expires_on", "row",
          "no such day"),
    Added("expiries.csv", {"vehicle_id": "V08"}, "", False,
          {"vehicle_id": "V09", "task": "roadworthiness", "expires_on": "2027-03-01"}, "vehicle_id", "row",
          "vehicle not known"),
    Added("meter_changes.csv", {"vehicle_id": "T04"}, "", False, {"vehicle_id": "T09", "changed_on": "2025-02-03",
          "meter": "odometer", "final_reading": "90211", "unit": "km"}, "vehicle_id", "row", "vehicle not known"),
    Added("meter_changes.csv", {"vehicle_id": "D01"}, "", False, {"vehicle_id": "D03", "changed_on": "2025-02-03",
          "meter": "hours", "final_reading": "?", "unit": "h"}, "final_reading", "row", "last reading not known"),
    Added("vehicle_tasks.csv", {"vehicle_id": "V03"}, "", False, {"vehicle_id": "V30", "task": "engine_oil",
          "every_months": "6", "reason": "short trips"}, "vehicle_id", "row", "vehicle not known"),
    Added("vehicle_tasks.csv", {"vehicle_id": "T07"}, "", False, {"vehicle_id": "W02", "task": "coolant",
          "every_months": "two years", "reason": "hard water"}, "every_months", "value", "months in words"),
    Added("vehicle_items.csv", {"vehicle_id": "D02"}, "", False, {"vehicle_id": "D05", "task": "service_250",
          "item": "oil_filter_long", "instead_of": "oil_filter_machine", "quantity": "1", "reason": "longer filter"},
          "item", "row", "an item that does not exist"),
    Added(TR24, {"vehicle_id": "L08"}, "2024-06-03", True, {"vehicle_id": "L99"}, "vehicle_id", "row",
          "vehicle not known"),
    Added(TR25, {"vehicle_id": "T07"}, "2025-04-14", False, {}, "", "row", "line cut off: fields missing",
          "T07,2025-04-15T18:01"),
    Added(TR26, {"vehicle_id": "L04"}, "2026-07-06", False, {}, "", "row", "one field too many: comma in the number",
          "L04,2026-07-08T17:45,odometer,141,204,km"),
    Added(CARD26, {"vehicle_id": "P03"}, "2026-03-09", False, {}, "", "row", "line cut off: fields missing",
          "2026-03-11 08:15,P03"),
    Added(HAND, {"vehicle_id": "G02"}, "2025-05-05", True, {"vehicle_id": "G20"}, "vehicle_id", "row",
          "vehicle not known"),
    Added(HB, {"vehicle_id": "T02"}, "2025-07-01", False, {"vehicle_id": "T19", "done_on": "2025-07-08",
          "description": "hired tipper, tyre replaced", "kind": "repair", "parts_cost": "395.00"}, "vehicle_id", "value",
          "vehicle not known: money kept"),
    Added(CF, {"vehicle_id": "W02"}, "2025-08-01", False, {"vehicle_id": "W02", "done_on": "2025-08-12",
          "task": "tank_painting", "kind": "scheduled", "labour_hours": "6", "labour_cost": "384.00"}, "task", "value",
          "task not in the plan: money kept"),
    Added(FL, {"vehicle_id": "L08"}, "2025-05-01", False, {}, "", "row", "one field too many",
          "L08,2025-05-06,,,,check,,looked over,,,good,mirror, loose, again"),
)

REPEATED = (
    (TR24, {"vehicle_id": "L01"}, "2024-05-13"),
    (TR25, {"vehicle_id": "T01"}, "2025-10-20"),
    (CARD26, {"vehicle_id": "P04"}, "2026-04-13"),
    (HAND, {"vehicle_id": "G01"}, "2025-12-01"),
    (TC, {"vehicle_id": "T07", "task": "*"}, "2025-04-01"),
    (WS, {"vehicle_id": "L03"}, "2025-02-01"),
    ("expiries.csv", {"vehicle_id": "T01"}, ""),
    ("packs.csv", {"item": "coolant", "pack": "pail_20L"}, ""),
)
