"""The simulation: what must be exact is exact, means and bands are those of known distributions, the same each time."""

from typing import Any

import numpy as np
import pytest

from fleetreport.money.season import Season, season_of
from fleetreport.money.simulate import ChanceParts, Repairs, Use, Work, draws_for, simulate

ENDS = np.array([30, 60, 90])
NO_PARTS = ChanceParts(np.array([], np.int64), np.array([]), np.array([]))
NO_DELAYS = np.zeros(0)


def use_of(vehicles: int, low: float = 1.0, high: float = 1.0) -> Use:
    return Use(np.full(vehicles, low), np.full(vehicles, high))


def work_on(*days: int, cost: float = 100.0, moves: bool = True) -> Work:
    n = len(days)
    return Work(np.zeros(n, np.int64), np.array(days), np.zeros(n, np.int64), np.full(n, cost), np.full(n, moves))


def repairs_of(vehicles: int, **other: Any) -> list[Repairs]:
    whole: dict[str, Any] = {
        "group": np.zeros(vehicles, np.int64), "line": np.zeros(vehicles, np.int64),
        "class_shape": np.full(vehicles, 1e9),
        "own_shape": np.full(vehicles, 1e9), "expected": np.zeros((vehicles, 3)), "scale": np.ones(vehicles),
        "growth": np.ones(3), "costs": [np.array([100.0])],
    }  # fmt: skip
    return [Repairs(**(whole | other))]


def test_without_chance_every_draw_is_the_plan() -> None:
    """Use at its rate, no delay, nothing by chance: each month holds what falls into it, its last day included."""
    money = simulate(use_of(1), work_on(0, 30, 31, 90, 91), NO_PARTS, repairs_of(1), NO_DELAYS, ENDS, 1, draws=50)
    assert money.shape == (1, 3, 50)
    assert (money[0] == np.array([200.0, 100.0, 100.0])[:, None]).all()


def test_the_same_each_time_and_another_with_another_seed() -> None:
    given = (use_of(300, 0.8, 1.3), work_on(10, 40, 70), NO_PARTS, repairs_of(300, expected=np.full((300, 3), 0.2)),
             np.array([-5.0, 0.0, 9.0]), ENDS, 1)  # fmt: skip
    first = simulate(*given, draws=100)
    assert np.array_equal(first, simulate(*given, draws=100))
    assert not np.array_equal(first, simulate(*given, draws=100, seed=1))


def test_repairs_come_as_poisson_counts() -> None:
    """Mean and variance of a Poisson count are its rate (textbook); here 4 over three months, each of cost 100."""
    repairs = repairs_of(1, expected=np.array([[1.0, 2.0, 1.0]]))
    counts = simulate(use_of(1), work_on(), NO_PARTS, repairs, NO_DELAYS, ENDS, 1, draws=20_000)[0] / 100
    assert counts.sum(axis=0).mean() == pytest.approx(4, abs=0.06)
    assert counts.sum(axis=0).var() == pytest.approx(4, rel=0.05)
    assert counts.mean(axis=1) == pytest.approx([1, 2, 1], abs=0.05)


def test_an_uncertain_rate_widens_the_count() -> None:
    """A Poisson count whose rate is gamma of shape a has variance m + m^2 / a (negative binomial, textbook)."""
    repairs = repairs_of(1, own_shape=np.array([2.0]), expected=np.array([[4.0, 0.0, 0.0]]))
    counts = simulate(use_of(1), work_on(), NO_PARTS, repairs, NO_DELAYS, ENDS, 1, draws=40_000)[0, 0] / 100
    assert counts.mean() == pytest.approx(4, abs=0.1)
    assert counts.var() == pytest.approx(4 + 16 / 2, rel=0.07)


def test_use_below_and_above_its_band_one_time_in_ten_each() -> None:
    """Work due on day 60 at the rate comes by day 50 where use passes 1.2, and after day 75 where it is below 0.8."""
    months = np.array([50, 74, 200])
    money = simulate(use_of(1, 0.8, 1.2), work_on(60), NO_PARTS, repairs_of(1), NO_DELAYS, months, 1, draws=20_000)[0]
    early, late = (money > 0).mean(axis=1)[[0, 2]]
    assert early == pytest.approx(0.1, abs=0.02)
    assert late == pytest.approx(0.1, abs=0.02)


def test_an_item_by_chance_is_paid_in_full_or_not_at_all() -> None:
    parts = ChanceParts(np.array([0]), np.array([0.25]), np.array([40.0]))
    found = simulate(use_of(1), work_on(10), parts, repairs_of(1), NO_DELAYS, ENDS, 1, draws=4_000)[0, 0]
    assert set(found.tolist()) == {100.0, 140.0}
    assert (found == 140).mean() == pytest.approx(0.25, abs=0.03)


