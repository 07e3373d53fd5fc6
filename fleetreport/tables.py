"""The input tables of a fleet folder, as data: columns, kinds, defaults, keys and references.

Reader, checker and manual all read these declarations, so that they cannot disagree. What a cell may hold is its
column's kind (`kinds.py`). Nothing here touches a file or a database.
"""

from typing import NamedTuple

from fleetreport.kinds import CODES, DATE, MONEY, MONTH_DAY, MOST, TEXT, TIME, Kind, number, one_of, whole


class Column(NamedTuple):
    """One column of an input table.

    `needed`: a row without it is refused. `refuses`: a row whose value is wrong is refused even though the
    column may be blank, since the default would change what the row says (a unit, say). `refers_to`: the tables
    of which one must hold the value in a column of this name, or the row is refused.
    """

    name: str
    kind: Kind = TEXT
    needed: bool = False
    default: str | None = None
    refuses: bool = False
    refers_to: tuple[str, ...] = ()


class RowRule(NamedTuple):
    """A rule between the cells of a row: where `is_broken` (SQL over the text of `uses`) holds, the row is refused.

    The fault is told of `column`.
    """

    column: str
    uses: tuple[str, ...]
    is_broken: str
    expected: str


class Table(NamedTuple):
    """One input table: its columns and the columns that name a row (none: a row is all it says).

    `fills` are the defaults that hang on other cells or on the vehicle, column by column: SQL over the row `r` and its
    vehicle `v`.
    """

    name: str
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()
    needed: bool = False
    rules: tuple[RowRule, ...] = ()
    fills: tuple[tuple[str, str], ...] = ()

    def column(self, name: str) -> Column:
        """The column of this name; KeyError where there is none."""
        return next(column for column in self.columns if column.name == name)


VEHICLE = Column("vehicle_id", needed=True, refers_to=("vehicles",))
DISTANCE_UNIT = one_of("km", "mi")
METER = Column("meter", one_of("odometer", "hours"), refuses=True)
# A blank meter is what the unit says, else the odometer; a blank unit is the vehicle's.
METER_FILLED = "coalesce(r.meter, case r.unit when 'h' then 'hours' else 'odometer' end)"
METER_AND_UNIT = (
    ("meter", METER_FILLED),
    ("unit", f"coalesce(r.unit, case {METER_FILLED} when 'hours' then 'h' else v.distance_unit end)"),
)
UNIT_FITS_METER = (
    RowRule(
        "unit",
        ("meter", "unit"),
        "lower(meter) = 'odometer' and lower(unit) = 'h' or lower(meter) = 'hours' and lower(unit) in ('km', 'mi')",
        "km or mi for an odometer, h for hours",
    ),
)
DUTY = Column("duty", one_of("normal", "severe"), default="normal")
LENGTH = number(above=0)
MONTHS = whole(1, 1200)

INTERVALS = tuple(
    Column(f"{when}_{what}", MONTHS if what == "months" else LENGTH)
    for when in ("every", "first", "severe")
    for what in ("distance", "months", "hours")
)


def plan_columns(defaults: bool) -> tuple[Column, ...]:
    """What a task says beyond its name; in `vehicle_tasks` a blank cell keeps the class's value, so no defaults."""

    def default(value: str) -> str | None:
        return value if defaults else None

    return (
        Column("title"),
        *INTERVALS,
        Column("distance_unit", DISTANCE_UNIT, default=default("km")),
        Column("basis", one_of("last_done", "fixed", "anchored"), default=default("last_done")),
        Column("every_year_on", MONTH_DAY),
        Column("after"),
        Column("covers", CODES),
        Column("labour_hours", number(least=0)),
        Column("category"),
        Column("late_tolerance_pct", number(least=0), default=default("10")),
        Column("source", one_of("maker", "law", "contract", "own")),
        Column("caution"),
        # The maker's own interval, where the plan's is another: an advisor never goes beyond it.
        Column("maker_distance", LENGTH),
        Column("maker_months", MONTHS),
        Column("maker_hours", LENGTH),
        # yes: a large overhaul or inspection that the books may treat as an asset (IAS 16.14).
        Column("major", one_of("yes", "no")),
    )


