"""Say what probably went wrong with each refused reading, and what would fit instead: suggested, never applied.

`slips` lists what one slip could have made of a figure or a date, `restarts` where a meter began again. Of these
`diagnose_meter` keeps what fits: what obeys the contract's rule (0 <= gain <= most per day * max(1, days apart)) with
the believed readings around it. Of several that fit it names the likeliest: by how common the slip is, in how many
ways it could have happened, and how close the value lies to the straight line between its neighbours (beyond the last,
the rate of the readings before). `diagnosis_steps` does it for a run, and puts it into words.

Two slips in one reading, or a figure made up, are not seen through: then it says so. A fit is no proof.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from math import exp, log
from typing import NamedTuple

from fleetreport.cells import plain
from fleetreport.meters.believed import DAY
from fleetreport.meters.restarts import (
    FEWEST,
    ROLLOVERS,
    SCALE,
    MeterChange,
    Reading,
    find_restarts,
    from_units,
    suggested_change,
    to_units,
)
from fleetreport.meters.slips import WEIGHTS, exponent, number_slips, time_slips

EPOCH = datetime(1970, 1, 1)  # local times throughout, so without a zone
NEIGHBOURS = 10  # believed readings on either side that tell the rate around a day
# These also fit by chance, the more so the more vehicles or the fewer readings there are, so they must be likelier than
# a number that just happens to lie there. The weight of that is chosen by hand.
CHANCY = ("rollover", "another vehicle", "date slip", "clock slip")
CHANCE_WEIGHT = 0.1


class OtherVehicle(NamedTuple):
    """A vehicle whose meter showed about that number that day: `off` its straight line and `drive` a day, in units."""

    vehicle_id: str
    off: int
    drive: int
    exact: bool
    alike: bool  # same depot or class
    among: int  # how many vehicles there are


class Diagnosis(NamedTuple):
    """What is likely wrong with the reading at `position`.

    `kind` is one of slips.WEIGHTS, `meter changed` or `none`. `target` says what the suggestion is for: `reading`,
    `vehicle`, `date` or nothing. `others`: how many further suggestions fit. `change`: index of the suggested meter
    change that would settle it.
    """

    position: int
    kind: str
    target: str | None
    suggestion: str | None
    others: int
    change: int | None


class _Guess(NamedTuple):
    kind: str
    target: str
    suggestion: str
    likelihood: float


class _Believed:
    """The readings to go by: times and values on one scale, in order, and what they say about any other time."""

    def __init__(self, times: list[int], values: list[int], most_per_day: int) -> None:
        self.times, self.values, self.most = times, values, most_per_day

    def fits(self, at: int, value: int) -> bool:
        """Whether a reading obeys the rule with those around it."""
        low, high = bisect_left(self.times, at), bisect_right(self.times, at)
        if (low and value < self.values[low - 1]) or (high < len(self.times) and value > self.values[high]):
            return False  # as most do
        around = [*((t, v) for t, v in zip(self.times[low:high], self.values[low:high], strict=True)), (at, value)]
        around.sort()
        near = [*self._pairs(low - 1, low), *around, *self._pairs(high, high + 1)]
        return value >= 0 and bool(self.times) and all(
            later[1] >= earlier[1] and (later[1] - earlier[1]) * DAY <= self.most * max(DAY, later[0] - earlier[0])
            for earlier, later in pairwise(near)
        )  # fmt: skip

    def _pairs(self, start: int, end: int) -> list[tuple[int, int]]:
        start = max(0, start)
        return list(zip(self.times[start:end], self.values[start:end], strict=True))

    def expected(self, at: int) -> tuple[int, int]:
        """The value on the straight line, and how far off it a true one usually is, at least half a day's drive."""
        low, high = bisect_right(self.times, at) - 1, bisect_left(self.times, at)
        start, end = max(0, low - NEIGHBOURS), min(len(self.times) - 1, high + NEIGHBOURS)
        rate = (self.values[end] - self.values[start]) * DAY // max(DAY, self.times[end] - self.times[start])
        if high == len(self.times):
            away, line = at - self.times[low], self.values[low] + rate * (at - self.times[low]) // DAY
        elif low < 0:
            away, line = self.times[high] - at, self.values[high] - rate * (self.times[high] - at) // DAY
        else:
            gap = max(1, self.times[high] - self.times[low])
            away = min(at - self.times[low], self.times[high] - at)
            line = self.values[low] + (self.values[high] - self.values[low]) * (at - self.times[low]) // gap
        return max(0, line), max(rate * max(away, DAY // 2) // DAY, SCALE // 2)

    def likelihood(self, at: int, value: int, step: int) -> float:
        """The share of true readings that would be this one, to the place written."""
        line, spread = self.expected(at)
        return min(1.0, step / (2 * spread)) * exp(-min(500.0, abs(value - line) / spread))


def diagnose_meter(
    readings: Sequence[Reading], most_per_day: int, not_after: int, others: Mapping[int, Sequence[OtherVehicle]]
) -> tuple[list[Diagnosis], list[MeterChange]]:
    """A diagnosis for each reading that is not kept, and the changes of the meter that would explain some of them.

    `readings` of one meter in order of time, then of value; `most_per_day` in whole units; `not_after` is the last
    time a reading can have; `others` by position. Dates as microseconds since 1970, local.
    """
    refused = [at for at, reading in enumerate(readings) if not reading.kept]
    chains = None
    if len(refused) >= FEWEST:  # the search costs as much as choosing whom to believe
        chains = find_restarts([r.at for r in readings], [r.value for r in readings], most_per_day)
    if chains is None or not chains.restarts:
        kept = [at for at, reading in enumerate(readings) if reading.kept]
        changes: list[MeterChange] = []
    else:
        kept = chains.believed
        changes = [suggested_change(readings, r.last, r.first, kept, most_per_day) for r in chains.restarts]
    starts = [restart.first for restart in chains.restarts] if chains else []
    added = [0]
    for change in changes:
        added.append(added[-1] + to_units(change.final - change.first, change.unit))
    shift = [added[bisect_right(starts, at)] for at in range(len(readings))]
    values = [readings[at].value + shift[at] for at in kept]
    believed = _Believed([readings[at].at for at in kept], values, most_per_day)
    in_chain, found = set(kept), []
    for at in refused:
        if at in in_chain:
            nearest = min(range(len(starts)), key=lambda i: abs(starts[i] - at))
            found.append(_explained(readings[at], at, at >= starts[nearest], nearest, changes[nearest]))
            continue
        guesses = _guesses(readings, at, shift[at], believed, not_after, others.get(at, ()))
        diagnosis = _best(at, guesses)
        if diagnosis.kind == "rollover":
            limit = Decimal(diagnosis.suggestion or 0) - readings[at].number
            change = MeterChange("rollover", readings[at].at // DAY * DAY, limit, Decimal(0), readings[at].unit)
            same = [i for i, c in enumerate(changes) if (c.kind, c.final) == ("rollover", limit)]
            diagnosis = diagnosis._replace(change=same[0] if same else len(changes))
            changes += [] if same else [change]
        found.append(diagnosis)
    return found, changes


def _explained(reading: Reading, at: int, is_new: bool, number: int, change: MeterChange) -> Diagnosis:
    """A reading that a restart lets stand. What a rolled-over odometer has really done can be written out."""
    if change.kind == "rollover" and is_new:
        return Diagnosis(at, change.kind, "reading", plain(reading.number + change.final), 0, number)
    return Diagnosis(at, change.kind, None, None, 0, number)


def _guesses(
    readings: Sequence[Reading], at: int, shift: int, believed: _Believed, not_after: int,
    others: Sequence[OtherVehicle],
) -> list[_Guess]:  # fmt: skip
    """All single slips that fit."""
    reading = readings[at]
    add = reading.value - reading.shown + shift
    line, _ = believed.expected(reading.at) if believed.times else (0, 0)
    expected = max(Decimal(0), from_units(line - add, reading.unit))
    places = [max(0, -exponent(r.number)) for r in readings[max(0, at - NEIGHBOURS) : at + NEIGHBOURS] if r.kept]
    step = to_units(Decimal(1).scaleb(min(0, exponent(reading.number))), reading.unit)
    guesses = []
    for kind, number, chance in number_slips(reading.number, reading.unit, expected, min(2, max(places, default=0))):
        value = to_units(number, reading.unit) + add
        if believed.fits(reading.at, value):
            likelihood = WEIGHTS[kind] * chance * believed.likelihood(reading.at, value, step)
            guesses.append(_Guess(kind, "reading", plain(number), likelihood))
    for limit in _limits_passed(readings, reading, believed):
        value = to_units(reading.number + limit, reading.unit) + add
        if believed.fits(reading.at, value):
            likelihood = WEIGHTS["rollover"] * believed.likelihood(reading.at, value, step)
            guesses.append(_Guess("rollover", "reading", plain(reading.number + limit), likelihood))
    by_chance = CHANCE_WEIGHT * step / max(line, reading.shown, SCALE)
    guesses += [_of_other(other, step) for other in others]
    for slip in time_slips(to_time(reading.at), to_time(not_after)):
        moved = _microseconds(slip.at)
        if believed.fits(moved, reading.value + shift):
            likelihood = WEIGHTS[slip.kind] * slip.chance * believed.likelihood(moved, reading.value + shift, step)
            shown = slip.at.date().isoformat() if slip.kind == "date slip" else slip.at.isoformat(timespec="minutes")
            guesses.append(_Guess(slip.kind, "date", shown, likelihood))
    return [guess for guess in guesses if guess.kind not in CHANCY or guess.likelihood > by_chance]


def _limits_passed(readings: Sequence[Reading], reading: Reading, believed: _Believed) -> list[int]:
    """Where the odometer can have begun again: above all it has shown, with nothing believed after it."""
    if reading.unit == "h" or not believed.times or believed.times[-1] > reading.at:
        return []
    highest = max(r.shown for r in readings if r.kept)
    return [limit for limit in ROLLOVERS if highest < to_units(Decimal(limit), reading.unit)]


def _of_other(other: OtherVehicle, step: int) -> _Guess:
    drive = max(other.drive, SCALE)
    close = 1.0 if other.exact else step / (2 * drive) * exp(-other.off / drive)
    weight = WEIGHTS["another vehicle"] * (1.0 if other.alike else 0.5)
    return _Guess("another vehicle", "vehicle", other.vehicle_id, weight * close / max(1, other.among))


def _best(at: int, guesses: Sequence[_Guess]) -> Diagnosis:
    """The likeliest suggestion; a tie goes by kind and figure, so never by chance."""
    if not guesses:
        return Diagnosis(at, "none", None, None, 0, None)
    best = min(guesses, key=lambda g: (-log(max(g.likelihood, 1e-300)), g.kind, g.suggestion))
    further = {(g.target, g.suggestion) for g in guesses} - {(best.target, best.suggestion)}
    return Diagnosis(at, best.kind, best.target, best.suggestion, len(further), None)


def to_time(microseconds: int) -> datetime:
    """Microseconds since 1970 as a local time."""
    return EPOCH + timedelta(microseconds=microseconds)


def _microseconds(at: datetime) -> int:
    return (at - EPOCH) // timedelta(microseconds=1)
