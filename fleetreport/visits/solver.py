"""The plan of visits: the best of each vehicle where that stands, else a mixed-integer model, with a bound for both.

HiGHS solves the model through SciPy. Its effort is limited by nodes and a gap, never by a clock, so that the same jobs
give the same plan on any machine with the same version. What a model takes grows faster than its size, and nodes do not
bound its first step. So a model that would be too large is not built, and all models of a run have a limit together:
the groups whose plans in turn lie furthest above their bound have theirs first. Other plans stand as placed in turn,
each with its gap to the bound of the vehicles by themselves.

Most visits that could be are in no good plan. The model without whole numbers is quickly solved and tells by how much
each would make the best of it dearer (its reduced cost): no plan with that visit costs less than the optimum so found
and that much more. The model is therefore first solved with the cheap ones only; what was left out cannot matter where
the plan found costs no more than the bound on all plans that use any of it, else it is put in and the model is solved
again (reduced-cost fixing; Nemhauser and Wolsey, Integer and Combinatorial Optimization, 1988, from memory).
"""

from collections import defaultdict
from collections.abc import Sequence
from math import ceil

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import csr_array, vstack

from fleetreport.items.whole_numbers import nodes_for, without_a_word
from fleetreport.visits.search import best_alone, place_in_turn
from fleetreport.visits.workshop import LATEST, VISIT, Case, Job, Plan, Workshop

MOST_VARIABLES = 25_000
MOST_IN_ALL = 50_000
# What a model may take, see `nodes_for`. Most is gained at the first nodes: with 7,505 variables they left 1.1 % to the
# bound, and 354 more took five times as long for 0.1 %.
MOST_NODES = 2_000
EFFORT = 500_000_000
GAP = 0.001
# A large model is left nearer by a hundredth: the last nine thousandths took it twice as long, for a plan as dear.
LARGE, GAP_OF_LARGE = 5_000, 0.01
# How much dearer than the optimum without whole numbers, as a share of it, what the first model leaves out would be. Of
# one fleet's weeks 0.03 was too little for two of four, whose models were then solved twice.
FIRST_TRY = 0.05


def gap_for(variables: int) -> float:
    """How far a plan may lie above the bound for a model of so many variables to be left, as a share of its cost."""
    return GAP if variables <= LARGE else GAP_OF_LARGE


def plan(jobs: Sequence[Job], workshop: Workshop) -> Plan:
    """The days for all jobs of a group of vehicles (see `workshop.groups`), in the order given."""
    return plans([jobs], workshop)[0]


def plans(groups: Sequence[Sequence[Job]], workshop: Workshop) -> list[Plan]:
    """The days for all jobs of each group: plans that nothing ties together but the effort they may take in all."""
    cases = [Case(jobs, workshop) for jobs in groups]
    found = [_without_model(case) for case in cases]
    left = MOST_IN_ALL
    for at in sorted(range(len(cases)), key=lambda at: (found[at].bound - found[at].cost, at)):
        if found[at].cost > found[at].bound:
            size = _size(cases[at])
            if size <= min(MOST_VARIABLES, left):
                found[at] = _better(cases[at], found[at])
                left -= size
    return found


def _size(case: Case) -> int:
    """How many variables its model would have, but for the few of repeats."""
    on_days = sum(len(case.days_that_fit(at)) for at in range(len(case.jobs)))
    return on_days + len(case.jobs) + sum(len(days) for days in case.candidates.values())


def _without_model(case: Case) -> Plan:
    """Each vehicle's best where that breaks nothing, else the plan in turn."""
    days: list[int | None] = [None] * len(case.jobs)
    bound = 0
    for vehicle in case.by_vehicle:
        cost, chosen = best_alone(case, vehicle)
        bound += cost
        for at, day in chosen.items():
            days[at] = day
    if not case.broken(days) and case.cost(days) == bound:
        return Plan(tuple(days), bound, bound, "each vehicle's best")
    in_turn = place_in_turn(case, days)
    return Plan(in_turn, case.cost(in_turn), bound, "placed in turn")


