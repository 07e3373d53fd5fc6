"""What unplanned repairs cost: how often they come and what one costs, by class and by vehicle. Pure functions.

Each vehicle is watched over a part of its life only: from a late entry (the records begin, or it came used) to a cut
(today, or it was sold). `mean_cumulative` is the mean cumulative function over such lives, with the robust standard
error of Lawless and Nadeau; `ageing` tells whether repairs come faster with use; `relative_rates` and `mean_costs` draw
a vehicle with little history towards its class; `far_fence` is where a rare large repair begins, which is then shared
by the class.

Use may be km, hours or days: nothing here knows which, nor what a vehicle is.
"""

from math import erfc, exp, isfinite, lgamma, log, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MOST_PRIOR = 1e6  # a prior worth so many repairs leaves nothing of a vehicle's own record


class CumulativeMean(NamedTuple):
    """A mean cumulative function at some uses: how many lives were watched at each, its value, its standard error."""

    use: Floats
    at_risk: Ints
    mean: Floats
    error: Floats


def mean_cumulative(
    starts: ArrayLike, ends: ArrayLike, system: ArrayLike, use: ArrayLike, amount: ArrayLike | None = None,
    at: ArrayLike | None = None,
) -> CumulativeMean:  # fmt: skip
    """The mean cumulative number (or with `amount`, cost) of events a system, by use.

    `starts` and `ends` are the watched part of each system's life, `system` and `use` say which one an event belongs to
    and when it came. A system is at risk where start < use <= end (or use = end = start), so that an event at the cut
    counts before the cut. `at` are the uses to tell it for (default: those of events). The variance is robust: the sum
    over systems of the square of what each adds beyond the mean (Lawless & Nadeau 1995, Technometrics 37; Nelson 1995).
    Raises ValueError for an event outside its system's watched life.
    """
    first, last = np.asarray(starts, float), np.asarray(ends, float)
    who, when = np.asarray(system, np.int64), np.asarray(use, float)
    cost = np.ones(len(when)) if amount is None else np.asarray(amount, float)
    if np.any(when < first[who]) or np.any(when > last[who]):
        raise ValueError("an event outside the watched life of its system")
    points, where = np.unique(when, return_inverse=True)
    # In two sorted lists: who has begun before a point, less who has ended before it.
    at_risk = np.searchsorted(np.sort(first), points, "left") - np.searchsorted(np.sort(last), points, "left")
    at_risk = np.maximum(at_risk, 1)
    step = np.bincount(where, cost, len(points)) / at_risk
    mean = np.cumsum(step)
    shared = np.concatenate([[0.0], np.cumsum(step / at_risk)])
    asked = points if at is None else np.asarray(at, float)
    own = cost / at_risk[where]
    variance = np.zeros(len(asked))
    reached = np.searchsorted(points, asked, "right")
    ended, begun = np.searchsorted(points, last, "right"), np.searchsorted(points, first, "right")
    for number in range(len(first)):
        mine = who == number
        order = np.argsort(when[mine], kind="stable")
        sums = np.concatenate([[0.0], np.cumsum(own[mine][order])])
        so_far = sums[np.searchsorted(when[mine][order], asked, "right")]
        expected = shared[np.minimum(reached, ended[number])] - shared[np.minimum(reached, begun[number])]
        variance += (so_far - expected) ** 2
    before = np.maximum(reached - 1, 0)
    nothing = reached == 0
    value = np.where(nothing, 0.0, mean[before]) if len(points) else np.zeros(len(asked))
    watched = at_risk[before] if len(points) else np.zeros(len(asked), np.int64)
    return CumulativeMean(asked, watched.astype(np.int64), value, np.sqrt(variance))


class Ageing(NamedTuple):
    """Whether repairs come faster with use: Laplace's score (about normal), its two-sided p, and the power of use."""

    score: float
    p: float
    power: float


def ageing(starts: ArrayLike, ends: ArrayLike, system: ArrayLike, use: ArrayLike) -> Ageing:
    """Trend of events over use, all systems together. Arguments as for `mean_cumulative`.

    The score is Laplace's test, each system over its own watched life (Ascher & Feingold 1984; Kvaloy & Lindqvist
    1998). `power` is the maximum-likelihood b of a power-law process with intensity proportional to use^(b - 1), common
    to all systems, each at a level of its own, between 0.2 and 5; 1 means neither ageing nor wearing in. (For one
    system watched from 0 to T it is n / sum(log(T / t)); NIST/SEMATECH e-Handbook 8.1.7.2 takes (n - 1) / n of that.)
    Without events, or without a watched life: score 0, p 1, power 1.
    """
    first, last = np.asarray(starts, float), np.asarray(ends, float)
    who, when = np.asarray(system, np.int64), np.asarray(use, float)
    length = last - first
    count = np.bincount(who, minlength=len(first)).astype(float)
    spread = float(np.sum(count * length**2)) / 12
    if spread <= 0:
        return Ageing(0.0, 1.0, 1.0)
    score = float(np.sum(when) - np.sum(count * (first + last) / 2)) / sqrt(spread)
    return Ageing(score, erfc(abs(score) / sqrt(2)), _power(first, last, who, when))


