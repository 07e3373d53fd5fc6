"""Repairs: the mean cumulative function, trend, shrinkage and limits against published or independent figures."""

from math import exp, log

import duckdb
import numpy as np
import pytest
from conftest import QUERIES
from published.of_repair_data import VALVE_SEATS, lives

from fleetreport.money.repairs import (
    ageing,
    far_fence,
    mean_costs,
    mean_cumulative,
    relative_prior,
    relative_rates,
)
from fleetreport.query import load_macros


def test_the_curve_on_a_grid_is_the_curve_at_its_events() -> None:
    starts, ends, who, when = lives(VALVE_SEATS)
    whole = mean_cumulative(starts, ends, who, when)
    some = mean_cumulative(starts, ends, who, when, at=[0, 60, 61, 100, 653, 700])
    assert some.mean.tolist() == pytest.approx(
        [0, 0, whole.mean[0], whole.mean[whole.use <= 100][-1], whole.mean[-1], whole.mean[-1]]
    )


def test_late_entry_counts_only_what_was_watched() -> None:
    """Two lives watched 0 to 10 and 10 to 20: one at risk at any time, so a repair of each is a mean of 2 (by hand)."""
    curve = mean_cumulative([0, 10], [10, 20], [0, 1], [5, 15], [100, 300])
    assert curve.at_risk.tolist() == [1, 1]
    assert curve.mean.tolist() == [100, 400]
    with pytest.raises(ValueError, match="outside the watched life"):
        mean_cumulative([10], [20], [0], [5])


def test_renewals_in_the_mean() -> None:
    """Renewals of lives uniform on (0, 1): m(1) = e - 1 (Ross, Introduction to Probability Models; from memory)."""
    rng = np.random.default_rng(3)
    steps = rng.random((20_000, 40)).cumsum(axis=1)
    who, which = np.nonzero(steps <= 1)
    curve = mean_cumulative(np.zeros(20_000), np.ones(20_000), who, steps[who, which], at=[1.0])
    assert curve.mean[0] == pytest.approx(exp(1) - 1, abs=4 * curve.error[0])


REPAIRS_OF_NIST = (5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478)


def test_power_law_of_the_nist_repair_data() -> None:
    """NIST/SEMATECH e-Handbook, power law (NHPP) repair data, T = 1500: b 0.483506 with the factor (n - 1) / n."""
    trend = ageing([0], [1500], [0] * 10, REPAIRS_OF_NIST)
    assert trend.power * 9 / 10 == pytest.approx(0.483506, abs=1e-6)
    assert trend.power == pytest.approx(10 / sum(log(1500 / t) for t in REPAIRS_OF_NIST))
    # Repairs get rarer: the score is below 0, by hand (568.3 - 750) / (1500 / sqrt(120)).
    assert trend.score == pytest.approx((568.3 - 750) / (1500 / 120**0.5))


def test_a_trend_is_found_where_there_is_one_and_not_where_there_is_none() -> None:
    rng = np.random.default_rng(11)
    even = rng.random(300) * 1000
    worse = 1000 * rng.random(300) ** 0.5  # intensity grows with use: power 2
    who = rng.integers(0, 10, 300)
    assert ageing([0] * 10, [1000] * 10, who, even).p > 0.05
    trend = ageing([0] * 10, [1000] * 10, who, worse)
    assert trend.p < 0.001
    assert trend.power == pytest.approx(2, abs=0.25)
    assert ageing([0], [0], [], []) == (0.0, 1.0, 1.0)


@pytest.mark.filterwarnings("error")
def test_a_vehicle_watched_for_no_use_says_nothing_of_ageing() -> None:
    """As one that stood still since the records begin: whenever its repair came, it came at that use."""
    with_it = ageing([0] * 10 + [500], [1000] * 10 + [500], [*range(10), 10], [*range(90, 1090, 100)[:10], 500])
    assert with_it == ageing([0] * 10, [1000] * 10, [*range(10)], [*range(90, 1090, 100)[:10]])


def test_a_vehicle_with_little_record_is_taken_for_its_class() -> None:
    # Counts that scatter as Poisson counts do leave nothing of their own.
    assert relative_prior([2, 3, 2, 3], [2.5] * 4) == 1e6
    prior = relative_prior([0, 10, 0, 10], [5.0] * 4)
    assert prior == pytest.approx(5 / 4)  # (4 x 25 - 20) / (4 x 25) = 0.8
    few, many = relative_rates([1, 100], [0.5, 50], prior)
    assert 1 < few < many < 2


def test_mean_costs_are_drawn_to_the_mean_of_all() -> None:
    """Group means as they are where they differ much for their scatter; all alike where the groups do not differ."""
    assert mean_costs([0, 0, 1, 1], [100, 100, 300, 300], 3).tolist() == [100, 300, 200]
    assert mean_costs([0, 0, 1, 1], [100, 300, 300, 100], 2).tolist() == [200, 200]
    assert mean_costs([], [], 2).tolist() == [0, 0]


def test_far_fence_by_hand() -> None:
    """Quartiles 2 and 4 of 1 to 5: 4 + 3 x 2."""
    assert far_fence([1, 2, 3, 4, 5]) == 10


@pytest.fixture
def macros() -> duckdb.DuckDBPyConnection:
    db = duckdb.connect()
    load_macros(db, QUERIES)
    return db


@pytest.mark.parametrize(
    ("currency_digits", "amount", "shown"), [(2, "0.005", "0.01"), (0, "0.5", "1"), (3, "1.0005", "1.001")]
)
def test_money_in_the_minor_unit(
    macros: duckdb.DuckDBPyConnection, currency_digits: int, amount: str, shown: str
) -> None:
    found = macros.execute(
        "select to_minor(?::decimal(38, 7), ?) = ?::decimal(18, 4)", [amount, currency_digits, shown]
    ).fetchall()
    assert found == [(True,)]