def _better(case: Case, known: Plan) -> Plan:
    """The better of the plan known and what the model finds, with the better of both bounds."""
    model = _Model(case)
    days, bound = model.solve(known.cost)
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
            on = {day: self._variable(case.cost_on(at, day)) for day in case.days_that_fit(at)}
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
            due = case.due[at]
            counted = {variable: terms[variable] - max(0, day - due) for day, variable in self.on[at].items()}
            self._row({**terms, **counted, late: -1, **{v: -s for v, s in off.items()}}, -np.inf, job.gap)

    def solve(self, known_cost: float) -> tuple[list[int | None] | None, float]:
        """The days found (None: none within the effort allowed) and a cost that no plan can be below.

        `known_cost` is what a plan already known costs.
        """
        matrix, low, high = self._matrix()
        relaxed, dearer = self._without_whole_numbers(matrix, low, high)
        best: NDArray[np.float64] | None = None
        best_cost, margin, proved = known_cost, FIRST_TRY * relaxed, 0.0
        while True:
            kept = dearer <= margin
            found, cost, bound = self._solve_with(kept, matrix, low, high)
            if found is not None and cost < best_cost:
                best, best_cost = found, cost
            if kept.all():
                proved = max(proved, bound)
                break
            # Plans of the visits kept cost at least `bound`, those with any other at least `of_others`. Where the first
            # is the less, it is what the effort allowed has proved, and more visits cannot raise it. With these a plan
            # could be found that is cheaper; it is not looked for, since that takes longer still.
            of_others = relaxed + margin
            proved = max(proved, min(bound, of_others))
            is_all_that_can_be = found is not None and bound <= of_others
            if is_all_that_can_be or of_others >= best_cost * (1 - gap_for(int(kept.sum()))):
                break
            margin = best_cost - relaxed
        if best is None:
            return None, proved
        return [next((day for day, variable in on.items() if best[variable] > 0.5), None) for on in self.on], proved

    def _matrix(self) -> tuple[csr_array, NDArray[np.float64], NDArray[np.float64]]:
        entries = [
            (row, variable, value) for row, (terms, _, _) in enumerate(self.rows) for variable, value in terms.items()
        ]
        rows, columns, values = (list(one) for one in zip(*entries, strict=True))
        matrix = csr_array((values, (rows, columns)), shape=(len(self.rows), len(self.cost)))
        return matrix, np.array([low for _, low, _ in self.rows]), np.array([high for _, _, high in self.rows])

    def _without_whole_numbers(
        self, matrix: csr_array, low: NDArray[np.float64], high: NDArray[np.float64]
    ) -> tuple[float, NDArray[np.float64]]:
        """The least cost of the model without whole numbers, and each variable's reduced cost.

        Days late count whole in every plan though the model lets them be broken, so theirs holds as the others' do.
        """
        fixed = low == high
        below, above = np.isfinite(high) & ~fixed, np.isfinite(low) & ~fixed
        found = linprog(
            np.array(self.cost), A_eq=matrix[fixed], b_eq=high[fixed], A_ub=vstack([matrix[below], -matrix[above]]),
            b_ub=np.concatenate([high[below], -low[above]]), bounds=[(0, upper) for upper in self.upper],
            method="highs",
        )  # fmt: skip
        if found.status != 0 or found.fun is None:
            return 0.0, np.zeros(len(self.cost))
        return found.fun, np.asarray(found.lower.marginals)

    def _solve_with(
        self, kept: NDArray[np.bool_], matrix: csr_array, low: NDArray[np.float64], high: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64] | None, float, float]:
        """The best found with the variables kept (None: nothing), its cost, and the bound on it."""
        size = int(kept.sum())
        with without_a_word():
            found = milp(
                np.array(self.cost)[kept], integrality=np.array(self.whole)[kept],
                bounds=Bounds(0, np.array(self.upper)[kept]), constraints=LinearConstraint(matrix[:, kept], low, high),
                options={"node_limit": nodes_for(size, MOST_NODES, EFFORT), "mip_rel_gap": gap_for(size)},
            )  # fmt: skip
        # Without a plan of the visits kept (status 2) they set no bound; without a proof there is none.
        dual = None if found.mip_dual_bound is None else float(found.mip_dual_bound)
        unproven = np.inf if found.status == 2 and not kept.all() else 0.0
        bound = unproven if dual is None else dual
        if found.x is None:
            return None, np.inf, bound
        whole = np.zeros(len(self.cost))
        whole[kept] = found.x
        return whole, float(np.array(self.cost)[kept] @ found.x), bound
