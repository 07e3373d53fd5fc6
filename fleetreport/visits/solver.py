"""The plan of visits: the best of each vehicle where that stands, else a mixed-integer model, with a bound for both.

HiGHS solves the model through scipy.optimize.milp. Its effort is limited by nodes and a gap, never by a clock, so that
the same jobs give the same plan on any machine with the same version. A model that would be too large is not
built: the plan in turn then stands with its gap to the bound of the vehicles by themselves.
"""

from collections import defaultdict
from collections.abc import Sequence
from math import ceil

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from fleetreport.visits.search import best_alone, place_in_turn
from fleetreport.visits.workshop import LATEST, VISIT, Case, Job, Plan, Workshop

MOST_VARIABLES = 60_000
NODES = 2_000
GAP = 0.001


def plan(jobs: Sequence[Job], workshop: Workshop) -> Plan:
    """The days for all jobs of a group of vehicles (see visits.groups), in the order given."""
    case = Case(jobs, workshop)
    days: list[int | None] = [None] * len(jobs)
    bound = 0
    for vehicle in case.by_vehicle:
        cost, chosen = best_alone(case, vehicle)
        bound += cost
        for at, day in chosen.items():
            days[at] = day
    if not case.broken(days) and case.cost(days) == bound:
        return Plan(tuple(days), bound, bound, "each vehicle's best")
    in_turn = place_in_turn(case, days)
    found = Plan(in_turn, case.cost(in_turn), bound, "placed in turn")
    if found.cost > bound and sum(len(case.candidates[job.vehicle]) for job in jobs) <= MOST_VARIABLES:
        found = _better(case, found)
    return found


def _better(case: Case, known: Plan) -> Plan:
    """The better of the plan known and what the model finds, with the better of both bounds."""
    model = _Model(case)
    days, bound = model.solve()
    # Rounded up, since a plan costs a whole number; a hair is taken off first, for the solver counts in floats.
    bound = max(known.bound, ceil(bound - 1e-6 * max(1.0, abs(bound))))
    if days is not None and not case.broken(days) and case.cost(days) < known.cost:
        known = Plan(tuple(days), case.cost(days), bound, "mixed-integer model")
    return known._replace(bound=min(bound, known.cost))


class _Model:
    """The mixed-integer model of a case: a variable for each visit that could be, and for each job on each of its days.

    Its cost is that of `Case.cost`: visits, days given away, days late (those from an early repeat too), no place.
    """

    def __init__(self, case: Case) -> None:
        self.case = case
        self.cost: list[float] = []
        self.whole: list[int] = []
        self.upper: list[float] = []
        self.rows: list[tuple[dict[int, float], float, float]] = []
        self.visit: dict[tuple[str, int], int] = {}
        self.on: list[dict[int, int]] = []
        self.none: list[int] = []
        self._add_variables()
        self._add_weeks()
        self._add_pairs()
        self._add_repeats()

    def _variable(self, cost: float, whole: bool = True, upper: float = 1) -> int:
        self.cost.append(cost)
        self.whole.append(int(whole))
        self.upper.append(upper)
        return len(self.cost) - 1

    def _row(self, terms: dict[int, float], low: float, high: float) -> None:
        self.rows.append((terms, low, high))

    def _add_variables(self) -> None:
        case = self.case
        for vehicle in case.by_vehicle:
            for day in case.candidates[vehicle]:
                self.visit[vehicle, day] = self._variable(VISIT)
        for at, job in enumerate(case.jobs):
            # With whole visits the days of jobs come out whole but for the hours of a week.
            on = {
                day: self._variable(case.cost_on(at, day)) for day in case.candidates[job.vehicle] if case.fits(at, day)
            }
            self.on.append(on)
            self.none.append(self._variable(case.cost_on(at, None)))
            self._row({**dict.fromkeys(on.values(), 1.0), self.none[at]: 1.0}, 1, 1)
            for day, variable in on.items():
                self._row({variable: 1, self.visit[job.vehicle, day]: -1}, -np.inf, 0)

    def _add_weeks(self) -> None:
        shop = self.case.workshop
        taken: dict[tuple[str, int], dict[int, float]] = defaultdict(dict)
        for at, job in enumerate(self.case.jobs):
            for day, variable in self.on[at].items():
                taken[shop.depot[job.vehicle], shop.week_of(day)][variable] = self.case.needs[at]
        for (vehicle, day), variable in self.visit.items():
            taken[shop.depot[vehicle], shop.week_of(day)][variable] = shop.hours_per_visit
        for slot, terms in taken.items():
            if slot in shop.hours:
                self._row(terms, -np.inf, shop.hours[slot])

    def _add_pairs(self) -> None:
        for vehicle, others in self.case.paired.items():
            for other in others:
                for day in self.case.candidates.get(vehicle, []) if vehicle < other else []:
                    if (other, day) in self.visit:
                        self._row({self.visit[vehicle, day]: 1, self.visit[other, day]: 1}, -np.inf, 1)

    def _add_repeats(self) -> None:
        """After the one before it; and where the interval counts from that one, late from then on."""
        case = self.case
        span = (
            4.0 * LATEST
            + max((day for days in case.candidates.values() for day in days), default=0)
            - case.workshop.first_day
        )
        for at, job in enumerate(case.jobs):
            if job.before is None:
                continue
            start = case.workshop.first_day
            terms: dict[int, float] = {variable: float(day - start) for day, variable in self.on[at].items()}
            terms |= {variable: float(start - day) for day, variable in self.on[job.before].items()}
            off = {self.none[at]: span, self.none[job.before]: span}
            self._row({**terms, **off}, 1, np.inf)
            if job.gap is None:
                continue
            late = self._variable(job.late_cost, whole=False, upper=span)
            due = max(job.due, start)
            counted = {variable: terms[variable] - max(0, day - due) for day, variable in self.on[at].items()}
            self._row({**terms, **counted, late: -1, **{v: -s for v, s in off.items()}}, -np.inf, job.gap)

    def solve(self) -> tuple[list[int | None] | None, float]:
        """The days found (None: none within the effort allowed) and the bound proven, 0 where there is none."""
        entries = [
            (row, variable, value) for row, (terms, _, _) in enumerate(self.rows) for variable, value in terms.items()
        ]
        rows, columns, values = (list(one) for one in zip(*entries, strict=True))
        matrix = csr_array((values, (rows, columns)), shape=(len(self.rows), len(self.cost)))
        found = milp(
            np.array(self.cost, dtype=float), integrality=np.array(self.whole), bounds=Bounds(0, np.array(self.upper)),
            constraints=LinearConstraint(matrix, [low for _, low, _ in self.rows], [high for _, _, high in self.rows]),
            options={"node_limit": NODES, "mip_rel_gap": GAP},
        )  # fmt: skip
        bound = found.mip_dual_bound if found.mip_dual_bound is not None else 0.0
        if found.x is None:
            return None, bound
        days = [next((day for day, variable in on.items() if found.x[variable] > 0.5), None) for on in self.on]
        return days, bound
