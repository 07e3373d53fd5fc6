"""Find where a meter started again from near nought: it was exchanged and nobody said so, or it passed its last figure.

One chain of believable readings then cannot hold them all, but two can, one before and one after. `find_restarts`
looks for the place that lets two chains hold the most, and again on either side of it; `suggested_change` writes the
line of meter_changes.csv that would say so. Which of the two chains the
contract's rule keeps depends on their lengths alone, so the old meter's readings may be the refused ones.

Pure; times in microseconds, values whole units of what the meter showed. A meter that starts again from a figure that
is not low (a used one), and a restart with fewer than three readings to show for it, are not found.
"""

from bisect import bisect_left
from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal
from itertools import accumulate
from typing import NamedTuple

from fleetreport.meters.believed import DAY, chain_lengths, longest_chain
from fleetreport.meters.slips import KM_PER_MILE

SCALE = 10_000_000  # whole units in a km or an hour
# Odometers of five and six figures begin again here, in their own unit.
ROLLOVERS = (100_000, 1_000_000)

FEWEST = 3  # readings that only a restart explains
# A new meter's first reading is at most this share of the old one's last, or what is driven in thrice the time between.
LOW_START = 10
TIMES_THE_RATE = 3
NEIGHBOURS = 10  # believed readings on either side that tell the rate


class Reading(NamedTuple):
    """One reading of a meter. `value`: whole units since new; `shown`: what the meter showed; `number` in `unit`."""

    at: int
    value: int
    shown: int
    number: Decimal
    unit: str
    kept: bool


class MeterChange(NamedTuple):
    """A change that would let the readings stand: day (microseconds), final and first reading in `unit`."""

    kind: str
    at: int
    final: Decimal
    first: Decimal
    unit: str


class Restart(NamedTuple):
    """Positions of the last believed reading before a restart and of the first after it."""

    last: int
    first: int


class Chains(NamedTuple):
    """The readings that are believable once restarts are granted: positions in order, and the restarts in order."""

    believed: list[int]
    restarts: list[Restart]


def find_restarts(times: Sequence[int], values: Sequence[int], most_per_day: int) -> Chains:
    """The restarts of one meter's readings, given as for `longest_chain`; none: the longest chain as it is.

    O(n log n) for each restart found.
    """
    return _chains(list(times), list(values), most_per_day, 0)


def _chains(times: list[int], values: list[int], most_per_day: int, at: int) -> Chains:
    """As `find_restarts`, for the part of the readings that begins at position `at`."""
    whole = longest_chain(times, values, most_per_day)
    place = _best_place(times, values, most_per_day, len(whole))
    if place is None:
        return Chains([at + i for i in whole], [])
    old = longest_chain(times[:place], values[:place], most_per_day)
    new = [place + i for i in longest_chain(times[place:], values[place:], most_per_day)]
    if not _starts_low(times, values, old, new):
        return Chains([at + i for i in whole], [])
    before = _chains(times[:place], values[:place], most_per_day, at)
    after = _chains(times[place:], values[place:], most_per_day, at + place)
    restart = Restart(before.believed[-1], after.believed[0])
    return Chains(before.believed + after.believed, [*before.restarts, restart, *after.restarts])


def _best_place(times: list[int], values: list[int], most_per_day: int, held: int) -> int | None:
    """Where to part the readings so that two chains hold the most; None: less than FEWEST more than `held`."""
    if len(times) < held + FEWEST:
        return None
    before, _ = chain_lengths(times, values, most_per_day)
    # Read backwards, with time and value negated, a chain is a chain.
    after, _ = chain_lengths([-time for time in times[::-1]], [-value for value in values[::-1]], most_per_day)
    up_to = list(accumulate(before, max))
    from_on = list(accumulate(after, max))[::-1]
    place = max(range(1, len(times)), key=lambda i: (up_to[i - 1] + from_on[i], i))
    return place if up_to[place - 1] + from_on[place] >= held + FEWEST else None


def _starts_low(times: list[int], values: list[int], old: list[int], new: list[int]) -> bool:
    """Whether the new chain begins lower than the old one ends, and from near nought."""
    last, first, end = old[-1], new[0], new[-1]
    if values[first] >= values[last]:
        return False
    driven = (values[end] - values[first]) * max(DAY, times[first] - times[last]) // max(DAY, times[end] - times[first])
    return values[first] <= max(values[last] // LOW_START, TIMES_THE_RATE * driven)


def suggested_change(readings: Sequence[Reading], last: int, first: int, kept: Sequence[int], most: int) -> MeterChange:
    """The change between two readings: when and at what, by the rate around it, to whole km, mi or h."""
    old, new = readings[last], readings[first]
    place = bisect_left(kept, first)
    ahead = readings[kept[min(len(kept) - 1, place + NEIGHBOURS)]]
    behind = readings[kept[max(0, place - 1 - NEIGHBOURS)]]
    after, before = (
        (b.value - a.value) * DAY // max(DAY, b.at - a.at) if b.value > a.value else 0
        for a, b in ((new, ahead), (behind, old))
    )
    apart = max(DAY, new.at - old.at)
    limit = _limit_passed(old, new, min(most, TIMES_THE_RATE * before))
    if limit:
        return MeterChange("rollover", new.at // DAY * DAY, Decimal(limit), Decimal(0), new.unit)
    ran = new.shown * DAY // after if after and new.shown <= 2 * after * apart // DAY else 0
    changed = max(old.at, new.at - ran) // DAY * DAY
    first_shown = Decimal(0) if ran else from_units(new.shown, new.unit)
    final = old.shown + before * max(0, changed - old.at // DAY * DAY) // DAY
    for guess in (final, old.shown):
        final_shown = from_units(guess, new.unit)
        final_shown = max(final_shown.quantize(Decimal(1)), from_units(old.shown, new.unit))
        final_shown = final_shown.quantize(Decimal("0.1"), ROUND_CEILING)
        gain = new.value + to_units(final_shown - first_shown, new.unit) - old.value
        if gain >= 0 and gain * DAY <= most * apart:
            break
    return MeterChange("meter changed", changed, final_shown, first_shown, new.unit)


def _limit_passed(old: Reading, new: Reading, most: int) -> int:
    """The figure at which an odometer that went from `old` to `new` began again; 0: none that obeys the rule."""
    for limit in ROLLOVERS if new.unit != "h" else ():
        gain = new.shown + to_units(Decimal(limit), new.unit) - old.shown
        below = old.shown < to_units(Decimal(limit), new.unit)
        if below and gain * DAY <= most * max(DAY, new.at - old.at):
            return limit
    return 0


def to_units(number: Decimal, unit: str) -> int:
    """A number in km, mi or h as whole units, cut at the 7th place as everywhere."""
    return int(number * SCALE * (KM_PER_MILE if unit == "mi" else 1))


def from_units(units: int, unit: str) -> Decimal:
    """Whole units as a number in km, mi or h, to six places: a mile written with two is exact again."""
    return (Decimal(units) / SCALE / (KM_PER_MILE if unit == "mi" else 1)).quantize(Decimal("0.000001"))
