"""Choose which readings of a meter to believe.

A reading typed wrong must not drag the right ones with it, so the largest set is kept in which each reading could
follow the one before. `longest_chain` finds it for one meter; the step `NOT_BELIEVED` runs it for the few meters in
which a reading breaks the rule, and keeps what is outside it. The many that keep the rule never leave SQL. Knows
nothing of vehicles or units.
"""

from collections.abc import Sequence
from itertools import pairwise

import duckdb

from fleetreport.query import Step, fill_table

DAY = 86_400_000_000
LOOKS_BACK = 16  # a reading, on average, before the way that suits any readings is taken


def longest_chain(times: Sequence[int], values: Sequence[int], most_per_day: int) -> list[int]:
    """Positions of the largest set of readings in which each could follow the one before.

    `times` are microseconds, `values` whole units of the meter, both in order of time, then of value; `most_per_day`
    is in the same unit. A reading j can follow i where 0 <= values[j] - values[i] <= most_per_day * max(1, days from
    i to j). Of equal-sized sets, the one that ends with the later reading, then the one whose last but one is the
    later, and so on.

    O(n log n), see `chain_lengths`.
    """
    lengths, before = chain_lengths(times, values, most_per_day)
    chain = []
    at = max(range(len(times)), key=lambda i: (lengths[i], i), default=-1)
    while at >= 0:
        chain.append(at)
        at = before[at]
    return chain[::-1]


def chain_lengths(times: Sequence[int], values: Sequence[int], most_per_day: int) -> tuple[list[int], list[int]]:
    """For each reading, the size of the largest set that ends with it, and the one before it in that (-1: none).

    Arguments as for `longest_chain`. Most meters have a wrong reading or two, so it is enough to look a few readings
    back; where that takes too long, `lengths_by_value` finds the same.
    """
    found = lengths_looking_back(times, values, most_per_day, LOOKS_BACK * len(times))
    return found or lengths_by_value(times, values, most_per_day)


def lengths_looking_back(
    times: Sequence[int], values: Sequence[int], most_per_day: int, most_looks: int
) -> tuple[list[int], list[int]] | None:
    """`chain_lengths` by looking back from each reading until no earlier one can end a larger set or a value as low.

    None: it would take more than `most_looks`.
    """
    lengths: list[int] = []
    before: list[int] = []
    # Of all readings as far as each: the largest set, and the lowest value.
    largest: list[int] = []
    lowest: list[int] = []
    most = low = 0
    for i, (time, value) in enumerate(zip(times, values, strict=True)):
        best, previous, j = 0, -1, i - 1
        while j >= 0 and largest[j] > best and lowest[j] <= value:
            gain = value - values[j]
            if lengths[j] > best and gain >= 0 and gain * DAY <= most_per_day * max(DAY, time - times[j]):
                best, previous = lengths[j], j
            j -= 1
        most_looks -= i - 1 - j
        if most_looks < 0:
            return None
        most, low = max(most, best + 1), min(low, value) if i else value
        lengths.append(best + 1)
        before.append(previous)
        largest.append(most)
        lowest.append(low)
    return lengths, before


def lengths_by_value(times: Sequence[int], values: Sequence[int], most_per_day: int) -> tuple[list[int], list[int]]:
    """`chain_lengths` in O(n log n) whatever the readings.

    A pair at least a day apart obeys the rule just when the value does not fall and `value - most_per_day * days` does
    not rise, and two such conditions are a search in two dimensions (as for the longest increasing subsequence). Pairs
    closer than a day obey a rule of their own, answered by a window that slides over the values, with a tree of maxima
    over the times.
    """
    count = len(times)
    # How far ahead of the fastest possible vehicle; may not rise along the chain. Scaled so that it is whole.
    ahead = [value * DAY - most_per_day * time for value, time in zip(values, times, strict=True)]
    rank = {lead: at for at, lead in enumerate(sorted(set(ahead), reverse=True))}
    by_lead = _PrefixMaximum(len(rank))
    near = _NearInTime(times) if any(b - a < DAY for a, b in pairwise(times)) else None
    order = sorted(range(count), key=lambda i: (values[i], i))
    lengths, before = [0] * count, [-1] * count
    oldest = 0
    for i in order:
        best = by_lead.up_to(rank[ahead[i]])
        if near is not None:
            while values[order[oldest]] < values[i] - most_per_day:
                near.forget(order[oldest])
                oldest += 1
            best = max(best, near.within_a_day_of(i))
        lengths[i], before[i] = best[0] + 1, best[1]
        by_lead.put(rank[ahead[i]], (lengths[i], i))
        if near is not None:
            near.put(i, (lengths[i], i))
    return lengths, before


