"""The planner of visits: its plan against every plan there is (small cases), its bound, and what no plan may break."""

import itertools
import random
from collections.abc import Sequence
from typing import Any

import pytest

from fleetreport.items.whole_numbers import nodes_for
from fleetreport.visits import solver as visit_solver
from fleetreport.visits import workshop as visits
from fleetreport.visits.search import best_alone, place_in_turn
from fleetreport.visits.solver import plan, plans
from fleetreport.visits.workshop import VISIT, WORTH_OF_A_DAY_LATE, Case, Job, Workshop, groups

SPAN = 16


@pytest.fixture(autouse=True)
def few_days(monkeypatch: pytest.MonkeyPatch) -> None:
    """A short reach, so that every plan can be tried."""
    monkeypatch.setattr(visits, "LATEST", 8)
    monkeypatch.setattr(visit_solver, "LATEST", 8)


def workshop(days: dict[str, list[int]], first: int = 0, **more: object) -> Workshop:
    return Workshop(first, days, dict.fromkeys(days, "yard"), lambda day: day // 7, **{"hours": {}, **more})  # type: ignore[arg-type]


def least_cost(case: Case, days: range) -> int:
    """By trying every plan."""
    options = [
        [*(d for d in days if d in case.workshop.days[job.vehicle] and case.fits(at, d)), None]
        for at, job in enumerate(case.jobs)
    ]
    return min(case.cost(chosen) for chosen in itertools.product(*options) if not case.broken(chosen))


def random_case(seed: int) -> Case:
    chance = random.Random(seed)
    first = 7 * chance.randint(0, 1) + chance.randint(0, 4)
    vehicles = ["a", "b"][: chance.randint(1, 2)]
    days = {v: [d for d in range(first, first + SPAN) if d % 7 < 5 and chance.random() < 0.8] for v in vehicles}
    jobs = []
    for _ in range(chance.randint(1, 4)):
        due = first + chance.randint(-3, 8)
        earliest = max(first, due - chance.randint(0, 5))
        late = chance.choice(sorted(WORTH_OF_A_DAY_LATE.values()))
        jobs.append(Job(chance.choice(vehicles), earliest, due, chance.randint(0, 300), chance.randint(1, 300), late))
    if chance.random() < 0.4:
        due = max(jobs[0].due, first) + chance.randint(3, 7)
        gap = due - max(jobs[0].due, first) if chance.random() < 0.7 else None
        jobs.append(jobs[0]._replace(earliest=max(first, due - chance.randint(0, 2)), due=due, before=0, gap=gap))
    hours = {("x", week): chance.randint(0, 600) for week in range(5)} if chance.random() < 0.7 else {}
    apart = frozenset([frozenset(vehicles)]) if len(vehicles) == 2 and chance.random() < 0.5 else frozenset()
    depot = {v: "x" if chance.random() < 0.7 else "y" for v in vehicles}
    shop = Workshop(first, days, depot, lambda day: day // 7, hours, chance.choice([0, 50]), apart)
    return Case(jobs, shop)


@pytest.mark.parametrize("seed", range(60))
def test_no_plan_is_better_than_the_one_found_and_none_below_the_bound(seed: int) -> None:
    case = random_case(seed)
    found = plan(case.jobs, case.workshop)
    assert case.broken(found.days) == []
    assert case.cost(found.days) == found.cost
    least = least_cost(case, range(case.workshop.first_day, case.workshop.first_day + SPAN))
    assert found.bound <= least <= found.cost
    assert found.cost <= least * (1 + visit_solver.GAP) + 1


@pytest.mark.parametrize("seed", range(100, 140))
def test_a_vehicle_by_itself_is_planned_at_least_cost(seed: int) -> None:
    case = random_case(seed)
    jobs = [job._replace(vehicle="a", before=None, gap=None) for job in case.jobs[:4]]
    days = {"a": case.workshop.days["a"]}
    alone = Case(jobs, workshop(days, case.workshop.first_day))
    cost, chosen = best_alone(alone, "a")
    assert alone.cost([chosen[at] for at in range(len(jobs))]) == cost
    assert cost == least_cost(alone, range(case.workshop.first_day, case.workshop.first_day + SPAN))


@pytest.mark.parametrize("seed", range(200, 240))
def test_the_plan_in_turn_breaks_nothing_where_the_model_is_too_large(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(visit_solver, "MOST_VARIABLES", 0)
    case = random_case(seed)
    found = plan(case.jobs, case.workshop)
    assert case.broken(found.days) == []
    assert found.means in ("each vehicle's best", "placed in turn")
    assert found.bound <= least_cost(case, range(case.workshop.first_day, case.workshop.first_day + SPAN))
    assert 0 <= found.gap <= 1


def test_a_task_comes_early_to_save_a_visit_only_as_far_as_it_may() -> None:
    shop = workshop({"a": list(range(20))})
    assert plan([Job("a", 0, 5, 0, 10, 2000), Job("a", 4, 8, 0, 10, 2000)], shop).days == (5, 5)
    assert plan([Job("a", 0, 5, 0, 10, 2000), Job("a", 6, 8, 0, 10, 2000)], shop).days == (5, 8)


def test_a_task_does_not_come_early_where_that_gives_away_more_than_a_visit() -> None:
    jobs = [Job("a", 0, 5, 0, 10, 2000), Job("a", 4, 8, 0, VISIT, 2000)]
    assert plan(jobs, workshop({"a": list(range(20))})).days == (5, 8)


def test_no_due_day_is_passed_to_save_visits() -> None:
    """Eight tasks a day apart that may not come early: eight visits, none late."""
    jobs = [Job("a", day, day, 0, 1, WORTH_OF_A_DAY_LATE["other"]) for day in range(8)]
    assert plan(jobs, workshop({"a": list(range(20))})).days == tuple(range(8))


def test_where_hours_run_out_what_the_law_dates_goes_first() -> None:
    jobs = [
        Job("a", 0, 3, 100, 1, WORTH_OF_A_DAY_LATE["other"]),
        Job("b", 0, 3, 100, 1, WORTH_OF_A_DAY_LATE["law"]),
    ]
    shop = workshop({"a": list(range(5)) + list(range(7, 12)), "b": list(range(12))}, hours={("yard", 0): 100})
    assert plan(jobs, shop).days == (7, 3)


def test_two_of_a_pair_are_never_in_on_one_day() -> None:
    jobs = [Job("a", 0, 3, 0, 1, 2000), Job("b", 0, 3, 0, 1, 2000)]
    days = plan(jobs, workshop({"a": list(range(9)), "b": list(range(9))}, apart=frozenset([frozenset("ab")]))).days
    assert sorted(days, key=str) == [2, 3]


def test_a_task_longer_than_a_week_of_its_depot_takes_all_of_one() -> None:
    shop = workshop({"a": list(range(12))}, hours={("yard", 0): 200, ("yard", 1): 300})
    assert plan([Job("a", 0, 3, 4000, 1, 2000)], shop).days == (7,)


def test_a_vehicle_that_can_never_come_has_no_place() -> None:
    assert plan([Job("a", 0, 3, 0, 1, 2000)], workshop({"a": []})).days == (None,)


def test_done_early_it_is_due_again_early() -> None:
    """Done on day 5 for a visit with another, not on 7, and every 6 days from then: again by 11, not 13."""
    jobs = [Job("a", 0, 5, 0, 1, 2000), Job("a", 5, 7, 0, 1, 2000), Job("a", 10, 13, 0, 1, 2000, 1, 6)]
    assert plan(jobs, workshop({"a": list(range(16))})).days == (5, 5, 11)


def test_depots_that_share_a_pair_are_planned_together() -> None:
    shop = Workshop(0, {}, {"a": "x", "b": "y", "c": "z"}, lambda day: day // 7, {}, 0, frozenset([frozenset("ac")]))
    assert groups(shop, ["a", "b", "c"]) == [["a", "c"], ["b"]]


def test_the_wish_is_kept_where_there_is_room() -> None:
    case = Case([Job("a", 0, 3, 100, 1, 2000)], workshop({"a": list(range(9))}, hours={("yard", 0): 100}))
    assert place_in_turn(case, [3]) == (3,)


def test_models_are_made_only_as_far_as_the_effort_of_a_run_reaches(monkeypatch: pytest.MonkeyPatch) -> None:
    """With room for one model, of two groups alike only the first has one."""
    cases = (random_case(seed) for seed in range(200))
    case = next(case for case in cases if plan(case.jobs, case.workshop).means == "mixed-integer model")
    alone = plan(case.jobs, case.workshop)
    assert plans([case.jobs, case.jobs], case.workshop) == [alone, alone]
    monkeypatch.setattr(visit_solver, "MOST_IN_ALL", 2 * visit_solver._size(case) - 1)
    first, second = plans([case.jobs, case.jobs], case.workshop)
    assert (first, second.means) == (alone, "placed in turn")
    assert case.broken(second.days) == []


@pytest.mark.parametrize("seed", range(300, 320))
def test_a_model_cut_short_gives_a_plan_between_its_bound_and_the_one_in_turn(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = random_case(seed)
    with monkeypatch.context() as without:
        without.setattr(visit_solver, "MOST_VARIABLES", 0)
        in_turn = plan(case.jobs, case.workshop)
    monkeypatch.setattr(visit_solver, "EFFORT", 0)
    found = plan(case.jobs, case.workshop)
    least = least_cost(case, range(case.workshop.first_day, case.workshop.first_day + SPAN))
    assert case.broken(found.days) == []
    assert found.bound <= least <= found.cost <= in_turn.cost


def test_the_larger_a_model_the_fewer_its_nodes() -> None:
    """By hand: 500 million over the square of 2,000, 7,505, 25,000; of the last not even one would be left."""
    limits = visit_solver.MOST_NODES, visit_solver.EFFORT
    assert [nodes_for(variables, *limits) for variables in (5, 500, 2_000, 7_505, 25_000)] == [
        2_000,
        2_000,
        125,
        8,
        1,
    ]


def test_a_model_that_the_effort_has_not_proved_is_not_solved_again_with_more_visits(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What was left out could raise no bound then; where the first model is proved, it is put in."""
    cases = [random_case(seed) for seed in range(60)]
    solve, calls = visit_solver.milp, list[int]()

    def watched(cost: Sequence[float], **more: Any) -> Any:
        calls.append(len(cost))
        found = solve(cost, **more)
        if is_unproved and found.x is not None:
            found.mip_dual_bound = 0.0
        return found

    monkeypatch.setattr(visit_solver, "milp", watched)
    monkeypatch.setattr(visit_solver, "FIRST_TRY", 0.0)
    times = {}
    for is_unproved in (False, True):
        calls.clear()
        found = [plan(case.jobs, case.workshop) for case in cases]
        times[is_unproved] = len(calls)
        assert all(one.bound <= one.cost for one in found)
    assert times[True] < times[False]


def test_a_large_model_is_left_at_a_hundredth() -> None:
    assert [visit_solver.gap_for(variables) for variables in (1, 5_000, 5_001, 25_000)] == [0.001, 0.001, 0.01, 0.01]
