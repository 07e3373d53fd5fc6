"""The workshops' lines: services, repairs, top-ups, checks, written down in six different hands.

A service is one line with the labour and one for each item (Harrow Bore, Tallow Crossing), or one line
with everything (Cinder Flat); the wheel shop, the test station and the field crews have their own ways.
"""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Any

from generator.calendar_rules import add_months, workday
from generator.services import END, Done
from generator.stock import ITEM_COLUMNS, ITEMS, PACK_COLUMNS, PACKS, TASK_ITEM_COLUMNS, TASK_ITEMS, rows_of
from generator.stories import READINGS_FROM, RECORDS_FROM
from generator.usage import Truth, chance_of
from generator.vehicles import CERTIFICATES, EXPIRES, VEHICLE_ITEM_COLUMNS, VEHICLE_ITEMS
from generator.words import FIELD_FINDINGS, FINDINGS, REPAIRS, SERVICE_NOTES
from generator.workshop import DIPS_FROM, LEFT_OPEN, below_mark, code_of

Line = dict[str, Any]
LABOUR_RATE = 64.0
HAND_OF_DEPOT = {
    "Harrow Bore": "harrow_bore",
    "Cinder Flat": "cinder_flat",
    "Tallow Crossing": "tallow_crossing",
}
FORGETS_ODOMETER = {
    "harrow_bore": 0.04,
    "cinder_flat": 0.18,
    "tallow_crossing": 0.08,
    "wheel_shop": 0.1,
    "field_log": 0.05,
    "test_station": 0.0,
    "card_index": 0.12,
}
ITEM_LINE = ("hand", "vehicle_id", "done_on", "odometer", "hours", "unit", "task", "kind", "invoice")
WHEEL_TASKS = {"tyre_rotation", "wheels_off", "wheel_bearings"}


def item_prices() -> dict[str, float]:
    """Price per unit: the item's own, or the lowest among its packs."""
    packs = rows_of(PACKS, PACK_COLUMNS)
    prices = {}
    for item in rows_of(ITEMS, ITEM_COLUMNS):
        known = [float(p["price"]) / float(p["size"]) for p in packs if p["item"] == item["item"]]
        prices[item["item"]] = float(item["unit_cost"] or min(known, default=0.0))
    return prices


def certificates(truth: Truth) -> list[tuple[str, date]]:
    """Every expiry date of the last three years, by task; each certificate runs a year."""
    found = []
    for task, classes in CERTIFICATES.items():
        if truth.id[0] not in classes:
            continue
        rng = chance_of(truth.id, task)
        last = date(2026, 12, 20) + timedelta(rng.randint(0, 330))
        if (truth.id, task) in EXPIRES:
            last = date.fromisoformat(EXPIRES[truth.id, task])
        if truth.row["retired_on"] == "2025-10-31":
            last = date(2026, 3, 6)
        while last > READINGS_FROM and add_months(last, -12) >= truth.start - timedelta(400):
            found.append((task, last))
            last = add_months(last, -12) - timedelta(rng.randint(0, 9))
    return sorted(found)


