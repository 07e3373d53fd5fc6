"""What each vehicle really did, day by day, from in service into 2027: the truth behind every reading.

`Truth` holds the accumulated km and hours at the end of each day and answers what a dial shows at a moment.
Work is done between 06:00 and 18:00 at an even pace. A dial drops the fraction: it shows whole km or miles,
hours to one decimal.
"""

import random
from bisect import bisect_left
from datetime import date, datetime, timedelta
from decimal import ROUND_FLOOR, Decimal

from generator.vehicles import IDLE, METER_CHANGES, vehicle_rows

SEED = 20261125
KM_PER_MILE = 1.609344
LAST_DAY = date(2027, 12, 31)
BUSY_FROM, BUSY_DEPOT, BUSY_FACTOR = date(2026, 3, 2), "Cinder Flat", 1.3
# factor by month, January first
SEASONS = {
    "water": (0.7, 0.7, 0.8, 0.9, 1.1, 1.3, 1.4, 1.45, 1.35, 1.1, 0.9, 0.75),
    "roads": (0.6, 0.65, 0.9, 1.1, 1.2, 1.2, 1.2, 1.15, 1.15, 1.1, 0.95, 0.7),
    "power": (1.3, 1.25, 1.05, 0.9, 0.85, 0.9, 0.95, 0.95, 0.9, 0.95, 1.1, 1.3),
    "flat": (0.9, 1.0, 1.0, 1.0, 1.05, 1.05, 1.0, 0.95, 1.05, 1.05, 1.0, 0.8),
}
WEEKEND = {"water": 0.45, "roads": 0.04, "power": 0.35, "flat": 0.15}
# the relay station's mains were out: the generator ran nearly without a break
OUTAGE = ("G02", date(2026, 11, 6), date(2026, 11, 21), 14.2)


def chance_of(*names: object) -> random.Random:
    """A stream of chance of its own for each purpose, so that one change does not shift the others."""
    return random.Random("-".join(map(str, (SEED, *names))))


class Truth:
    """One vehicle's accumulated km and hours, day by day."""

    def __init__(self, row: dict[str, str]) -> None:
        self.row = row
        self.id = row["vehicle_id"]
        self.start = date.fromisoformat(row["in_service_on"])
        self.miles = row["distance_unit"] == "mi"
        unit = KM_PER_MILE if self.miles else 1.0
        self.km = self._add_up(float(row["in_service_odometer"] or 0) * unit, float(row["km_a_day"] or 0), 640.0, "km")
        self.hours = self._add_up(float(row["in_service_hours"] or 0), float(row["hours_a_day"] or 0), 14.4, "h")
        self.changes = self._meter_changes()

    def _add_up(self, total: float, base: float, most: float, what: str) -> list[float]:
        """Totals at the end of the day before in service, then of each day on."""
        rng = chance_of(self.id, what)
        season, weekend = SEASONS[self.row["season"]], WEEKEND[self.row["season"]]
        idle = [(date.fromisoformat(a), date.fromisoformat(b)) for v, a, b in IDLE if v == self.id]
        totals = [total]
        day = self.start
        while day <= LAST_DAY:
            use = base * season[day.month - 1] * rng.lognormvariate(-0.06, 0.35)
            if day.weekday() >= 5:
                use *= weekend * 2 if rng.random() < 0.5 else 0.0
            use *= BUSY_FACTOR if self.row["depot"] == BUSY_DEPOT and day >= BUSY_FROM else 1.0
            if what == "h" and self.id == OUTAGE[0] and OUTAGE[1] <= day <= OUTAGE[2]:
                use = OUTAGE[3]
            if any(a <= day <= b for a, b in idle):
                use = 0.0
            total += min(use, most)
            totals.append(total)
            day += timedelta(1)
        return totals

    def _meter_changes(self) -> list[tuple[date, str, Decimal, int]]:
        """The changes of this vehicle: day, meter, last reading of the old dial, first of the new."""
        found: list[tuple[date, str, Decimal, int]] = []
        self.changes = found
        for vehicle, on, meter, first in METER_CHANGES:
            if vehicle == self.id:
                day = date.fromisoformat(on)
                found.append((day, meter, self.dial(meter, datetime(day.year, day.month, day.day, 12)), first))
        return found

    def total(self, meter: str, when: datetime) -> float:
        """Accumulated km or hours at a moment; before in service, as at in service."""
        totals = self.km if meter == "odometer" else self.hours
        n = (when.date() - self.start).days
        if n < 0:
            return totals[0]
        done = min(max((when.hour * 60 + when.minute - 360) / 720, 0.0), 1.0)
        return totals[n] + (totals[n + 1] - totals[n]) * done

    def at_noon(self, meter: str, day: date) -> float:
        """Accumulated km or hours in the middle of a day, when the workshop reads the dial."""
        return self.total(meter, datetime(day.year, day.month, day.day, 12))

    def dial(self, meter: str, when: datetime) -> Decimal:
        """What the dial shows: whole km or miles, tenths of hours."""
        total = self.total(meter, when)
        gone = 0.0
        for day, changed, _, first in self.changes:
            at = datetime(day.year, day.month, day.day, 12)
            if changed == meter and when > at:
                scale = KM_PER_MILE if self.miles and meter == "odometer" else 1.0
                gone = self.total(meter, at) - first * scale
        shown = total - gone
        if meter == "hours":
            return Decimal(str(shown)).quantize(Decimal("0.1"), ROUND_FLOOR)
        return Decimal(str(shown / KM_PER_MILE if self.miles else shown)).quantize(Decimal(1), ROUND_FLOOR)

    def day_of(self, meter: str, total: float) -> date:
        """The day on which the accumulated total is reached; LAST_DAY when never."""
        totals = self.km if meter == "odometer" else self.hours
        return min(self.start + timedelta(max(bisect_left(totals, total) - 1, 0)), LAST_DAY)


def truths() -> dict[str, Truth]:
    """Every vehicle's truth, by vehicle_id."""
    return {row["vehicle_id"]: Truth(row) for row in vehicle_rows()}
