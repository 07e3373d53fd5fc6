"""All tables of the fleet folder as sheets, faultless, before anything is planted."""

from datetime import date
from typing import Any

from generator import plan, stock, vehicles, workshop
from generator.exports import reading_sheets
from generator.free_text import HAND as RELIEF_FITTER
from generator.free_text import in_free_text
from generator.ledger import Line, all_lines, certificates
from generator.services import all_done
from generator.sheets import Row, Sheet
from generator.stories import BASE_UNTIL, WEEKS
from generator.usage import Truth, chance_of, truths

HISTORY_COLUMNS = (
    "vehicle_id",
    "done_on",
    "odometer",
    "hours",
    "unit",
    "task",
    "description",
    "kind",
    "item",
    "quantity",
    "parts_cost",
    "labour_hours",
    "labour_cost",
    "other_cost",
    "invoice",
    "condition",
    "note",
    "still_open",
    "below_mark",
    "done_by",
    "verified_by",
)
METER_CHANGE_COLUMNS = ("vehicle_id", "changed_on", "meter", "final_reading", "first_reading", "unit")
AVAILABILITY_COLUMNS = ("vehicle_id", "available_on", "weekday")
PAIR_COLUMNS = ("vehicle_id", "not_with")
EXPIRY_COLUMNS = ("vehicle_id", "task", "expires_on")
READING_COLUMNS = ("vehicle_id", "read_at", "meter", "reading", "unit", "source")
# what the contract knows of each table: a repeat is judged on these
CONTRACT_COLUMNS = {
    "vehicles": (*vehicles.VEHICLE_COLUMNS, *vehicles.MONEY_COLUMNS, *workshop.REGISTER_COLUMNS),
    "availability": AVAILABILITY_COLUMNS,
    "pairs": PAIR_COLUMNS,
    "readings": READING_COLUMNS,
    "meter_changes": METER_CHANGE_COLUMNS,
    "history": HISTORY_COLUMNS,
    "tasks": (*plan.TASK_COLUMNS, *workshop.MAKER_COLUMNS),
    "task_items": stock.TASK_ITEM_COLUMNS,
    "vehicle_tasks": (*plan.TASK_COLUMNS[1:], "vehicle_id", "reason"),
    "vehicle_items": vehicles.VEHICLE_ITEM_COLUMNS,
    "items": (*stock.ITEM_COLUMNS, *workshop.LIMIT_COLUMNS),
    "packs": stock.PACK_COLUMNS,
    "suppliers": stock.SUPPLIER_COLUMNS,
    "stock_takes": stock.STOCK_TAKE_COLUMNS,
    "expiries": EXPIRY_COLUMNS,
    "price_indexes": stock.PRICE_INDEX_COLUMNS,
}
# each hand's own columns, in its own order; `mechanic` is one the contract does not know
HANDS = {
    "harrow_bore": HISTORY_COLUMNS,
    "cinder_flat": (
        "done_on",
        "vehicle_id",
        "task",
        "odometer",
        "hours",
        "description",
        "kind",
        "labour_hours",
        "labour_cost",
        "item",
        "quantity",
        "parts_cost",
        "other_cost",
        "condition",
        "note",
        "below_mark",
    ),
    "tallow_crossing": (
        "vehicle_id",
        "done_on",
        "odometer",
        "hours",
        "unit",
        "task",
        "kind",
        "description",
        "item",
        "quantity",
        "parts_cost",
        "labour_hours",
        "labour_cost",
        "other_cost",
        "condition",
        "note",
        "below_mark",
        "mechanic",
    ),
    "wheel_shop": (
        "invoice",
        "done_on",
        "vehicle_id",
        "odometer",
        "unit",
        "task",
        "description",
        "other_cost",
    ),
    "field_log": (
        "vehicle_id",
        "done_on",
        "odometer",
        "hours",
        "unit",
        "kind",
        "task",
        "description",
        "item",
        "quantity",
        "condition",
        "note",
        "below_mark",
    ),
    "test_station": (
        "vehicle_id",
        "done_on",
        "odometer",
        "unit",
        "task",
        "description",
        "condition",
        "other_cost",
        "invoice",
    ),
    RELIEF_FITTER: ("done_on", "vehicle_id", "odometer", "unit", "description", "parts_cost", "labour_hours"),
    "card_index": ("vehicle_id", "done_on", "odometer", "hours", "unit", "task", "description", "kind"),
}
ONE_FILE = {"test_station": "2023-to-2026-11", "card_index": "before-2023-12", RELIEF_FITTER: "2025-to-2026-11"}


