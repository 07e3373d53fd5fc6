"""Forecasts of lumpy use and base stocks, against published values (source beside each) and against counting."""

from math import comb, sqrt
from statistics import NormalDist

import pytest
from published.of_forecasting_books import PRODUCT_C

from fleetreport.items.demand import (
    METHODS,
    Lump,
    base_stock,
    choose_method,
    class_of_demand,
    economic_quantity,
)


def test_a_single_period_has_no_class() -> None:
    assert class_of_demand([5]) is None


def test_no_record_forecasts_nothing() -> None:
    assert choose_method([]).per_period == 0


def test_an_order_that_costs_nothing_has_no_best_quantity() -> None:
    assert economic_quantity(1300, 0, 0.225) is None


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
