"""Bundle the tasks of each vehicle into visits, within each depot's hours: as few visits as make sense.

Each `Job` (a task that comes up) goes to a day of its vehicle, or to none; the jobs of one vehicle on one day are a
visit. The cost that is made least is counted in thousandths of a visit: each visit, each day of interval given away by
coming early, and each day late, dear enough that no due date is ever passed to save a visit, only where hours or days
run out (see `WORTH_OF_A_DAY_LATE`).

`search.py` finds the best plan of a vehicle by itself, and a plan for all by a workshop's rules of thumb;
`solver.py` takes these, proves them best where it can and improves them where they are not.

Days are ordinal numbers, hours whole hundredths. Knows nothing of due dates' origin, money or weeks' names. A visit
takes one day, however many its hours.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

VISIT = 1000
# A day late costs more than a visit, so that a job moved from its own on-time visit to a later one never pays.
# A follow-up (wheel nuts!) stands with the law: small, and not safe to leave.
WORTH_OF_A_DAY_LATE = {"law": 20 * VISIT, "follow_up": 20 * VISIT, "overdue": 5 * VISIT, "other": 2 * VISIT}
LATEST = 6 * 7  # days after its due day (or the first day) that a job may still be put on; then it has no place


class Job(NamedTuple):
    """A task of a vehicle that comes up: the days it may be done on, and what it costs to do it on another than its
    own.

    `due` may lie before the first day. `early_cost` and `late_cost` are thousandths of a visit for each day. `before`
    is the job (its place in the list) of the same task before this one; `gap` the days after that one at which this is
    due again where the interval counts from the day it was done, else None.
    """

    vehicle: str
    earliest: int
    due: int
    hours: int
    early_cost: int
    late_cost: int
    before: int | None = None
    gap: int | None = None


class Workshop(NamedTuple):
    """What the jobs have to fit into: a group of depots that share no vehicle pair with others.

    `days` are the days each vehicle can come, in order; `week_of` a day's week; `hours` the hundredths of hours of a
    (depot, week), missing: no limit; `apart` the pairs of vehicles that may not be in on one day.
    """

    first_day: int
    days: Mapping[str, Sequence[int]]
    depot: Mapping[str, str]
    week_of: Callable[[int], int]
    hours: Mapping[tuple[str, int], int]
    hours_per_visit: int = 0
    apart: frozenset[frozenset[str]] = frozenset()


class Plan(NamedTuple):
    """A day for each job (None: no place found), what that costs, a cost that no plan can be below, and by what
    means.
    """

    days: tuple[int | None, ...]
    cost: int
    bound: int
    means: str

    @property
    def gap(self) -> float:
        """How far the cost may lie above the least possible, as a share of it: 0 is proven best."""
        return 0.0 if self.cost <= self.bound else (self.cost - self.bound) / self.cost


class Case:
    """Jobs and the workshop they must fit into, with what is worked out from both once."""

    def __init__(self, jobs: Sequence[Job], workshop: Workshop) -> None:
        self.jobs, self.workshop = jobs, workshop
        self._edges_known: dict[int, list[int]] = {}

    @cached_property
    def due(self) -> list[int]:
        """The day each job is due, the first day for those due before it: from it on a day is late."""
        return [max(job.due, self.workshop.first_day) for job in self.jobs]

    @cached_property
    def by_vehicle(self) -> dict[str, list[int]]:
        """The jobs of each vehicle, by their places, in order of due day."""
        found: dict[str, list[int]] = defaultdict(list)
        for at in sorted(range(len(self.jobs)), key=lambda at: (self.jobs[at].due, at)):
            found[self.jobs[at].vehicle].append(at)
        return dict(found)

    @cached_property
    def paired(self) -> dict[str, list[str]]:
        """With whom each vehicle may not be in."""
        found: dict[str, list[str]] = defaultdict(list)
        for pair in sorted(self.workshop.apart, key=sorted):
            one, other = sorted(pair)
            found[one].append(other)
            found[other].append(one)
        return found

    @cached_property
    def breaks(self) -> dict[str, list[int]]:
        """The days of each vehicle beside which a job's window opens or closes: enough where vehicles stand alone."""
        return {vehicle: self._beside_breaks(vehicle, of_it) for vehicle, of_it in self.by_vehicle.items()}

    def _beside_breaks(self, vehicle: str, of_it: Sequence[int]) -> list[int]:
        days, found = self.workshop.days[vehicle], set[int]()
        for at in of_it:
            for point in (self.jobs[at].earliest, self.due[at]):
                place = bisect_left(days, point)
                found |= set(days[max(0, place - 1) : place + 2])
        return sorted(found)

    @cached_property
    def candidates(self) -> dict[str, list[int]]:
        """The days worth looking at for a visit of each vehicle.

        Within a week the cost is a line between the days on which a job's window opens or closes, so that one of the
        days beside these, or the week's first or last, is as good as any; so is one from which a repeat's own interval
        is just kept. A pair can ask for every other.
        """
        return {vehicle: self._candidates_of(vehicle, of_it) for vehicle, of_it in self.by_vehicle.items()}

    def _candidates_of(self, vehicle: str, of_it: Sequence[int]) -> list[int]:
        last = max(self.latest(at) for at in of_it)
        first = min(self.jobs[at].earliest for at in of_it)
        every = self.workshop.days[vehicle]
        days = every[bisect_left(every, first) : bisect_right(every, last)]
        if vehicle in self.paired:
            return list(days)
        week_edges = self._week_edges(every)
        edges = {*days[:1], *days[-1:], *week_edges[bisect_left(week_edges, first) : bisect_right(week_edges, last)]}
        edges |= {day for day in self.breaks[vehicle] if first <= day <= last}
        return sorted(edges | self._kept_intervals(of_it, days, sorted(edges)))

    def _week_edges(self, days: Sequence[int]) -> list[int]:
        """Those of these days that are the first or last of them in their week. Many vehicles share the same days."""
        known = self._edges_known.get(id(days))
        if known is None and days:
            weeks = [self.workshop.week_of(day) for day in days]
            turns = [one != other for one, other in pairwise(weeks)]
            known = [
                day for day, first, last in zip(days, [True, *turns], [*turns, True], strict=True) if first or last
            ]
            self._edges_known[id(days)] = known
        return known or []

    def _kept_intervals(self, of_it: Sequence[int], days: Sequence[int], known: Sequence[int]) -> set[int]:
        """The days an interval after those on which a job may be done early, and before those of its repeat."""
        found = set[int]()
        for job in (self.jobs[at] for at in of_it):
            if job.before is None or job.gap is None:
                continue
            first = self.jobs[job.before]
            late = [bisect_right(days, day + job.gap) - 1 for day in known if first.earliest <= day <= first.due]
            early = [bisect_left(days, day - job.gap) for day in known if job.earliest <= day <= job.due]
            found |= {days[place] for place in [*late, *early] if 0 <= place < len(days)}
        return found

    def latest(self, at: int) -> int:
        """The last day a job may be put on."""
        return self.due[at] + LATEST

    def fits(self, at: int, day: int) -> bool:
        """Whether a job may be done on a day, its hours and the other jobs aside."""
        return self.jobs[at].earliest <= day <= self.latest(at)

    def days_that_fit(self, at: int) -> Sequence[int]:
        """The candidates of its vehicle on which a job may be done, its hours and the other jobs aside."""
        days = self.candidates[self.jobs[at].vehicle]
        return days[bisect_left(days, self.jobs[at].earliest) : bisect_right(days, self.latest(at))]

    def cost_on(self, at: int, day: int | None) -> int:
        """What the day costs the job: given away, or late from the day it fell due (from the first day at most)."""
        job = self.jobs[at]
        if day is None:
            return job.late_cost * (LATEST + 7) + VISIT
        due = self.due[at]
        return job.early_cost * (due - day) if day <= due else job.late_cost * (day - due)

    def extra_late(self, at: int, day: int | None, before: int | None) -> int:
        """Days late that come from the job before having been done early, beyond those counted from `due`."""
        gap = self.jobs[at].gap
        if gap is None or day is None or before is None:
            return 0
        return max(0, day - before - gap - max(0, day - self.due[at]))

    def cost(self, days: Sequence[int | None]) -> int:
        """What a plan costs, in thousandths of a visit."""
        visits = {(job.vehicle, day) for job, day in zip(self.jobs, days, strict=True) if day is not None}
        extra = sum(
            job.late_cost * self.extra_late(at, days[at], days[job.before])
            for at, job in enumerate(self.jobs)
            if job.before is not None
        )
        return VISIT * len(visits) + extra + sum(self.cost_on(at, day) for at, day in enumerate(days))

    @cached_property
    def needs(self) -> list[int]:
        """The hours that each job takes of a week: one longer than its depot's whole week takes all of it."""
        whole: dict[str, int] = defaultdict(int)
        for (depot, _), hours in self.workshop.hours.items():
            whole[depot] = max(whole[depot], hours - self.workshop.hours_per_visit)
        depots = [self.workshop.depot[job.vehicle] for job in self.jobs]
        return [
            min(job.hours, whole[depot]) if depot in whole else job.hours
            for job, depot in zip(self.jobs, depots, strict=True)
        ]

    def broken(self, days: Sequence[int | None]) -> list[str]:
        """What a plan breaks: hours of a week, two of a pair on one day, a repeat before its first. Empty: it
        stands.
        """
        shop = self.workshop
        used: dict[tuple[str, int], int] = defaultdict(int)
        visits = {(job.vehicle, day) for job, day in zip(self.jobs, days, strict=True) if day is not None}
        for vehicle, day in visits:
            used[shop.depot[vehicle], shop.week_of(day)] += shop.hours_per_visit
        for at, on in enumerate(days):
            if on is not None:
                used[shop.depot[self.jobs[at].vehicle], shop.week_of(on)] += self.needs[at]
        found = [f"hours {at}" for at, hours in sorted(used.items()) if hours > shop.hours.get(at, hours)]
        found += [
            f"pair {v} {day}" for v, day in sorted(visits) if any((o, day) in visits for o in self.paired.get(v, ()))
        ]
        for at, job in enumerate(self.jobs):
            on, before = days[at], days[job.before] if job.before is not None else None
            if on is not None and (not self.fits(at, on) or (before is not None and on <= before)):
                found.append(f"order {at}")
        return found


def groups(workshop: Workshop, vehicles: Iterable[str]) -> list[list[str]]:
    """Vehicles that must be planned together: those of one depot, and depots joined by a pair; in order of name."""
    leader = {depot: depot for depot in workshop.depot.values()}

    def find(depot: str) -> str:
        while leader[depot] != depot:
            depot = leader[depot]
        return depot

    for pair in sorted(workshop.apart, key=sorted):
        one, other = (find(workshop.depot[vehicle]) for vehicle in sorted(pair))
        leader[max(one, other)] = min(one, other)
    found: dict[str, list[str]] = defaultdict(list)
    for vehicle in sorted(vehicles):
        found[find(workshop.depot[vehicle])].append(vehicle)
    return [found[name] for name in sorted(found)]
