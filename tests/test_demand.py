"""Forecasts of lumpy use and base stocks, against published values (source beside each) and against counting."""

from math import comb, sqrt
from statistics import NormalDist

import pytest
import scipy.stats
from published.of_forecasting_books import PRODUCT_C

from fleetreport.items.demand import (
    METHODS,
    Lump,
    base_stock,
    choose_method,
    class_of_demand,
    economic_quantity,
    long_mean,
    recent_mean,
)


def test_a_single_period_has_no_class() -> None:
    assert class_of_demand([5]) is None


def test_no_record_forecasts_nothing() -> None:
    assert choose_method([]).per_period == 0


@pytest.mark.parametrize("figures", [(1300, 0, 0.225), (0, 8, 0.225), (1300, 8, 0), (1300, -8, 0.225)])
def test_an_order_that_costs_nothing_has_no_best_quantity(figures: tuple[float, float, float]) -> None:
    assert economic_quantity(*figures) is None


def test_small_figures_have_a_best_quantity_too() -> None:
    assert economic_quantity(0.5, 1, 1) == 1


def test_the_recent_mean_is_that_of_six_periods() -> None:
    assert recent_mean([10, 0, 0, 0, 0, 0, 6]) == 1
    assert recent_mean([3]) == 3
    assert long_mean([10, 0, 0, 0, 0, 0, 4]) == 2


def test_six_forecasts_are_judged_before_another_method_is_taken() -> None:
    """Of twelve periods the last six are forecast: by the recent mean 0 once for 6, then 1 five times for 0."""
    history = [0.0] * 6 + [6.0] + [0.0] * 5
    chosen = choose_method(history)
    assert (chosen.judged, chosen.bar_error) == (6, pytest.approx(sqrt((36 + 5) / 6)))
    # All of them are 6 off at first, and then no other for as long as the recent mean.
    assert chosen.error is not None
    assert chosen.error < sqrt(41 / 6)
    assert chosen.variance == pytest.approx(chosen.error**2)
    assert chosen.per_period == METHODS[chosen.method](history)
    early = choose_method(history[:11])
    assert (early.method, early.judged, early.error, early.bar_error) == ("recent_mean", 5, None, None)


def test_few_periods_have_their_own_variance_and_one_that_of_its_mean() -> None:
    """1 and 5 lie 2 to either side of 3: 8 / (2 - 1). A single count is taken for a Poisson one."""
    assert choose_method([1, 5])[:3] == ("recent_mean", 3, pytest.approx(8))
    assert choose_method([4])[:3] == ("recent_mean", 4, 4)
    assert choose_method([])[:3] == ("recent_mean", 0, 0)


@pytest.mark.parametrize(
    ("history", "name"),
    [
        ([1, 3], "erratic"),  # squared variation 2 / 4 = 0.5
        ([10, 30], "erratic"),
        ([10, 16], "smooth"),  # 18 / 169 = 0.11, its root 0.33
        ([5, 5], "smooth"),
        ([5, 5, 0], "intermittent"),  # 1.5 periods from one to the next
        ([1, 3, 0], "lumpy"),
        ([5] * 25 + [0] * 8, "intermittent"),  # 33 / 25 is 1.32
        ([5] * 26 + [0] * 8, "smooth"),  # 34 / 26 = 1.308
        ([0.5, 0.5, 0], "intermittent"),
        ([0, 0], None),
    ],
)
def test_classes_of_demand_by_hand(history: list[float], name: str | None) -> None:
    assert class_of_demand(history) == name


def test_another_method_stands_only_where_it_was_off_less_than_the_recent_mean() -> None:
    chosen = choose_method(PRODUCT_C)
    assert chosen.method == "syntetos_boylan"
    assert chosen.error is not None
    assert chosen.bar_error is not None
    assert chosen.error < chosen.bar_error
    # A level that steps up: the recent mean follows it, the slow ones do not.
    assert choose_method([1.0] * 12 + [9.0] * 18).method == "recent_mean"
    assert choose_method([0, 3, 0, 2]).method == "recent_mean"
    assert choose_method([0, 3, 0, 2]).error is None
    assert all(method([0.0] * 9) == 0 for method in METHODS.values())


def test_no_forecast_knows_what_came_after() -> None:
    """The error of a replay ends with its history: more history changes no earlier forecast."""
    for name, method in METHODS.items():
        assert method(PRODUCT_C[:20]) == method(list(PRODUCT_C[:20])), name
    shorter, longer = choose_method(PRODUCT_C[:30]), choose_method([*PRODUCT_C[:30], 500])
    assert shorter.judged == longer.judged - 1


