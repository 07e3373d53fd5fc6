"""The changes of a what-if: read from the call, told in words, applied to the rows of a store.

`read_changes` turns the texts of the call into `Changes`; each fault is told as found and expected. `apply_to_rows`
changes the rows of the fleet's own tables, `run_faster` the daily distance. An interval given for a task replaces that
of every class that has one of its kind, and of every single vehicle that has one of its own.
"""

import re
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

import duckdb

from fleetreport.alike import did_you_mean
from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.problem import WrongCall
from fleetreport.settings.fleet_toml import Settings
from fleetreport.sql import identifier

# No interval of nothing, none of part of a month; a sign and a percent sign only together.
INTERVAL = re.compile(
    r"(?P<task>[^=]+)=(?=[0.]*[1-9])(?!\d+\.\d+mo)(?!\d{4,}mo)(?P<amount>\d{1,9}(\.\d{1,7})?)(?P<unit>km|mi|h|mo)?"
)
PRICE = re.compile(r"(?P<item>[^=]+)=(?P<sign>[+-])?(?P<amount>\d{1,9}(\.\d{1,4})?)(?(sign)%)")
SHARE = re.compile(r"(?P<sign>[+-])(?P<amount>\d{1,5}(\.\d{1,2})?)%")
COLUMN_OF_UNIT = {None: "distance", "km": "distance", "mi": "distance", "h": "hours", "mo": "months"}


class NewInterval(NamedTuple):
    """A task's new interval: so many km or mi (as `unit` says, else as the task's row counts), h, or months (`mo`)."""

    task: str
    amount: Decimal
    unit: str | None


class NewPrice(NamedTuple):
    """An item's new price a unit, or what its price is multiplied by; item `*` is every item."""

    item: str
    price: Decimal | None
    factor: Decimal | None


class Changes(NamedTuple):
    """All that is different. `labour_rate` None and factor 1 leave things as they are."""

    labour_rate: Decimal | None = None
    intervals: tuple[NewInterval, ...] = ()
    prices: tuple[NewPrice, ...] = ()
    distance: Decimal = Decimal(1)
    retired: tuple[str, ...] = ()

    def settings(self, settings: Settings) -> Settings:
        """The settings with these changes."""
        if self.labour_rate is None:
            return settings
        workshop = settings.workshop.model_copy(update={"labour_rate": float(self.labour_rate)})
        return settings.model_copy(update={"workshop": workshop})

    def told(self, words: Catalogue = ENGLISH) -> list[str]:
        """Each change as a line of text."""
        lines = [] if self.labour_rate is None else [words["change_told.labour"].format(rate=self.labour_rate)]
        for new in self.intervals:
            unit = new.unit or words["change_told.own_unit"]
            lines.append(words["change_told.interval"].format(task=new.task, amount=new.amount, unit=unit))
        for one in self.prices:
            item = words["change_told.every_item"] if one.item == "*" else one.item
            said = words["change_told.price" if one.factor is None else "change_told.factor"]
            lines.append(said.format(item=item, price=one.price, factor=one.factor))
        if self.distance != 1:
            lines.append(words["change_told.distance"].format(factor=self.distance))
        return lines + [words["change_told.retired"].format(name=name) for name in self.retired]


def read_changes(
    labour_rate: str, intervals: Sequence[str], prices: Sequence[str], distance: str, retired: Sequence[str]
) -> Changes:
    """The changes that a call asks for. Raises WrongCall with a line for each fault, or where nothing is changed."""
    faults: list[str] = []

    def matched(pattern: re.Pattern[str], option: str, text: str, expected: str) -> re.Match[str] | None:
        if not (match := pattern.fullmatch(text.strip())):
            faults.append(f'{option}: found "{text}", expected {expected}')
        return match

    rate = (
        matched(re.compile(r"\d+(\.\d+)?"), "--labour-rate", labour_rate, "a number such as 72")
        if labour_rate
        else None
    )
    spans = [matched(INTERVAL, "--interval", text, "a task and its interval such as engine_oil=12000km, 500h or 6mo")
             for text in intervals]  # fmt: skip
    costs = [matched(PRICE, "--price", text, "an item and its price such as engine_oil=7.40 or engine_oil=+10%")
             for text in prices]  # fmt: skip
    pace = matched(SHARE, "--distance", distance, "a share such as +10% or -5%") if distance else None
    if not faults and not (rate or spans or costs or pace or retired):
        faults.append(
            "what-if: found nothing to change, expected one of --labour-rate, --interval, --price, --distance, --retire"
        )
    if faults:
        raise WrongCall(*faults)
    return Changes(
        labour_rate=Decimal(labour_rate.strip()) if rate else None,
        intervals=tuple(NewInterval(m["task"].strip(), Decimal(m["amount"]), m["unit"]) for m in spans if m),
        prices=tuple(_new_price(m) for m in costs if m),
        distance=_factor(pace) if pace else Decimal(1),
        retired=tuple(name.strip() for name in retired),
    )


