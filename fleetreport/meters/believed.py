"""Choose which readings of a meter to believe.

A reading typed wrong must not drag the right ones with it, so the largest set is kept in which each reading could
follow the one before. `longest_chain` finds it for one meter; `longest_chains` is the step that runs it for the few
meters in which a reading breaks the rule. The many that keep it never leave SQL. Knows nothing of vehicles or units.
"""

from collections.abc import Sequence
from itertools import groupby, pairwise
from operator import itemgetter

import duckdb

from fleetreport.query import Step

DAY = 86_400_000_000


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

    Arguments as for `longest_chain`. O(n log n). A pair at least a day apart obeys the rule just when the value does
    not fall and `value - most_per_day * days` does not rise, and two such conditions are a search in two dimensions
    (as for the longest increasing subsequence). Pairs closer than a day obey a rule of their own, answered by a window
    that slides over the values, with a tree of maxima over the times.
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


def _longest_chains(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `longest_chains` (vehicle_id, meter, seq): the readings of broken meters that are kept."""
    rows = db.execute(
        """select r.vehicle_id, r.meter, r.seq, epoch_us(read_at), units(value)::bigint,
            units(case r.meter when 'odometer' then most_km_per_day else most_h_per_day end)::bigint
        from readings_in_order r
        semi join broken_meters b on r.vehicle_id = b.vehicle_id and r.meter = b.meter, run
        order by r.vehicle_id, r.meter, r.seq"""
    ).fetchall()
    kept: list[tuple[str, str, int]] = []
    for _, of_one in groupby(rows, itemgetter(0, 1)):
        readings = list(of_one)
        chain = longest_chain([r[3] for r in readings], [r[4] for r in readings], readings[0][5])
        kept += [readings[at][:3] for at in chain]
    columns = [list(column) for column in zip(*kept, strict=True)] or [[], [], []]
    db.execute(
        "create or replace table longest_chains as select "
        "unnest(?::varchar[]) as vehicle_id, unnest(?::varchar[]) as meter, unnest(?::bigint[]) as seq",
        columns,
    )


LONGEST_CHAINS = Step(
    "longest_chains", ("readings_in_order", "broken_meters", "run"), _longest_chains, per_vehicle=True
)
