"""Forecasts of lumpy use and base stocks, against published values (source beside each) and against counting."""

from math import comb, exp, factorial, sqrt
from statistics import NormalDist

import pytest

from fleetreport.items.demand import (
    METHODS,
    Lump,
    base_stock,
    choose_method,
    class_of_demand,
    croston,
    croston_parts,
    economic_quantity,
    lead_time_variance,
    smoothed_mean,
    syntetos_boylan,
    teunter_syntetos_babai,
)

# Monthly lubricant sales of an oil company: `productC` of Hyndman & Athanasopoulos, Forecasting: Principles and
# Practice, 2nd ed.
PRODUCT_C = [
    0,
    2,
    0,
    1,
    0,
    11,
    0,
    0,
    0,
    0,
    2,
    0,
    6,
    3,
    0,
    0,
    0,
    0,
    0,
    7,
    0,
    0,
    0,
    0,
    0,
    0,
    0,
    3,
    1,
    0,
    0,
    1,
    0,
    1,
    0,
    0,
]
# Run through statsforecast 2.1.1 beforehand, its answers frozen.
TWENTY = [0, 0, 3, 0, 0, 0, 2, 0, 5, 0, 0, 1, 0, 0, 0, 4, 0, 0, 2, 0]


def test_croston_on_the_oil_companys_sales() -> None:
    """FPP2 prints 2.750 / 2.793 = 0.985; times 1 - 0.1 / 2 is 0.935 (recomputed)."""
    parts = croston_parts(PRODUCT_C)
    assert parts == pytest.approx((2.750, 2.793), abs=5e-4)
    assert croston(PRODUCT_C) == pytest.approx(0.985, abs=5e-4)
    assert syntetos_boylan(PRODUCT_C) == pytest.approx(0.93537, abs=5e-6)
    assert class_of_demand(PRODUCT_C) == "lumpy"


def test_the_variants_of_croston_as_a_reference_library_has_them() -> None:
    """statsforecast 2.1.1, CrostonClassic, CrostonSBA and TSB with alpha 0.1."""
    assert croston(TWENTY) == pytest.approx(0.94338747, abs=5e-9)
    assert syntetos_boylan(TWENTY) == pytest.approx(0.89621810, abs=5e-9)
    assert teunter_syntetos_babai(TWENTY) == pytest.approx(0.79141627, abs=5e-9)


def test_exponential_smoothing_as_the_handbook_prints_it() -> None:
    """NIST/SEMATECH e-Handbook 6.4.3.1: alpha 0.1, next 71.50."""
    assert smoothed_mean([71, 70, 69, 68, 64, 65, 72, 78, 75, 75, 75, 70], 0.1) == pytest.approx(71.50, abs=5e-3)


def test_classes_of_demand_at_their_bounds() -> None:
    """Syntetos, Boylan & Croston (2005): the bound 1.32 counts as intermittent."""
    assert class_of_demand([1] * 25 + [0] * 8) == "intermittent"  # 33 / 25 = 1.32
    assert class_of_demand([1] * 26 + [0] * 8) == "smooth"  # 34 / 26 = 1.308
    assert class_of_demand([1, 1, 1, 9] * 3) == "erratic"
    assert class_of_demand([5]) is None


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


def test_textbook_values_of_stock() -> None:
    """Snyder & Shen, Fundamentals of Supply Chain Theory: examples 3.1, 4.3 and 5.5."""
    assert economic_quantity(1300, 8, 0.225) == pytest.approx(304.0468, abs=5e-5)
    assert base_stock([], 50, 8**2, 0.70 / (0.70 + 0.18), whole=False) == pytest.approx(56.6040, abs=5e-5)
    reorder_point = base_stock([], 1300 / 12, 150**2 / 12, 7.5 / (7.5 + 0.225), whole=False)
    assert reorder_point == pytest.approx(190.3370, abs=5e-5)


def test_further_published_values_of_stock() -> None:
    """EOQ 400 (encyclopaedia, from memory); newsvendor 38.68 (calcfxc.com); Poisson newsvendor, mean 10, ratio 4/5: 13
    (stockpyl 1.0.2); random lead time 191.84 with z 1.645."""
    assert economic_quantity(10_000, 40, 5) == 400
    assert base_stock([], 50, 20**2, 2 / 7, whole=False) == pytest.approx(38.68, abs=5e-3)
    assert base_stock([], 10, 10, 4 / 5, whole=True) == 13
    assert 1.645 * sqrt(lead_time_variance(100, 30**2, 4, 1)) == pytest.approx(191.84, abs=5e-3)
    assert economic_quantity(1300, 0, 0.225) is None


def test_poisson_base_stock() -> None:
    """Mean 4: P(X <= 7) = 0.94887 and P(X <= 8) = 0.97864, so the 95 % level is 8, not 7."""
    assert base_stock([], 4, 4, 0.95, whole=True) == 8
    assert base_stock([], 4, 4, 0.948, whole=True) == 7
    reached = sum(exp(-4) * 4**n / factorial(n) for n in range(8))
    assert reached == pytest.approx(0.94887, abs=5e-6)


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