def _power(first: Floats, last: Floats, who: Ints, when: Floats) -> float:
    """The b at which the likelihood given each system's count is greatest, by bisection of its slope."""
    scale = float(last.max())
    # Of a system watched for no use at all, when its event came tells nothing.
    kept = (when > 0) & (last - first > last * 1e-9)[who]
    # Use in shares of the longest life keeps powers of it within bounds.
    a, z, t = first[who[kept]] / scale, last[who[kept]] / scale, when[kept] / scale
    if not len(t):
        return 1.0
    sum_of_logs = float(np.sum(np.log(t)))
    log_z = np.log(np.where(z > 0, z, 1.0))
    log_a = np.log(np.where(a > 0, a, 1.0))

    def slope(b: float) -> float:
        above, below = z**b, np.where(a > 0, a**b, 0.0)
        return len(t) / b + sum_of_logs - float(np.sum((above * log_z - below * log_a) / (above - below)))

    low, high = 0.2, 5.0
    if slope(low) <= 0 or slope(high) >= 0:
        return low if slope(low) <= 0 else high
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if slope(middle) > 0 else (low, middle)
    return (low + high) / 2


def relative_prior(counts: ArrayLike, expected: ArrayLike) -> float:
    """How many repairs the class is worth against a vehicle's own record: the shape of a gamma distribution of mean 1.

    By moments: what the counts of a class's vehicles scatter about their expectation beyond what Poisson counts would
    (empirical Bayes; Clayton & Kaldor 1987). Much where they scatter no more.
    """
    n, e = np.asarray(counts, float), np.asarray(expected, float)
    squares = float(np.sum(e**2))
    between = float(np.sum((n - e) ** 2) - np.sum(n)) / squares if squares > 0 else 0.0
    return MOST_PRIOR if between <= 1 / MOST_PRIOR else 1 / between


def relative_rates(counts: ArrayLike, expected: ArrayLike, prior: float) -> Floats:
    """Each vehicle's rate as a share of its class's: own record and class, weighed by how much record there is."""
    result: Floats = (prior + np.asarray(counts, float)) / (prior + np.asarray(expected, float))
    return result


def far_fence(costs: ArrayLike) -> float:
    """Above which a cost is rare and large: the upper quartile plus three interquartile ranges (Tukey 1977)."""
    low, high = np.quantile(np.asarray(costs, float), [0.25, 0.75])
    return float(high + 3 * (high - low))


def mean_costs(group: ArrayLike, costs: ArrayLike, groups: int) -> Floats:
    """The mean cost of an event in each group, drawn towards the mean of all where a group has few (Buehlmann & Straub
    1970).

    `group` is the number of each event's group, from 0; a group without events has the mean of all, and without any
    event it is 0.
    """
    which, cost = np.asarray(group, np.int64), np.asarray(costs, float)
    if not len(cost):
        return np.zeros(groups)
    whole = float(cost.mean())
    count = np.bincount(which, minlength=groups).astype(float)
    own = np.bincount(which, cost, groups) / np.maximum(count, 1)
    with_events = int(np.sum(count > 0))
    free = len(cost) - with_events
    within = float(np.sum((cost - own[which]) ** 2)) / free if free > 0 else float(cost.var())
    share = len(cost) - float(np.sum(count**2)) / len(cost)
    excess = float(np.sum(count * (own - whole) ** 2)) - (with_events - 1) * within
    between = excess / share if share > 0 else 0.0
    if between <= 0:
        return np.full(groups, whole)
    # A group without events has nothing to trust, not even where all others agree to the cent.
    trust = np.where(count > 0, count / np.maximum(count + within / between, 1e-12), 0.0)
    result: Floats = trust * own + (1 - trust) * whole
    return result


def chance_of_so_many(count: int, expected: float) -> float:
    """The chance of `count` events or more where `expected` come on average (Poisson)."""
    if count <= 0:
        return 1.0
    if expected <= 0 or not isfinite(expected):
        return 0.0 if expected <= 0 else 1.0
    below = sum(exp(number * log(expected) - expected - lgamma(number + 1)) for number in range(count))
    return max(0.0, 1 - below)