def _history_sheets(lines: list[Line]) -> list[Sheet]:
    """One base file and three overlapping weekly ones for each hand; three hands have a single file."""
    sheets = []
    for hand, columns in HANDS.items():
        rows = []
        for line in lines:
            if line["hand"] == hand:
                cells = {name: line.get(name) for name in columns}
                if "mechanic" in columns:
                    shift = chance_of("shift", line["vehicle_id"], line["done_on"])
                    cells["mechanic"] = shift.choice(("first shift", "second shift"))
                rows.append((date.fromisoformat(line["done_on"]), Row(cells)))
        if hand in ONE_FILE:
            sheets.append(Sheet(f"history/{hand}-{ONE_FILE[hand]}.csv", columns, [row for _, row in rows]))
            continue
        spans = (("2023-to-2026-10", date.min, BASE_UNTIL), *WEEKS)
        for label, since, end in spans:
            inside = [row for on, row in rows if since <= on <= end]
            sheets.append(Sheet(f"history/{hand}-{label}.csv", columns, inside))
    return sheets


def _meter_changes(fleet: dict[str, Truth]) -> list[Row]:
    return [
        Row(
            {
                "vehicle_id": truth.id,
                "changed_on": day,
                "meter": meter,
                "final_reading": final,
                "first_reading": first,
                "unit": "h" if meter == "hours" else ("mi" if truth.miles else "km"),
            }
        )
        for truth in fleet.values()
        for day, meter, final, first in truth.changes
    ]


def _makers_interval(row: dict[str, Any]) -> dict[str, Any]:
    intervals = workshop.MAKERS_INTERVAL.get((row["class"], row["task"]), ("", "", ""))
    return dict(zip(workshop.MAKER_COLUMNS, intervals, strict=True))


def _limits(row: dict[str, Any]) -> dict[str, Any]:
    return dict(zip(workshop.LIMIT_COLUMNS, workshop.LIMITS.get(row["item"], ("", "")), strict=True))


def faultless_sheets() -> list[Sheet]:
    """Every file of the fleet folder but fleet.toml."""
    fleet = truths()
    lines = in_free_text(all_lines(fleet, all_done(fleet)))
    expiries = [
        Row({"vehicle_id": truth.id, "task": task, "expires_on": day})
        for truth in fleet.values()
        for task, day in certificates(truth)
    ]
    tables = {
        "vehicles": (
            CONTRACT_COLUMNS["vehicles"],
            [row | workshop.register_of(row) for row in vehicles.vehicle_rows()],
        ),
        "tasks": (CONTRACT_COLUMNS["tasks"], [row | _makers_interval(row) for row in plan.TASKS]),
        "task_items": (stock.TASK_ITEM_COLUMNS, stock.rows_of(stock.TASK_ITEMS, stock.TASK_ITEM_COLUMNS)),
        "items": (CONTRACT_COLUMNS["items"], [row | _limits(row) for row in stock.item_rows()]),
        "packs": (stock.PACK_COLUMNS, stock.pack_rows()),
        "suppliers": (stock.SUPPLIER_COLUMNS, stock.rows_of(stock.SUPPLIERS, stock.SUPPLIER_COLUMNS)),
        "stock_takes": (stock.STOCK_TAKE_COLUMNS, stock.rows_of(stock.STOCK_TAKES, stock.STOCK_TAKE_COLUMNS)),
        "price_indexes": (stock.PRICE_INDEX_COLUMNS, stock.price_index_rows()),
        "availability": (
            AVAILABILITY_COLUMNS,
            [dict(zip(AVAILABILITY_COLUMNS, row, strict=True)) for row in workshop.AVAILABILITY],
        ),
        "pairs": (PAIR_COLUMNS, [dict(zip(PAIR_COLUMNS, row, strict=True)) for row in workshop.PAIRS]),
        "vehicle_tasks": (
            vehicles.VEHICLE_TASK_COLUMNS,
            stock.rows_of(vehicles.VEHICLE_TASKS, vehicles.VEHICLE_TASK_COLUMNS),
        ),
        "vehicle_items": (
            vehicles.VEHICLE_ITEM_COLUMNS,
            stock.rows_of(vehicles.VEHICLE_ITEMS, vehicles.VEHICLE_ITEM_COLUMNS),
        ),
    }
    sheets = [Sheet(f"{name}.csv", columns, [Row(row) for row in rows]) for name, (columns, rows) in tables.items()]
    sheets.append(Sheet("expiries.csv", EXPIRY_COLUMNS, expiries))
    sheets.append(Sheet("meter_changes.csv", METER_CHANGE_COLUMNS, _meter_changes(fleet)))
    return sheets + reading_sheets(fleet) + _history_sheets(lines)