VEHICLES = Table(
    "vehicles",
    (
        Column("vehicle_id", needed=True),
        Column("title"),
        Column("class", needed=True),
        Column("depot"),
        Column("cost_centre"),
        Column("distance_unit", DISTANCE_UNIT, default="km"),
        Column("in_service_on", DATE, needed=True),
        Column("in_service_odometer", number(least=0), default="0"),
        Column("in_service_hours", number(least=0), default="0"),
        DUTY,
        Column("retired_on", DATE),
        Column("budget_per_year", MONEY),
        # What the maker's warranty covers: until a day and up to an odometer reading, in the vehicle's unit.
        Column("warranty_until", DATE),
        Column("warranty_distance", number(least=0)),
        # What a register of vehicles asks for beside the number (49 CFR 396.3(b)(1)).
        Column("make"),
        Column("serial"),
        Column("year", whole(1900, 2199)),
        Column("tyre_size"),
        Column("owner"),
        # What a new one would cost, and what this one would fetch today.
        Column("price", number(least=0, sql_type="DECIMAL(18,4)")),
        Column("value_now", number(least=0, sql_type="DECIMAL(18,4)")),
    ),
    key=("vehicle_id",),
    needed=True,
)
TASKS = Table(
    "tasks",
    (Column("class", needed=True), Column("task", needed=True), *plan_columns(defaults=True)),
    key=("class", "task"),
    needed=True,
)
READINGS = Table(
    "readings",
    (
        VEHICLE,
        Column("read_at", TIME, needed=True),
        METER,
        Column("reading", number(least=0), needed=True),
        Column("unit", one_of("km", "mi", "h"), refuses=True),
        Column("source"),
    ),
    rules=UNIT_FITS_METER,
    fills=METER_AND_UNIT,
)
METER_CHANGES = Table(
    "meter_changes",
    (
        VEHICLE,
        Column("changed_on", DATE, needed=True),
        METER,
        Column("final_reading", number(least=0), needed=True),
        Column("first_reading", number(least=0), default="0", refuses=True),
        Column("unit", one_of("km", "mi", "h"), refuses=True),
    ),
    key=("vehicle_id", "meter", "changed_on"),
    rules=UNIT_FITS_METER,
    fills=METER_AND_UNIT,
)
HISTORY = Table(
    "history",
    (
        # A line for a vehicle that nobody knows keeps its money, so it is loaded and listed, not refused.
        Column("vehicle_id", needed=True),
        Column("done_on", DATE, needed=True),
        Column("odometer", number(least=0)),
        Column("hours", number(least=0)),
        Column("unit", one_of("km", "mi", "h")),
        Column("task"),
        Column("description"),
        Column("kind", one_of("scheduled", "repair", "top_up", "check")),
        Column("item"),
        Column("quantity", number()),
        Column("parts_cost", MONEY),
        Column("labour_hours", number()),
        Column("labour_cost", MONEY),
        Column("other_cost", MONEY),
        Column("invoice"),
        Column("condition"),
        Column("note"),
        Column("still_open", one_of("part", "level", "inspection", "other")),
        Column("below_mark", number()),  # how far below the full mark a dip found the item's level, in its unit
        *(Column(who) for who in ("done_by", "verified_by")),
    ),
    fills=(("unit", "case when r.unit in ('km', 'mi') then r.unit else v.distance_unit end"),),
)
ITEM = Column("item", needed=True, refers_to=("items",))
TASK_ITEMS = Table(
    "task_items",
    (
        Column("class", needed=True),
        Column("task", needed=True, refers_to=("tasks", "vehicle_tasks", "expiries")),
        ITEM,
        Column("quantity", number(least=0), needed=True),
        Column("chance", number(least=0, most=1), default="1"),
        Column("reuses", whole(0, 1000), default="0"),
    ),
    key=("class", "task", "item"),
)
VEHICLE_TASKS = Table(
    "vehicle_tasks",
    (VEHICLE, Column("task", needed=True), *plan_columns(defaults=False), Column("reason")),
    key=("vehicle_id", "task"),
)
VEHICLE_ITEMS = Table(
    "vehicle_items",
    (
        VEHICLE,
        Column("task", needed=True),
        ITEM,
        Column("instead_of"),
        Column("quantity", number(least=0)),
        Column("reason"),
    ),
    key=("vehicle_id", "task", "item"),
)
ITEMS = Table(
    "items",
    (
        Column("item", needed=True),
        Column("title"),
        Column("unit", needed=True),
        Column("kind"),
        Column("grade"),
        Column("needs"),
        Column("unit_cost", MONEY),
        Column("on_hand", number(), default="0"),
        Column("on_order", number(least=0), default="0"),
        Column("lead_time_days", whole(0, 3650), default="0"),
        Column("used_becomes"),
        Column("counted_on", DATE),
        Column("lead_time_sd_days", number(least=0), default="0"),
        Column("storage_limit", number(least=0)),
        # What the handbook allows between services, in the item's unit.
        Column("limit_per_1000_km", number(above=0)),
        Column("limit_per_100_h", number(above=0)),
    ),
    key=("item",),
)
PACKS = Table(
    "packs",
    (
        ITEM,
        Column("pack", needed=True),
        Column("size", number(above=0), needed=True),
        Column("price", number(least=0, sql_type="DECIMAL(18,4)"), needed=True),
        Column("supplier"),
        Column("product"),
        Column("grade"),
        Column("meets"),
        Column("available", whole(0, MOST)),
        Column("min_count", whole(1, MOST), default="1"),
        Column("shelf_life_days", whole(1, 36500)),
    ),
    # Rows that differ in `min_count` are price breaks of one pack.
    key=("item", "supplier", "min_count", "pack"),
)
SUPPLIERS = Table(
    "suppliers",
    (
        Column("supplier", needed=True),
        Column("email"),
        Column("account"),
        Column("min_order", number(least=0, sql_type="DECIMAL(18,4)"), default="0"),
    ),
    key=("supplier",),
)
STOCK_TAKES = Table(
    "stock_takes",
    (ITEM, Column("counted_on", DATE, needed=True), Column("counted", number(least=0), needed=True)),
    key=("item", "counted_on"),
)
# A series of index figures by which the prices of a kind of item (`labour`, `*`: all others) are escalated.
PRICE_INDEXES = Table(
    "price_indexes",
    (
        Column("kind", needed=True),
        Column("month", DATE, needed=True),
        Column("index_value", number(above=0), needed=True),
        Column("series"),
    ),
    key=("kind", "month"),
)
EXPIRIES = Table("expiries", (VEHICLE, Column("task", needed=True), Column("expires_on", DATE, needed=True)))

AVAILABILITY = Table(
    "availability",
    (
        VEHICLE,
        Column("available_on", DATE),
        Column("weekday", one_of("mon", "tue", "wed", "thu", "fri", "sat", "sun")),
    ),
    rules=(
        RowRule(
            "weekday", ("available_on", "weekday"), "(available_on is null) = (weekday is null)", "a date or a weekday"
        ),
    ),
)
PAIRS = Table(
    "pairs",
    (VEHICLE, Column("not_with", needed=True)),
    rules=(RowRule("not_with", ("vehicle_id", "not_with"), "vehicle_id = not_with", "another vehicle"),),
)

# In the order they are loaded: a table stands after those it refers to.
TABLES = (
    VEHICLES, TASKS, VEHICLE_TASKS, EXPIRIES, ITEMS, READINGS, METER_CHANGES, HISTORY, TASK_ITEMS, VEHICLE_ITEMS, PACKS,
    SUPPLIERS, STOCK_TAKES, AVAILABILITY, PAIRS, PRICE_INDEXES,
)  # fmt: skip
BY_NAME = {table.name: table for table in TABLES}