def test_lumps_are_counted_exactly() -> None:
    """Ten pieces needed with a chance of 0.4 each: binomial tables give P(X <= 6) = 0.9452, P(X <= 7) = 0.9877."""
    lumps = [Lump(1, 0.4)] * 10
    assert sum(comb(10, n) * 0.4**n * 0.6 ** (10 - n) for n in range(7)) == pytest.approx(0.9452, abs=5e-5)
    assert base_stock(lumps, 0, 0, 0.95, whole=True) == 7
    assert base_stock([Lump(2, 0.5)] * 2, 0, 0, 0.9, whole=True) == 4


def test_a_greater_variance_than_the_mean_asks_for_more() -> None:
    """Negative binomial, mean 4, variance 8: shape 4, chance 1/2; by adding up its terms the 95 % level is 9."""
    reached, level = 0.0, -1
    while reached < 0.95:
        level += 1
        reached += comb(level + 3, 3) * 0.5**4 * 0.5**level
    assert level == 9
    assert base_stock([], 4, 8, 0.95, whole=True) == 9


def test_what_is_certain_needs_no_more_than_itself() -> None:
    for whole in (True, False):
        assert base_stock([Lump(24, 1.0), Lump(6, 1.0)], 0, 0, 0.99, whole) == 30
        assert base_stock([], 0, 0, 0.99, whole) == 0


def test_measured_goods_by_the_normal_approximation_but_never_beyond_all_of_it() -> None:
    z = NormalDist().inv_cdf(0.95)
    many = [Lump(5, 0.5)] * 40
    assert base_stock(many, 0, 0, 0.95, whole=False) == pytest.approx(100 + z * sqrt(40 * 25 * 0.25))
    assert base_stock([Lump(110, 0.5)], 0, 0, 0.95, whole=False) == 110


@pytest.mark.parametrize("level", [0.5, 0.9, 0.95, 0.99, 0.999])
@pytest.mark.parametrize(("mean", "variance"), [(0.1, 0.1), (3, 3), (40, 40), (0.3, 0.9), (1, 1.5), (4, 7.9), (20, 60)])
def test_counts_have_the_quantiles_of_scipy(mean: float, variance: float, level: float) -> None:
    """SciPy's poisson and nbinom: their ppf is the least count whose chance is enough, as here."""
    if variance == mean:
        expected = scipy.stats.poisson.ppf(level, mean)
    else:
        expected = scipy.stats.nbinom.ppf(level, mean**2 / (variance - mean), mean / variance)
    assert base_stock([], mean, variance, level, whole=True) == expected


def test_lumps_come_on_top_of_a_count() -> None:
    """A lump of 10 with chance 0.5 beside a Poisson count of mean 2: the chances added up term by term with SciPy."""
    counts = [float(scipy.stats.poisson.pmf(n, 2)) for n in range(60)]
    chances = [0.5 * counts[n] + (0.5 * counts[n - 10] if n >= 10 else 0) for n in range(60)]
    level = next(n for n in range(60) if sum(chances[: n + 1]) >= 0.9)
    assert base_stock([Lump(10, 0.5)], 2, 2, 0.9, whole=True) == level == 13


def test_pieces_are_counted_up_to_two_thousand_and_then_approximated() -> None:
    """Two lumps of 1,000: none, one or both, so 90 % asks for both; by the normal approximation 1,906."""
    z = NormalDist().inv_cdf(0.9)
    assert base_stock([Lump(1000, 0.5)] * 2, 0, 0, 0.9, whole=True) == 2000
    above = [Lump(1000, 0.5), Lump(1001, 0.5)]
    assert base_stock(above, 0, 0, 0.9, whole=True) == pytest.approx(1000.5 + z * sqrt((1000**2 + 1001**2) / 4))


def test_what_is_no_whole_piece_or_varies_about_nothing_is_approximated() -> None:
    z = NormalDist().inv_cdf(0.95)
    assert base_stock([Lump(1.5, 1.0), Lump(1, 1.0)], 0, 0, 0.95, whole=True) == 2.5
    assert base_stock([], 0, 4, 0.95, whole=True) == pytest.approx(2 * z)
    assert base_stock([], 0, 1, 0.95, whole=True) == pytest.approx(z)
    # What never comes up is not in all that may be asked for.
    assert base_stock([Lump(110, 0.5), Lump(50, 0.0)], 0, 0, 0.95, whole=False) == 110
    assert base_stock([Lump(110, 0.5)], 3, 4, 0.95, whole=False) == pytest.approx(110 + 3 + 2 * z)
    assert base_stock([], 1, 100, 0.01, whole=False) == 0
