"""NIST/SEMATECH e-Handbook of Statistical Methods: worked examples with their data."""

from itertools import pairwise

from published.checks import MEMORY, QUOTED, Source, in_case, sql

from fleetreport.items.demand import smoothed_mean
from fleetreport.money.repairs import ageing
from fleetreport.record.findings import share_interval

HANDBOOK = Source("NIST/SEMATECH e-Handbook of Statistical Methods", QUOTED)
REMEMBERED = Source("NIST/SEMATECH e-Handbook of Statistical Methods", MEMORY)

COUNTS = [16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13]
VALUES = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
REPAIRS = (5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478)


@HANDBOOK.says("6.4.3.1", "single exponential smoothing, alpha 0.1, twelve values: the next", "71.50")
def smoothing() -> float:
    return smoothed_mean([71, 70, 69, 68, 64, 65, 72, 78, 75, 75, 75, 70], 0.1)


@HANDBOOK.says("8.1.7.2, 8.4.2", "power law of ten repairs until 1500 h: b, with the factor (n - 1) / n", "0.483506")
def power_law() -> float:
    return ageing([0], [1500], [0] * 10, REPAIRS).power * 9 / 10


@HANDBOOK.says("6.3.3.1", "limits of counts about c = 16", "28, 4")
def count_limits() -> list[float]:
    c = sum(COUNTS) / len(COUNTS)
    return [sql("count_limit(?::double, ?)", c, side) for side in (1, -1)]


@HANDBOOK.says("6.3.3.1", "which of the 25 counts are out (28 lies on its limit)", "24")
def counts_out() -> list[int]:
    high, low = count_limits()
    return [at for at, count in enumerate(COUNTS, 1) if count > high or count < low]


@HANDBOOK.says("6.3.2.2", "individuals chart: limits by the mean moving range", "55.8041, 45.8159")
def individuals() -> list[float]:
    mean = sum(VALUES) / 10
    moving = sum(abs(b - a) for a, b in pairwise(VALUES)) / 9
    return [sql("individuals_limit(?, ?, ?)", mean, moving, side) for side in (1, -1)]


@HANDBOOK.says_each(
    "6.3.2.2",
    "the ten values as months of a {0}'s cost of use: {1}",
    [("class", "cost_mean", "50.81"), ("class", "cost_high", "55.8041"), ("class", "cost_low", "45.8159")],
)
def individuals_of_a_class(level: str, column: str) -> object:
    return in_case(f"{level}_cost_months/nist_individuals", column, month="2026-01")


@REMEMBERED.says("7.2.4.1", "4 defective of 20: interval of the share, 90 %", "0.07135, 0.40103")
def share() -> tuple[float, float]:
    return share_interval(4, 20, 0.90)