def _new_price(match: re.Match[str]) -> NewPrice:
    if match["sign"]:
        return NewPrice(match["item"].strip(), None, _factor(match))
    return NewPrice(match["item"].strip(), Decimal(match["amount"]), None)


def _factor(match: re.Match[str]) -> Decimal:
    """`+10%` as 1.1; never below 0."""
    share = Decimal(match["amount"]) / 100
    return max(Decimal(0), 1 + (-share if match["sign"] == "-" else share))


# The fleet's own rows that a change touches.
CHANGED_TABLES = ("vehicles", "tasks", "vehicle_tasks", "items", "packs")


def apply_to_rows(db: duckdb.DuckDBPyConnection, changes: Changes, as_of: date) -> None:
    """Change the fleet's own rows. Raises WrongCall for a task, item or class that the fleet does not have."""
    for one in changes.intervals:
        column = COLUMN_OF_UNIT[one.unit]
        _known(
            db,
            "--interval",
            one.task,
            f"select task from tasks where every_{column} is not null "
            f"union select task from vehicle_tasks where every_{column} is not null",
            f"a task with {column}",
        )
        for table, unit in UNIT_OF_ROW.items():
            _set_interval(db, one, column, table, unit)
    for price in changes.prices:
        if price.item != "*":
            _known(db, "--price", price.item, "select item from items", "an item")
        _set_price(db, price)
    for name in changes.retired:
        _known(db, "--retire", name, "select class from vehicles", "a class")
        db.execute(
            "update vehicles set retired_on = ? where class = ? and coalesce(retired_on > ?, true)",
            [as_of, name, as_of],
        )


# The unit that a row's distances are in; a vehicle's own row without one is in its class's.
UNIT_OF_ROW = {
    "tasks": "distance_unit",
    "vehicle_tasks": """coalesce(distance_unit, (
        select arg_max(t.distance_unit, t.class = v.class) from tasks t, vehicles v
        where v.vehicle_id = vehicle_tasks.vehicle_id and t.task = vehicle_tasks.task and t.class in (v.class, '*')
    ), 'km')""",
}


def _set_interval(db: duckdb.DuckDBPyConnection, one: NewInterval, column: str, table: str, unit: str) -> None:
    """The interval, and the one of severe duty in proportion; alone, that one is the interval."""
    every, severe = identifier(f"every_{column}"), identifier(f"severe_{column}")
    factor = "1.0"
    if one.unit in ("km", "mi"):
        # Into the unit of the row: 1 mi is 1.609344 km exactly.
        other = "1.609344" if one.unit == "mi" else "1 / 1.609344"
        factor = f"case when {unit} = '{one.unit}' then 1 else {other} end"
    kind = "::integer" if column == "months" else "::decimal(18, 7)"
    db.execute(
        f"""update {table} set {every} = case when {every} is not null then (? * {factor}){kind} end,
            {severe} = case when {severe} is not null
                then greatest(1, coalesce({severe}::double / {every}::double, 1) * ? * {factor}) end{kind}
        where task = ? and coalesce({every}, {severe}) is not null""",
        [float(one.amount), float(one.amount), one.task],
    )


def _set_price(db: duckdb.DuckDBPyConnection, one: NewPrice) -> None:
    whose = "" if one.item == "*" else " where item = ?"
    item = [] if one.item == "*" else [one.item]
    if one.factor is None:
        db.execute(f"update items set unit_cost = ?{whose}", [one.price, *item])
        return
    db.execute(
        f"update items set unit_cost = (unit_cost::decimal(28, 4) * ?)::decimal(18, 4){whose}", [one.factor, *item]
    )
    db.execute(f"update packs set price = (price::decimal(28, 4) * ?)::decimal(18, 4){whose}", [one.factor, *item])


def _known(db: duckdb.DuckDBPyConnection, option: str, name: str, names: str, what: str) -> None:
    known = sorted({row[0] for row in db.execute(names).fetchall()})
    if name not in known:
        raise WrongCall(f'{option}: found "{name}", expected {what} of the fleet{did_you_mean(name, known)}')


def run_faster(db: duckdb.DuckDBPyConnection, changes: Changes) -> None:
    """From today on, every odometer runs so much more or less a day than it has; what it shows today stays."""
    if changes.distance == 1:
        return
    db.execute(
        "update meter_now set rate = rate::decimal(28, 7) * ?::decimal(9, 4) where meter = 'odometer'",
        [changes.distance],
    )
    db.execute(
        "update daily_rate set rate = rate::decimal(28, 7) * ?::decimal(9, 4) where meter = 'odometer'",
        [changes.distance],
    )
    edges = ", ".join(
        f"{side}_{days} = ({side}_{days}::decimal(28, 7) * ?::decimal(9, 4))::decimal(18, 7)"
        for side in ("low", "high")
        for days in (7, 14, 28, 91, 182, 364)
    )
    db.execute(f"update distance_band set {edges} where meter = 'odometer'", [changes.distance] * 12)