class Clerk:
    """Writes one vehicle's lines; who wrote a line stands in its `hand`."""

    def __init__(self, truth: Truth) -> None:
        self.truth = truth
        self.rng = chance_of(truth.id, "ledger")
        self.prices = item_prices()
        self.uses: dict[tuple[str, str], int] = {}
        self.own_items = {
            (row["task"], row["instead_of"] or row["item"]): row
            for row in rows_of(VEHICLE_ITEMS, VEHICLE_ITEM_COLUMNS)
            if row["vehicle_id"] == truth.id
        }

    def line(self, hand: str, on: date, **cells: Any) -> Line:
        """A line with the dials as they stood at noon."""
        has_km, has_hours = bool(self.truth.row["km_a_day"]), bool(self.truth.row["hours_a_day"])
        at = datetime(on.year, on.month, on.day, 12)
        return {
            "hand": hand,
            "vehicle_id": self.truth.id,
            "done_on": on.isoformat(),
            "odometer": self.truth.dial("odometer", at) if has_km else None,
            "hours": self.truth.dial("hours", at) if has_hours else None,
            "unit": ("mi" if self.truth.miles else "km") if has_km else None,
            **cells,
        }

    def items_of(self, done: Done) -> list[tuple[str, float]]:
        """What a service took: sure items, those chance chose, washers only when their turns are over."""
        taken = []
        for row in rows_of(TASK_ITEMS, TASK_ITEM_COLUMNS):
            if row["class"] not in (self.truth.row["class"], "*") or row["task"] not in (
                done.task,
                *done.covered,
            ):
                continue
            turn = self.uses[row["task"], row["item"]] = self.uses.get((row["task"], row["item"]), -1) + 1
            if turn % (int(row["reuses"] or 0) + 1) or self.rng.random() > float(row["chance"] or 1):
                continue
            own = self.own_items.get((row["task"], row["item"]))
            taken.append((own["item"], float(own["quantity"])) if own else (row["item"], float(row["quantity"])))
        fridge = [row for (task, _), row in self.own_items.items() if task == done.task == "fridge_unit"]
        return taken + [(row["item"], float(row["quantity"])) for row in fridge]

    def cost(self, item: str, quantity: float, on: date) -> str:
        """Money for an item at that day's prices: today's, less 3.5 % a year, give or take."""
        years = (END - on).days / 365.25
        return f"{quantity * self.prices[item] * 1.035**-years * self.rng.uniform(0.94, 1.06):.2f}"

    def hand_for(self, done: Done) -> str:
        """Which of the hands writes this piece of work down."""
        if done.opening:
            return "card_index"
        if done.task == "wheel_nuts":
            return "field_log"
        if done.task in WHEEL_TASKS and self.rng.random() < 0.6:
            return "wheel_shop"
        depot = HAND_OF_DEPOT[self.truth.row["depot"]]
        return depot if self.rng.random() < 0.93 else self.rng.choice(sorted(HAND_OF_DEPOT.values()))

    def service(self, done: Done) -> Iterator[Line]:
        """The lines of one task done."""
        hand = self.hand_for(done)
        title = done.row["title"]
        base = self.line(hand, done.on, task=done.task, description=title)
        if self.rng.random() < FORGETS_ODOMETER[hand]:
            base["odometer"] = base["hours"] = base["unit"] = None
        if hand in ("card_index", "field_log"):
            yield base | {"kind": "check" if hand == "field_log" else "scheduled"}
            return
        labour = float(done.row["labour_hours"] or 0.5) + sum(0.9 for _ in done.covered)
        labour = round(labour * self.rng.uniform(0.8, 1.3), 1)
        if hand == "wheel_shop":
            yield base | {
                "other_cost": f"{labour * 78:.2f}",
                "invoice": f"WS-{self.rng.randint(20000, 29999)}",
            }
            return
        base |= {
            "kind": "scheduled" if self.rng.random() < 0.8 else None,
            "labour_hours": labour,
            "labour_cost": f"{labour * LABOUR_RATE * 1.03 ** -((END - done.on).days / 365):.2f}",
        }
        base |= self.finding(done) | self.ticked(done)
        items = self.items_of(done)
        if hand == "cinder_flat":
            parts = sum(float(self.cost(item, quantity, done.on)) for item, quantity in items)
            first = {"item": items[0][0], "quantity": items[0][1], "parts_cost": f"{parts:.2f}"} if items else {}
            first |= self.dipped(items[0][0], done.on) if items else {}
            yield base | first
            return
        if hand == "harrow_bore":
            base["invoice"] = f"H{done.on:%y}-{self.rng.randint(1000, 9999)}"
        yield base
        for item, quantity in items:
            cost = self.cost(item, quantity, done.on)
            yield {name: base.get(name) for name in ITEM_LINE} | {
                "item": item,
                "quantity": quantity,
                "parts_cost": cost,
                **self.dipped(item, done.on),
            }

    def dipped(self, item: str, on: date) -> Line:
        """What the dip before draining found, where somebody wrote it down."""
        below = below_mark(self.truth.row, item, on.isoformat())
        return {"below_mark": below} if below else {}

    def finding(self, done: Done) -> Line:
        """Now and then a mechanic writes what was seen."""
        if done.row["category"] in ("inspection", "brakes", "body") and self.rng.random() < 0.3:
            condition, note = self.rng.choice(FINDINGS)
            return {"condition": condition, "note": note}
        return {"note": self.rng.choice(SERVICE_NOTES)} if self.rng.random() < 0.06 else {}

    def ticked(self, done: Done) -> Line:
        """The code ticked for an oil or a filter, and what the work left open."""
        day = done.on.isoformat()
        code = code_of(self.truth.row, done.task, day, done.row["category"])
        found: Line = {"condition": code} if code else {}
        if left_open := LEFT_OPEN.get((self.truth.id, done.task, day)):
            found |= {"still_open": left_open[0], "note": left_open[1]}
        return found

    def _days(self, a_year: float) -> Iterator[date]:
        """Days of a thing that happens so often a year, on working days, while the vehicle is ours."""
        retired = self.truth.row["retired_on"]
        end = min(END, date.fromisoformat(retired)) if retired else END
        day = max(RECORDS_FROM, self.truth.start)
        while (day := workday(day + timedelta(1 + int(self.rng.expovariate(a_year / 365))))) <= end:
            yield day

    def repairs(self) -> Iterator[Line]:
        """Out-of-plan work with its costs; older and severe vehicles break more."""
        letter = self.truth.id[0]
        a_year = {"T": 3.2, "W": 2.8, "D": 2.4, "G": 1.3, "R": 0.8}.get(letter, 1.4)
        a_year *= (1.35 if self.truth.row["duty"] == "severe" else 1.0) * (0.6 + (2026 - self.truth.start.year) * 0.08)
        for on in self._days(a_year):
            words, item, low, high, labour = self.rng.choice([r for r in REPAIRS if letter in r[0]])[1:]
            hand = HAND_OF_DEPOT[self.truth.row["depot"]]
            hours = round(labour * self.rng.uniform(0.7, 1.6), 1)
            yield self.line(
                hand,
                on,
                description=words,
                kind="repair" if self.rng.random() < 0.7 else None,
                item=item or None,
                quantity=1 if item else None,
                labour_hours=hours,
                labour_cost=f"{hours * LABOUR_RATE:.2f}",
                parts_cost=f"{self.rng.uniform(low, high):.2f}",
                other_cost=f"{self.rng.uniform(60, 420):.2f}" if self.rng.random() < 0.12 else None,
                note="towed in" if self.rng.random() < 0.06 else None,
            )

    def field_lines(self) -> Iterator[Line]:
        """Top-ups and drivers' remarks. T03 uses more and more engine oil."""
        if self.truth.id[0] == "R":
            return
        heavy = self.truth.id[0] in "TWDG"
        for on in self._days({"T03": 26.0, "L08": 9.0, "P06": 7.0}.get(self.truth.id, 1.2)):
            more = 1 + (on - RECORDS_FROM).days / 900 if self.truth.id == "T03" else 1.0
            if self.truth.id == "T03" and self.rng.random() > 0.35 + (on - RECORDS_FROM).days / 1700:
                continue
            quantity = round((1.6 if heavy else 0.5) * more * self.rng.uniform(0.6, 1.4), 1)
            light_task = "engine_oil" if self.truth.id[0] in "LVP" and self.rng.random() < 0.4 else None
            yield self.line(
                "field_log",
                on,
                kind="top_up",
                item=f"engine_oil_{'heavy' if heavy else 'light'}",
                quantity=quantity,
                task=light_task,
                description="engine oil topped up",
            )
        yield from self.monthly_dips()
        for on in self._days(0.8):
            condition, note = self.rng.choice(FIELD_FINDINGS)
            yield self.line("field_log", on, kind="check", description="driver's check", condition=condition, note=note)

    def monthly_dips(self) -> Iterator[Line]:
        """T03's oil is dipped on the first working day of each month, by the driver."""
        day = date.fromisoformat(DIPS_FROM) if self.truth.id == "T03" else END
        while day < END:
            on = workday(day)
            if below := below_mark(self.truth.row, "engine_oil_heavy", on.isoformat()):
                yield self.line("field_log", on, kind="check", description="oil dipped, cold",
                                item="engine_oil_heavy", below_mark=below)  # fmt: skip
            day = add_months(day, 1)

    def tests(self) -> Iterator[Line]:
        """The test station's lines: one a year, some days before the old certificate runs out."""
        for task, expires in certificates(self.truth):
            on = workday(add_months(expires, -12) - timedelta(self.rng.randint(0, 20)))
            if task == "roadworthiness" and RECORDS_FROM <= on <= END and on > self.truth.start:
                yield self.line(
                    "test_station",
                    on,
                    task=task,
                    description="yearly test, passed",
                    condition="good" if self.rng.random() < 0.7 else "fair",
                    other_cost=f"{self.rng.uniform(68, 190):.2f}",
                    invoice=f"TS{self.rng.randint(100000, 999999)}",
                )

    def dial_changes(self) -> Iterator[Line]:
        """The workshop's line on the day a dial was changed: the old dial's last reading."""
        for day, meter, _, _ in self.truth.changes:
            yield self.line(
                HAND_OF_DEPOT[self.truth.row["depot"]],
                day,
                kind="repair",
                labour_hours=1.5,
                description=f"{meter} changed, old dial read before",
                parts_cost="146.00",
            )


def all_lines(truths: dict[str, Truth], done: list[Done]) -> list[Line]:
    """Every line of every hand, by day; no two lines the same."""
    lines: list[Line] = []
    for truth in truths.values():
        clerk = Clerk(truth)
        for each in done:
            if each.vehicle_id == truth.id:
                lines += clerk.service(each)
        lines += [*clerk.repairs(), *clerk.field_lines(), *clerk.tests(), *clerk.dial_changes()]
    unique = {tuple((k, str(v)) for k, v in sorted(line.items()) if v is not None): line for line in lines}
    return sorted(unique.values(), key=lambda line: (line["done_on"], line["vehicle_id"]))