def test_the_band_of_a_sum_is_not_the_sum_of_bands() -> None:
    """Independent repairs of 100 vehicles even out: the fleet's band is far narrower than its vehicles' together."""
    repairs = repairs_of(100, line=np.arange(100), expected=np.full((100, 3), 0.5))
    money = simulate(use_of(100), work_on(), NO_PARTS, repairs, NO_DELAYS, ENDS, 100, draws=500).sum(axis=1)
    low, high = np.quantile(money, [0.1, 0.9], axis=1)
    fleet_low, fleet_high = np.quantile(money.sum(axis=0), [0.1, 0.9])
    assert fleet_high - fleet_low < 0.3 * (high - low).sum()


def test_the_level_of_planned_cost_is_drawn_once_for_all_work() -> None:
    money = simulate(
        use_of(1), work_on(10, 20), NO_PARTS, repairs_of(1), NO_DELAYS, ENDS, 1, draws=5_000, level=(1.1, 0.1)
    )[0, 0]
    assert money.mean() == pytest.approx(220, abs=1.5)
    assert money.std() == pytest.approx(20, rel=0.05)


def test_work_of_one_visit_is_late_together() -> None:
    money = simulate(
        use_of(1), work_on(28, 29, moves=False), NO_PARTS, repairs_of(1), np.array([0.0, 10.0]), ENDS, 1, draws=200
    )
    assert set(money[0, 0].tolist()) == {0.0, 200.0}


def test_the_season_of_months_that_repeat_each_year() -> None:
    """Two years alike up to their level: the season is the months' share of the year, nothing is left to chance."""
    months = 100 + 30 * np.sin(2 * np.pi * np.arange(12) / 12)
    found = season_of([months, 2 * months])
    assert found.level == pytest.approx(months / 100)
    assert found.noise == pytest.approx(0, abs=1e-9)


def test_no_season_where_months_differ_by_chance_alone() -> None:
    """Independent months about one mean: the levels keep closer to 1 than the plain means (positive-part James-Stein,
    Efron & Morris 1973), and the noise is the months' standard deviation."""
    rng = np.random.default_rng(7)
    shrunk, plain, noise = [], [], []
    for _ in range(300):
        ran = rng.normal(100, 10, size=(3, 12))
        found = season_of(ran)
        shrunk.append(np.mean((found.level - 1) ** 2))
        plain.append(np.mean((ran.mean(axis=0) / ran.mean() - 1) ** 2))
        noise.append(found.noise**2)
    assert np.mean(shrunk) < 0.4 * np.mean(plain)
    assert np.sqrt(np.mean(noise)) == pytest.approx(0.1, rel=0.05)
    assert (season_of(np.zeros((2, 12))).level == 1).all()


def test_a_fleet_that_rests_in_a_month_has_its_work_later() -> None:
    """Twice the rate for 20 days, none for 41: 38 days' use are run by day 19, 41 only after the rest (by hand)."""
    season = Season(np.array([2.0, 0.0, 1.0]), 0.0)
    ends = np.array([19, 60, 90])
    use = use_of(1)._replace(season=season)
    money = simulate(use, work_on(38, 41), NO_PARTS, repairs_of(1), NO_DELAYS, ends, 1, draws=10)
    assert (money[0] == np.array([100.0, 0.0, 100.0])[:, None]).all()
    still = use._replace(follows=np.array([False]))
    money = simulate(still, work_on(38, 41), NO_PARTS, repairs_of(1), NO_DELAYS, ends, 1, draws=10)
    assert (money[0] == np.array([0.0, 200.0, 0.0])[:, None]).all()


def test_repairs_come_with_the_months_use() -> None:
    season = Season(np.array([2.0, 0.0, 1.0]), 0.0)
    repairs = repairs_of(1, expected=np.full((1, 3), 1.5))
    use = use_of(1)._replace(season=season)
    counts = simulate(use, work_on(), NO_PARTS, repairs, NO_DELAYS, ENDS, 1, draws=20_000)[0] / 100
    assert counts.mean(axis=1) == pytest.approx([3, 0, 1.5], abs=0.05)


def test_one_bill_a_visit_about_the_plan() -> None:
    """Two works of a visit are on one bill, at 0.5 or 1.5 of the plan: 100 or 300, 200 on average."""
    money = simulate(use_of(1), work_on(10, 12), NO_PARTS, repairs_of(1), NO_DELAYS, ENDS, 1, draws=4_000,
                     bills=np.array([0.5, 1.5]))[0, 0]  # fmt: skip
    assert set(money.tolist()) == {100.0, 300.0}
    assert money.mean() == pytest.approx(200, abs=5)


@pytest.mark.parametrize(("pieces", "draws"), [(0, 1000), (20_000, 1000), (40_000, 500), (1_000_000, 250)])
def test_a_large_fleet_is_played_out_fewer_times(pieces: int, draws: int) -> None:
    assert draws_for(pieces) == draws
