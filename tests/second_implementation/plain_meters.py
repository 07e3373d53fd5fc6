"""What the meters of a vehicle say: which readings to believe, and what a meter shows on a day.

`kept_readings` puts what was written on the accumulated scale and splits it into kept and refused;
`Meter` reads the kept ones at a day. Distances are km, hours are h, both with 7 places.

It does not know how a daily rate is estimated (it is given one), nor what a task is.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import ROUND_DOWN, Decimal
from fractions import Fraction

from plain_cells import SEVENTH_PLACE
from plain_fleet import Fleet, MeterChange, Written

METERS = ("odometer", "hours")


@dataclass(frozen=True)
class Reading:
    """A meter value on the accumulated scale; clock is None where the day is all that is known."""

    day: date
    clock: time | None
    value: Decimal
    file: str = ""
    line: int = 0
    column: str = ""
    text: str = ""

    @property
    def cell(self) -> tuple[str, int, str, str]:
        """File, line, column and the text that stands there."""
        return self.file, self.line, self.column, self.text


@dataclass(frozen=True)
class KeptAndRefused:
    """The readings of one meter dated up to the as-of date, each list in order of time, then value."""

    kept: list[Reading]
    refused: list[Reading]


def accumulated(value: Decimal, day: date, changes: Sequence[MeterChange]) -> Decimal:
    """A displayed value on the accumulated scale. On the day of a change the nearer end tells the meter."""
    total = value
    for change in changes:
        on_new_meter = day > change.day
        if day == change.day:
            on_new_meter = abs(value - change.final) > abs(value - change.first)
        if on_new_meter:
            total += change.final - change.first
    return total


def changes_of(fleet: Fleet, vehicle_id: str, meter: str, as_of: date) -> list[MeterChange]:
    """The changes of one meter dated up to `as_of`, earliest first."""
    return [
        change
        for change in fleet.meter_changes
        if (change.vehicle_id, change.meter) == (vehicle_id, meter) and change.day <= as_of
    ]


def in_order(readings: Sequence[Reading]) -> list[Reading]:
    """By time, then value. A day that has a reading without a time loses the times of all its readings."""
    days_without_time = {reading.day for reading in readings if reading.clock is None}
    settled = [Reading(r.day, None, r.value, *r.cell) if r.day in days_without_time else r for r in readings]
    return sorted(settled, key=lambda r: (r.day, r.clock or time.min, r.value, r.cell))


def days_apart(earlier: Reading, later: Reading) -> Fraction:
    """Days between two readings; one without a time of day is taken at 00:00."""
    passed = datetime.combine(later.day, later.clock or time.min) - datetime.combine(
        earlier.day, earlier.clock or time.min
    )
    return Fraction(passed.days) + Fraction(passed.seconds, 86400)


def could_follow(earlier: Reading, later: Reading, most_per_day: Decimal) -> bool:
    """Whether `later` may come next after `earlier`: 0 <= gain <= most_per_day x max(1, days apart)."""
    gain = Fraction(later.value) - Fraction(earlier.value)
    return 0 <= gain <= Fraction(most_per_day) * max(Fraction(1), days_apart(earlier, later))


def longest_chain(readings: Sequence[Reading], most_per_day: Decimal) -> list[Reading]:
    """The largest set of readings in which each could follow the one before, in order.

    Of sets of one size: the one whose last reading comes latest, then whose last but one does, and so on.
    """
    ordered = in_order(readings)
    if not ordered:
        return []
    length: list[int] = []
    before: list[int | None] = []
    for here, reading in enumerate(ordered):
        best, came_from = 1, None
        for there in range(here):
            if could_follow(ordered[there], reading, most_per_day) and length[there] + 1 >= best:
                best, came_from = length[there] + 1, there
        length.append(best)
        before.append(came_from)
    at: int | None = max(range(len(ordered)), key=lambda place: (length[place], place))
    chain = []
    while at is not None:
        chain.append(ordered[at])
        at = before[at]
    return chain[::-1]


def kept_readings(fleet: Fleet, as_of: date) -> dict[tuple[str, str], KeptAndRefused]:
    """The readings up to `as_of` of each known vehicle and meter, on the accumulated scale, sorted out."""
    result = {}
    for vehicle_id in fleet.vehicles:
        for meter in METERS:
            changes = changes_of(fleet, vehicle_id, meter, as_of)
            written = [w for w in fleet.written if (w.vehicle_id, w.meter) == (vehicle_id, meter) and w.day <= as_of]
            readings = in_order([on_the_scale(w, changes) for w in written])
            kept = longest_chain(readings, fleet.settings.most_per_day[meter])
            cells = {reading.cell for reading in kept}
            refused = [reading for reading in readings if reading.cell not in cells]
            result[vehicle_id, meter] = KeptAndRefused(kept, refused)
    return result


def on_the_scale(written: Written, changes: Sequence[MeterChange]) -> Reading:
    """A written value as a reading on the accumulated scale."""
    value = accumulated(written.value, written.day, changes)
    cell = (written.file, written.line, written.column, written.text)
    return Reading(written.day, written.clock, value, *cell)


def constant_rate(kept: Sequence[Reading]) -> Fraction | None:
    """The gain a day where all lie on one straight line over calendar days (at least two), else None."""
    if len({reading.day for reading in kept}) < 2:
        return None
    first, last = kept[0], kept[-1]
    rate = Fraction(last.value - first.value) / (last.day - first.day).days
    for reading in kept:
        if Fraction(reading.value - first.value) != rate * (reading.day - first.day).days:
            return None
    return rate


@dataclass(frozen=True)
class Meter:
    """One meter of one vehicle: its kept readings in order, and its daily rate (None: not known)."""

    kept: list[Reading]
    rate: Decimal | None

    @property
    def last(self) -> Reading | None:
        """The last kept reading in order."""
        return self.kept[-1] if self.kept else None

    def carried(self, day: date) -> Decimal | None:
        """The last kept reading carried to `day` at the rate; as it stands where there is no rate."""
        if self.last is None:
            return None
        return self.last.value + (self.rate or Decimal(0)) * (day - self.last.day).days

    def at(self, day: date) -> Decimal | None:
        """What the meter showed on `day`, by whole days: kept, between two kept, or carried on."""
        until = [reading for reading in self.kept if reading.day <= day]
        after = [reading for reading in self.kept if reading.day > day]
        if not until:
            return after[0].value if after else None
        if until[-1].day == day:
            return until[-1].value
        if not after:
            return self.carried(day)
        earlier, later = until[-1], after[0]
        share = Fraction((day - earlier.day).days, (later.day - earlier.day).days)
        return earlier.value + seven_places(Fraction(later.value - earlier.value) * share)


def seven_places(exact: Fraction) -> Decimal:
    """Truncated towards zero at the 7th place."""
    return Decimal(int(exact * 10**7)).scaleb(-7).quantize(SEVENTH_PLACE, ROUND_DOWN)


Rates = Mapping[tuple[str, str], Decimal | None]
ReadMeter = Callable[[date], Decimal | None]


def meters_of(vehicle_id: str, sorted_out: Mapping[tuple[str, str], KeptAndRefused], rates: Rates) -> dict[str, Meter]:
    """The two meters of a vehicle."""
    return {meter: Meter(sorted_out[vehicle_id, meter].kept, rates.get((vehicle_id, meter))) for meter in METERS}