Best = tuple[int, int]
NOTHING: Best = (0, -1)


class _PrefixMaximum:
    """The greatest of what was put at or before a place (a Fenwick tree)."""

    def __init__(self, size: int) -> None:
        self.tree = [NOTHING] * (size + 1)

    def put(self, place: int, best: Best) -> None:
        place += 1
        while place < len(self.tree):
            if self.tree[place] < best:
                self.tree[place] = best
            place += place & -place

    def up_to(self, place: int) -> Best:
        place += 1
        found = NOTHING
        while place > 0:
            if found < self.tree[place]:
                found = self.tree[place]
            place -= place & -place
        return found


class _NearInTime:
    """The greatest of what was put, and not forgotten, at readings less than a day before another."""

    def __init__(self, times: Sequence[int]) -> None:
        self.size = len(times)
        self.tree = [NOTHING] * (2 * self.size)
        self.first: list[int] = []
        self.end: list[int] = []
        first, end = 0, 0
        for time in times:
            while times[first] <= time - DAY:
                first += 1
            while end < self.size and times[end] <= time:
                end += 1
            self.first.append(first)
            self.end.append(end)

    def put(self, at: int, best: Best) -> None:
        at += self.size
        self.tree[at] = best
        while at > 1:
            at //= 2
            self.tree[at] = max(self.tree[2 * at], self.tree[2 * at + 1])

    def forget(self, at: int) -> None:
        self.put(at, NOTHING)

    def within_a_day_of(self, at: int) -> Best:
        low, high = self.first[at] + self.size, self.end[at] + self.size
        found = NOTHING
        while low < high:
            if low % 2:
                found = max(found, self.tree[low])
                low += 1
            if high % 2:
                high -= 1
                found = max(found, self.tree[high])
            low, high = low // 2, high // 2
        return found


def _not_believed(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `not_believed` (vehicle_id, meter, seq): the readings outside the largest set of their meter.

    They are few, so they are what is kept. The readings come as columns of numbers: a large fleet's are millions.
    """
    of_broken = (
        "from readings_in_order r semi join broken_meters b on r.vehicle_id = b.vehicle_id and r.meter = b.meter"
    )
    meters = db.execute(
        f"""select vehicle_id, meter, count(*),
            units(case meter when 'odometer' then min(most_km_per_day) else min(most_h_per_day) end)::bigint
        {of_broken}, run
        group by vehicle_id, meter
        order by vehicle_id, meter"""
    ).fetchall()
    readings = db.execute(
        f"""select seq, epoch_us(read_at) as time, units(value)::bigint as value
        {of_broken}
        order by r.vehicle_id, r.meter, r.seq"""
    ).fetchnumpy()
    rows: list[tuple[str, str, int]] = []
    end = 0
    for vehicle, meter, count, most_per_day in meters:
        here = slice(end, end + count)
        end += count
        kept = longest_chain(readings["time"][here].tolist(), readings["value"][here].tolist(), most_per_day)
        left_out = set(range(count)).difference(kept)
        rows += [(vehicle, meter, int(readings["seq"][here][at])) for at in sorted(left_out)]
    fill_table(db, "not_believed", {"vehicle_id": "VARCHAR", "meter": "VARCHAR", "seq": "BIGINT"}, rows)


NOT_BELIEVED = Step("not_believed", ("readings_in_order", "broken_meters", "run"), _not_believed, per_vehicle=True)
