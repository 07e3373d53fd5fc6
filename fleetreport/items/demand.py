"""Forecast lumpy use from its history, and the stock that lasts with a given chance.

A history is a list of amounts used in periods of equal length, the oldest first. `METHODS` forecast the mean of the
next period; `choose_method` replays the history with each and takes another than the recent mean only where it was
off less. `base_stock` is the least stock that lasts with the chance asked for: pieces by their exact distribution,
what is measured by the normal one. Floating point throughout: these are estimates, and nothing here is money.

Sources: Croston (1972); Syntetos & Boylan (2005), the factor 1 - alpha / 2; Teunter, Syntetos & Babai (2011);
classes of demand after Syntetos, Boylan & Croston (2005), bounds 1.32 and 0.49; base stock, reorder point,
newsvendor and economic order quantity after Snyder & Shen, Fundamentals of Supply Chain Theory. Knows nothing of
vehicles, tasks or packs.
"""

from collections.abc import Callable, Sequence
from functools import partial
from math import exp, lgamma, log, sqrt
from statistics import NormalDist, stdev
from typing import NamedTuple

ALPHA = 0.1  # how much the latest demand counts, as in the sources
RECENT = 6  # periods of the recent mean, the bar to beat
WARM_UP = 6  # periods known before the first forecast that is judged
FEWEST_JUDGED = 6  # with fewer forecasts to judge by, the bar stands
INTERMITTENT, ERRATIC = 1.32, 0.49
# A distribution is followed until no more than this share of it lies beyond.
TAIL = 1e-12
MOST_PIECES = 2_000  # above it the normal approximation is as good

History = Sequence[float]


def recent_mean(history: History) -> float:
    """Mean of the latest `RECENT` periods."""
    latest = history[-RECENT:]
    return sum(latest) / len(latest)


def long_mean(history: History) -> float:
    """Mean of all periods."""
    return sum(history) / len(history)


def smoothed_mean(history: History, alpha: float = ALPHA) -> float:
    """Simple exponential smoothing, begun with the first period."""
    level = history[0]
    for amount in history[1:]:
        level += alpha * (amount - level)
    return level


def croston_parts(history: History, alpha: float = ALPHA) -> tuple[float, float] | None:
    """Croston's smoothed size of a demand and gap between demands, begun with the first of each; None: no demand."""
    size = gap = 0.0
    since, seen = 0, False
    for amount in history:
        since += 1
        if amount > 0:
            size, gap = (size + alpha * (amount - size), gap + alpha * (since - gap)) if seen else (amount, since)
            since, seen = 0, True
    return (size, gap) if seen else None


def croston(history: History, alpha: float = ALPHA) -> float:
    """Croston's forecast a period: size over gap."""
    parts = croston_parts(history, alpha)
    return parts[0] / parts[1] if parts else 0.0


def syntetos_boylan(history: History, alpha: float = ALPHA) -> float:
    """Croston's forecast less its bias: times 1 - alpha / 2."""
    return (1 - alpha / 2) * croston(history, alpha)


def teunter_syntetos_babai(history: History, alpha: float = ALPHA, beta: float = ALPHA) -> float:
    """Smoothed size of a demand times smoothed chance of one, which falls while there is none.

    The size begins with the first demand, the chance with whether the first period had one.
    """
    size, chance = 0.0, float(history[0] > 0)
    for at, amount in enumerate(history):
        if at:
            chance += beta * ((amount > 0) - chance)
        if amount > 0:
            size = size + alpha * (amount - size) if size else amount
    return size * chance


# The bar first; of methods that were off alike, the earlier one is taken.
METHODS: dict[str, Callable[[History], float]] = {
    "recent_mean": recent_mean,
    "long_mean": long_mean,
    "smoothed_mean": smoothed_mean,
    "croston": croston,
    "syntetos_boylan": syntetos_boylan,
    "teunter_syntetos_babai": teunter_syntetos_babai,
}


class Choice(NamedTuple):
    """The method chosen, its forecast a period, the variance about it, and how far off it and the bar were.

    `error` and `bar_error` are root mean squared errors of one period ahead, None where too few could be judged.
    """

    method: str
    per_period: float
    variance: float
    judged: int
    error: float | None
    bar_error: float | None


def choose_method(history: History) -> Choice:
    """The method that was off least over the past, one period ahead, each time with only what was known.

    Squared errors, because an absolute one would favour forecasting nothing where most periods are empty.
    """
    ends = range(WARM_UP, len(history))
    if len(ends) < FEWEST_JUDGED:
        forecast = recent_mean(history) if history else 0.0
        spread = stdev(history) ** 2 if len(history) > 1 else forecast
        return Choice("recent_mean", forecast, spread, len(ends), None, None)
    squares = {
        name: sum((forecast(history[:end]) - history[end]) ** 2 for end in ends) / len(ends)
        for name, forecast in METHODS.items()
    }
    best = min(squares, key=lambda name: squares[name])
    bar = squares["recent_mean"]
    return Choice(best, METHODS[best](history), squares[best], len(ends), sqrt(squares[best]), sqrt(bar))


