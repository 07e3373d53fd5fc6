"""Two ways to find days for jobs: the best for a vehicle by itself, and a plan for all of a workshop in turn.

`best_alone` is exact where nothing ties vehicles together; the sum of what it costs is a bound that no plan can beat.
`place_in_turn` keeps all that a plan must keep, and says nothing of how good it is.
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence

from fleetreport.visits.workshop import VISIT, Case

MOST_ROUNDS = 10


def best_alone(case: Case, vehicle: str) -> tuple[int, dict[int, int | None]]:
    """The least cost of a vehicle's jobs where hours, pairs and repeats are no matter, and the days that cost it.

    An exact dynamic program over the last visit so far: a job goes to the last visit not after its due day, else to
    the first one after it, since both costs grow with the days between. O(days^2 x jobs).
    """
    jobs, days = case.by_vehicle[vehicle], case.breaks[vehicle]
    due = [case.due[at] for at in jobs]  # in order, as the jobs are
    nowhere = [case.cost_on(at, None) for at in jobs]
    asked = [
        (case.jobs[at].earliest, case.due[at], case.latest(at), case.jobs[at].early_cost, case.jobs[at].late_cost, none)
        for at, none in zip(jobs, nowhere, strict=True)
    ]
    # The visits so far by their place, the first being none, and the same of the end: what each job costs at most if it
    # may go there (as `Case.cost_on`), and the first job that falls due on or after that day.
    visits: list[int | None] = [None, *days, None]
    on_days = [
        [min(none, early * (by - day) if day <= by else late * (day - by)) if earliest <= day <= latest else none
         for earliest, by, latest, early, late, none in asked]
        for day in days
    ]  # fmt: skip
    costs = [nowhere, *on_days, nowhere]
    first = [0, *(bisect_left(due, day) for day in days), len(jobs)]
    best: list[tuple[int, int]] = [(0, -1)]
    for place in range(1, len(visits)):
        here, end = costs[place], first[place]
        options = [
            (best[at][0] + sum(map(min, costs[at][first[at] : end], here[first[at] : end])), at) for at in range(place)
        ]
        cheapest, at = min(options)
        best.append((cheapest + (VISIT if visits[place] is not None else 0), at))
    chosen: dict[int, int | None] = {}
    place = len(visits) - 1
    while place > 0:
        before = best[place][1]
        for at in jobs[first[before] : first[place]]:
            chosen[at] = _cheaper(case, at, visits[before], visits[place])
        place = before
    return best[-1][0], chosen


def _cheaper(case: Case, at: int, previous: int | None, day: int | None) -> int | None:
    """The better day for a job due from the visit before on and before the next one; None: no place."""
    best: tuple[int, int | None] = (case.cost_on(at, None), None)
    for on in (day, previous):
        if on is not None and case.fits(at, on) and (cost := case.cost_on(at, on)) <= best[0]:
            best = (cost, on)
    return best[1]


def place_in_turn(case: Case, wished: Sequence[int | None]) -> tuple[int | None, ...]:
    """A plan that breaks nothing: jobs in order of what a day late costs, then of due day, each on the day wished where
    there is room, else on its cheapest day that is left; then each is taken out and put again while the whole gets
    cheaper.
    """
    days: list[int | None] = [None] * len(case.jobs)
    order = sorted(range(len(case.jobs)), key=lambda at: (-case.jobs[at].late_cost, case.jobs[at].due, at))
    board = _Board(case, days)
    for at in order:
        wish = wished[at]
        board.put(at, wish if wish is not None and board.has_room(at, wish) else board.cheapest(at))
    cost = case.cost(days)
    for _ in range(MOST_ROUNDS):
        for at in order:
            board.take(at)
            board.put(at, board.cheapest(at))
        before, cost = cost, case.cost(days)
        if cost >= before:
            break
    return tuple(days)


class _Board:
    """What is placed so far: the visits of each vehicle and the hours used of each week."""

    def __init__(self, case: Case, days: list[int | None]) -> None:
        self.case, self.days = case, days
        self.on: dict[tuple[str, int], int] = defaultdict(int)
        self.used: dict[tuple[str, int], int] = defaultdict(int)
        self.after = {job.before: at for at, job in enumerate(case.jobs) if job.before is not None}

    def _slot(self, at: int, day: int) -> tuple[str, int]:
        return self.case.workshop.depot[self.case.jobs[at].vehicle], self.case.workshop.week_of(day)

    def take(self, at: int) -> None:
        """Take a job from its day, if it has one."""
        day, vehicle = self.days[at], self.case.jobs[at].vehicle
        if day is None:
            return
        self.on[vehicle, day] -= 1
        opened = self.case.workshop.hours_per_visit if not self.on[vehicle, day] else 0
        self.used[self._slot(at, day)] -= self.case.needs[at] + opened
        self.days[at] = None

    def put(self, at: int, day: int | None) -> None:
        """Put a job that has no day on one."""
        if day is None:
            return
        vehicle = self.case.jobs[at].vehicle
        opened = self.case.workshop.hours_per_visit if not self.on[vehicle, day] else 0
        self.used[self._slot(at, day)] += self.case.needs[at] + opened
        self.on[vehicle, day] += 1
        self.days[at] = day

    def cheapest(self, at: int) -> int | None:
        """The day that adds least to the whole; the later of equals. None: no day is better than no place."""
        case = self.case
        best: tuple[int, int | None] = case.cost_on(at, None), None
        days = case.days_that_fit(at)
        due = bisect_left(days, case.due[at])
        # What the day itself costs grows on both sides of the due day, and nothing makes up for it.
        job, fell_due = case.jobs[at], case.due[at]
        for side, a_day in ((days[due:], job.late_cost), (days[:due][::-1], job.early_cost)):
            for day in side:
                own = a_day * abs(day - fell_due)
                if own > best[0]:
                    break
                cost = self._cost(at, day, own)
                is_better = cost < best[0] or (cost == best[0] and best[1] is not None and day > best[1])
                if is_better and self._is_free(at, day):
                    best = cost, day
        return best[1]

    def _cost(self, at: int, day: int, own: int) -> int:
        """What a day adds to the whole, of which it costs `own` by itself."""
        job = self.case.jobs[at]
        cost = own if self.on.get((job.vehicle, day)) else own + VISIT
        if job.before is not None:
            cost += job.late_cost * self.case.extra_late(at, day, self.days[job.before])
        follower = self.after.get(at)
        if follower is not None:
            cost += self.case.jobs[follower].late_cost * self.case.extra_late(follower, self.days[follower], day)
        return cost

    def has_room(self, at: int, day: int) -> bool:
        """Whether a job not placed may go on a day beside what is placed."""
        return self.case.fits(at, day) and self._is_free(at, day)

    def _is_free(self, at: int, day: int) -> bool:
        """Whether a day on which a job not placed may be done by itself has room for it beside what is placed."""
        shop, vehicle, before = self.case.workshop, self.case.jobs[at].vehicle, self.case.jobs[at].before
        first = self.days[before] if before is not None else None
        last = self.days[self.after[at]] if at in self.after else None
        if (first is not None and day <= first) or (last is not None and day >= last):
            return False
        slot = self._slot(at, day)
        limit = shop.hours.get(slot)
        if limit is not None:
            opened = 0 if self.on.get((vehicle, day)) else shop.hours_per_visit
            if self.used[slot] + self.case.needs[at] + opened > limit:
                return False
        return not any(self.on.get((other, day)) for other in self.case.paired.get(vehicle, ()))