def class_of_demand(history: History) -> str | None:
    """`smooth`, `intermittent`, `erratic` or `lumpy`; None where fewer than two periods had a demand."""
    demands = [amount for amount in history if amount > 0]
    if len(demands) < 2:
        return None
    between = len(history) / len(demands)
    spread = (stdev(demands) / (sum(demands) / len(demands))) ** 2
    if between < INTERMITTENT:
        return "erratic" if spread >= ERRATIC else "smooth"
    return "lumpy" if spread >= ERRATIC else "intermittent"


class Lump(NamedTuple):
    """A use of `amount` that comes up with `chance`."""

    amount: float
    chance: float


def base_stock(lumps: Sequence[Lump], mean: float, variance: float, level: float, whole: bool) -> float:
    """The least stock that covers, with chance `level`, all lumps that come up and a random use beside them.

    The random use has a mean and a variance. `whole`: pieces, whose distribution is worked out exactly (lumps as they
    are; the random use Poisson, or negative binomial where its variance is greater than its mean). Else, and for more
    than `MOST_PIECES`, the normal approximation, mean + z standard deviations, though never more than all lumps
    together could ask for.
    """
    few = mean + sum(lump.amount for lump in lumps) <= MOST_PIECES and (mean > 0 or variance <= 0)
    if whole and few and all(lump.amount == int(lump.amount) for lump in lumps):
        return float(_quantile(_convolved(lumps, _counts(mean, variance)), level))
    z = NormalDist().inv_cdf(level)
    expected = sum(lump.amount * lump.chance for lump in lumps)
    spread = sum(lump.amount**2 * lump.chance * (1 - lump.chance) for lump in lumps)
    most = sum(lump.amount for lump in lumps if lump.chance > 0)
    together = expected + mean + z * sqrt(spread + variance)
    return max(0.0, min(together, most + max(0.0, mean + z * sqrt(variance))))


def _counts(mean: float, variance: float) -> list[float]:
    """Chances of 0, 1, 2 … of a Poisson count, or a negative binomial one where the variance exceeds the mean."""
    if mean <= 0:
        return [1.0]
    if variance <= mean * (1 + 1e-9):
        log_chance = partial(_log_poisson, mean)
    else:
        log_chance = partial(_log_negative_binomial, mean**2 / (variance - mean), mean / variance)
    chances: list[float] = []
    reached, enough = 0.0, mean + 40 * sqrt(max(variance, mean)) + 100
    while reached < 1 - TAIL and len(chances) < enough:
        chances.append(exp(log_chance(len(chances))))
        reached += chances[-1]
    return chances


def _log_poisson(mean: float, count: int) -> float:
    return count * log(mean) - mean - lgamma(count + 1)


def _log_negative_binomial(shape: float, success: float, count: int) -> float:
    choices = lgamma(count + shape) - lgamma(shape) - lgamma(count + 1)
    return choices + shape * log(success) + count * log(1 - success)


def _convolved(lumps: Sequence[Lump], chances: list[float]) -> list[float]:
    for lump in lumps:
        step = int(lump.amount)
        if step and lump.chance > 0:
            padded = chances + [0.0] * step
            moved = [0.0] * step + chances
            chances = [(1 - lump.chance) * a + lump.chance * b for a, b in zip(padded, moved, strict=True)]
    return chances


def _quantile(chances: Sequence[float], level: float) -> int:
    reached = 0.0
    for count, chance in enumerate(chances):
        reached += chance
        # A sum of chances that should be 1 may end a little below.
        if reached >= level - 1e-9:
            return count
    return len(chances) - 1


def lead_time_variance(rate: float, variance_per_day: float, days: float, days_sd: float) -> float:
    """Variance of the use over a time that itself varies: days x variance + rate squared x the time's variance.

    `rate` is units a day, `variance_per_day` the variance of a day's use in units squared, `days` the mean time and
    `days_sd` its standard deviation; gives units squared.
    """
    return days * variance_per_day + rate**2 * days_sd**2


def economic_quantity(per_year: float, cost_of_an_order: float, holding_per_unit: float) -> float | None:
    """How much to buy at once so that ordering and holding together cost least (Harris's square root).

    `holding_per_unit` is money a unit and year. None where one of the figures is not above 0.
    """
    if min(per_year, cost_of_an_order, holding_per_unit) <= 0:
        return None
    return sqrt(2 * per_year * cost_of_an_order / holding_per_unit)
