"""Reference reckoning of the daily rate of each meter and of the band round the distance ahead.

How its parts go together: `thin` keeps one reading a week; `origins_of` takes, at the last reading of each
month, the use per day over the last 28, 91, 364 and 728 days, and `class_rates` that of the vehicle's class
over the twelve months before; `shares` weighs these five views (each alone and each pair half and half: 15
mixes) by how far each would have missed this vehicle, its class and the fleet in the past; `usual_outcomes`
tells what followed in the middle case, as a part of what the mix said; `spreads` and `edges` turn the misses of
that rate into the distances that one future in ten stays below, and one in ten exceeds, 7 to 364 days after the
last reading. `estimate` runs them all.

It is written in plain numpy, apart from the SQL it is compared with. It does not know units, meter changes or
implausible readings: what comes in is the accumulated scale, cleaned, on or before the as-of date.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

WINDOWS = (28, 91, 364, 728)  # days: the four views of a vehicle's own use
HORIZONS = (7, 14, 28, 91, 182, 364)  # days after the last reading: where the band is reckoned
JUDGED = (2, 3, 4, 5)  # the horizons by which a mix is judged: 28, 91, 182 and 364 days
JUDGED_WEIGHTS = np.array([1.0, 2.0, 2.0, 3.0])  # services lie months ahead, so the longer ones count more
# Shares of the views over 28, 91, 364, 728 days and of the class; the miss expected before any is known.
MIXES = (
    ((1.0, 0.0, 0.0, 0.0, 0.0), 1.795),
    ((0.0, 1.0, 0.0, 0.0, 0.0), 1.142),
    ((0.0, 0.0, 1.0, 0.0, 0.0), 0.804),
    ((0.0, 0.0, 0.0, 1.0, 0.0), 0.730),
    ((0.0, 0.0, 0.0, 0.0, 1.0), 0.932),
    ((0.5, 0.5, 0.0, 0.0, 0.0), 1.336),
    ((0.5, 0.0, 0.5, 0.0, 0.0), 1.142),
    ((0.5, 0.0, 0.0, 0.5, 0.0), 1.106),
    ((0.5, 0.0, 0.0, 0.0, 0.5), 1.118),
    ((0.0, 0.5, 0.5, 0.0, 0.0), 0.902),
    ((0.0, 0.5, 0.0, 0.5, 0.0), 0.855),
    ((0.0, 0.5, 0.0, 0.0, 0.5), 0.871),
    ((0.0, 0.0, 0.5, 0.5, 0.0), 0.750),
    ((0.0, 0.0, 0.5, 0.0, 0.5), 0.768),
    ((0.0, 0.0, 0.0, 0.5, 0.5), 0.750),
)
YEARS_BACK = 1092  # days: origins older than this are no evidence
CLASS_BACK = 1461  # days: older readings do not enter the class's rate
YOUNG = 91  # days of history below which an origin is judged among its like
SHARPNESS = 13  # share of a mix ~ miss to the power of minus this
LEAST_SHARE = 1e-9  # so that the own views never vanish altogether
FLEET_WEIGHT, CLASS_WEIGHT, VEHICLE_WEIGHT = 24.0, 24.0, 36.0  # origins that the wider group counts for
STEADY = 0.02  # relative variation at and above which the class may have its full share
SPREAD_WEIGHT, POOL_WEIGHT = 6.0, 20.0  # independent trials that the class, the fleet count for in the band
SPREAD_BEFORE, QUANTILE_BEFORE = 0.3, 1.6  # relative miss, and q90 of a normal in mean absolute deviations
TAIL = 1 / 12  # one past miss in twelve beyond each edge holds 80 % of the future ones
GAP = 1.25  # a distance H days on is known if the readings round it lie at most this x H apart


class Series(NamedTuple):
    """One meter, thinned to a reading a week: day numbers ascending, values (km or h)."""

    days: Ints
    values: Floats


class Estimate(NamedTuple):
    """Rate per day; band: distance HORIZONS days after the last reading, one in ten below low, above high."""

    rate: float
    own: bool
    low: Floats
    high: Floats


class Origins(NamedTuple):
    """Every month's last reading of every meter of one kind: one row each, views and what came after."""

    vehicle: Ints
    cls: Ints
    day: Ints
    month: Ints
    history: Ints
    views: Floats  # (n, 5): use per day over 28, 91, 364, 728 days; of the class
    moved: Floats  # distance over the last 91 days (or since the first reading)
    moved_days: Ints
    after: Floats  # (n, 6) use per day over the HORIZONS that followed; nan where not known
    last: Flags


def thin(days: Iterable[int], values: Iterable[float]) -> Series:
    """Keep the first day's last reading and each ISO week's last reading, in the order given."""
    d, x = np.asarray(list(days), dtype=np.int64), np.asarray(list(values), dtype=np.float64)
    week = (d + 3) // 7  # day 0 is 1970-01-01, a Thursday
    keep = np.append(week[1:] != week[:-1], True)
    keep[np.flatnonzero(d == d[0])[-1]] = True
    return Series(d[keep], x[keep])


def month_of(day: Ints) -> Ints:
    """Months since 1970-01."""
    return day.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64)


def relative_variation(s: Series) -> float:
    """Mean absolute deviation of use per day between readings, over its mean; 0 for one interval."""
    t, g, end = np.diff(s.days), np.diff(s.values), s.days[1:]
    t, g = t[end > s.days[-1] - YEARS_BACK], g[end > s.days[-1] - YEARS_BACK]
    if g.sum() <= 0:
        return 0.0
    return float(np.abs(g - g.sum() / t.sum() * t).sum() / g.sum())


def origins_of(series: Mapping[int, Series], cls: Mapping[int, int], as_of: int) -> Origins:
    """The origins of all meters, without the class's view (nan)."""
    parts = []
    for v, s in series.items():
        d, x = s
        month = month_of(d)
        at = np.flatnonzero(np.append(month[1:] != month[:-1], True) & (d > d[0]))
        at = at[(d[at] >= as_of - CLASS_BACK) | (at == len(d) - 1)]
        if not len(at):
            continue
        o = d[at]
        back = np.maximum(o[:, None] - np.array(WINDOWS), d[0])
        views = (x[at][:, None] - np.interp(back, d, x)) / (o[:, None] - back)
        target = o[:, None] + np.array(HORIZONS)
        nxt = np.searchsorted(d, target, "left")
        inside = nxt < len(d)
        nxt = np.minimum(nxt, len(d) - 1)
        gap = np.where(d[nxt] == target, 0, d[nxt] - d[nxt - 1])
        known = inside & (gap <= GAP * np.array(HORIZONS))
        after = np.where(known, (np.interp(target, d, x) - x[at][:, None]) / np.array(HORIZONS), np.nan)
        n = len(at)
        parts.append(
            (
                np.full(n, v),
                np.full(n, cls[v]),
                o,
                month[at],
                o - d[0],
                np.c_[views, np.full(n, np.nan)],
                x[at] - np.interp(back[:, 1], d, x),
                o - back[:, 1],
                after,
                at == len(d) - 1,
            )
        )
    if not parts:
        e = np.zeros(0, dtype=np.int64)
        return Origins(e, e, e, e, e, np.zeros((0, 5)), np.zeros(0), e, np.zeros((0, 6)), e.astype(bool))
    return Origins(*(np.concatenate(column) for column in zip(*parts, strict=True)))


def class_rates(o: Origins, as_of: int) -> dict[tuple[int, int], float]:
    """(class, month): use per day of the class over the 12 months before; also as seen after as_of."""
    moved: dict[tuple[int, int], float] = defaultdict(float)
    moved_days: dict[tuple[int, int], float] = defaultdict(float)
    fresh = o.day >= as_of - CLASS_BACK
    for c, m, km, n in zip(o.cls[fresh], o.month[fresh], o.moved[fresh], o.moved_days[fresh], strict=True):
        moved[int(c), int(m)] += km
        moved_days[int(c), int(m)] += n
    now = int(month_of(np.array([as_of]))[0]) + 1
    out = {}
    for c, m in {*moved, *((int(c), now) for c in o.cls)}:
        before = [(c, k) for k in range(m - 12, m) if (c, k) in moved]
        if before:
            out[c, m] = sum(moved[k] for k in before) / sum(moved_days[k] for k in before)
    return out


def group_sum(groups: Ints, values: Floats, n: int) -> Floats:
    """Sum of the rows of `values` by group number."""
    out = np.zeros((n, *values.shape[1:]))
    np.add.at(out, groups, values)
    return out


def shares(o: Origins, trial: Flags, n_vehicles: int, n_classes: int, cls: Ints) -> Floats:
    """(vehicle x young, 5) shares of the views. Row 2v: vehicle v with a long history; 2v + 1: short."""
    grid = np.array([m for m, _ in MIXES])
    before = np.array([e for _, e in MIXES])
    y = o.after[:, JUDGED]
    known = ~np.isnan(y) & trial[:, None]
    misses = np.abs((o.views @ grid.T)[:, :, None] - np.nan_to_num(y)[:, None, :]) * JUDGED_WEIGHTS
    miss = np.where(known[:, None, :], misses, 0).sum(2)
    young = (o.history < YOUNG).astype(np.int64)
    s = group_sum(o.vehicle * 2 + young, np.round(miss, 9), 2 * n_vehicles)
    trials = known.astype(np.float64) @ JUDGED_WEIGHTS / JUDGED_WEIGHTS.sum()
    n = group_sum(o.vehicle * 2 + young, trials, 2 * n_vehicles)
    mean = s.mean(1)
    n = np.where(mean > 0, n, 0)
    rel = np.where(mean[:, None] > 0, s / np.where(mean > 0, mean, 1)[:, None], 1)
    pool = np.repeat(cls, 2) * 2 + np.tile([0, 1], n_vehicles)
    sc = group_sum(pool, rel * n[:, None], 2 * n_classes)
    nc = group_sum(pool, n, 2 * n_classes)
    both = np.tile([0, 1], n_classes)
    sf, nf = group_sum(both, sc, 2), group_sum(both, nc, 2)
    fleet = (sf + FLEET_WEIGHT * before) / (nf + FLEET_WEIGHT)[:, None]
    classes = (sc + CLASS_WEIGHT * fleet[both]) / (nc + CLASS_WEIGHT)[:, None]
    vehicle = (rel * n[:, None] + VEHICLE_WEIGHT * classes[pool]) / (n + VEHICLE_WEIGHT)[:, None]
    w = np.maximum((vehicle / vehicle.min(1, keepdims=True)) ** -SHARPNESS, LEAST_SHARE)
    out: Floats = (w / w.sum(1, keepdims=True)) @ grid
    return out


def mixed(share: Floats, views: Floats, guard: Floats) -> Floats:
    """Use per day: own views by their shares, then the class by its share x guard."""
    own = (share[:, :4] * views[:, :4]).sum(1) / share[:, :4].sum(1)
    a = share[:, 4] * guard
    out: Floats = (1 - a) * own + a * views[:, 4]
    return out


def usual_outcomes(o: Origins, rate: Floats, trial: Flags, guard: Floats) -> Floats:
    """(vehicle x young): the middle of (use that followed / rate) over the fleet; nearer 1 for a steady vehicle."""
    young = o.history < YOUNG
    known = ~np.isnan(o.after[:, JUDGED]) & (trial & (rate > 0))[:, None]
    part = np.nan_to_num(o.after[:, JUDGED]) / np.where(rate > 0, rate, 1)[:, None]
    independent = 28 / np.array(HORIZONS, dtype=np.float64)[list(JUDGED)]
    middle = np.ones(2)
    for b in (0, 1):
        mine = known & (young == bool(b))[:, None]
        if mine.any():
            repeated = [np.repeat(part[mine[:, h], h], int(JUDGED_WEIGHTS[h])) for h in range(len(JUDGED))]
            trials = float((mine * independent).sum())
            found = float(np.median(np.concatenate(repeated)))
            middle[b] = (found * trials + POOL_WEIGHT) / (trials + POOL_WEIGHT)
    return np.asarray(1 + (np.tile(middle, len(guard)) - 1) * np.repeat(guard, 2), dtype=np.float64)


def spreads(eps: Floats, ok: Flags, key: Ints, pool: Ints, n_pools: int) -> tuple[Floats, Floats, Floats]:
    """(vehicle x young, 6) relative spread; (class x young, 6) quantiles of the scaled misses."""
    indep: Floats = np.minimum(1.0, 28 / np.array(HORIZONS, dtype=np.float64))
    size: Floats = np.where(ok, np.abs(eps), 0.0)
    a = group_sum(key, size.round(9), len(pool))
    n = group_sum(key, ok.astype(np.float64), len(pool))
    ac, ncl = group_sum(pool, a, n_pools), group_sum(pool, n, n_pools)
    both = np.arange(n_pools) % 2
    af, nf = group_sum(both, ac, 2), group_sum(both, ncl, 2)
    every = ((af @ indep + POOL_WEIGHT * SPREAD_BEFORE) / (nf @ indep + POOL_WEIGHT))[:, None]
    fleet = (af * indep + POOL_WEIGHT * every) / (nf * indep + POOL_WEIGHT)
    classes = (ac * indep + POOL_WEIGHT * fleet[both]) / (ncl * indep + POOL_WEIGHT)
    rho = (a * indep + SPREAD_WEIGHT * classes[pool]) / (n * indep + SPREAD_WEIGHT)
    others = np.maximum(0, a[key] * indep - np.abs(eps)), np.maximum(0, n[key] * indep - 1)
    z = eps / ((others[0] + SPREAD_WEIGHT * classes[pool[key]]) / (others[1] + SPREAD_WEIGHT))
    q = np.zeros((2, n_pools, len(HORIZONS)))
    for side, level, first in ((0, TAIL, -QUANTILE_BEFORE), (1, 1 - TAIL, QUANTILE_BEFORE)):

        def blend(mask: Flags, weight: float, before: float, level: float = level) -> float:
            found = float(np.quantile(z[mask], level)) if mask.any() else 0.0
            return float((found * weight + POOL_WEIGHT * before) / (weight + POOL_WEIGHT))

        for b in (0, 1):
            mine = ok & (pool[key] % 2 == b)[:, None]
            q_every = blend(mine, float((mine * indep).sum()), first)
            for h in range(len(HORIZONS)):
                at_h = mine & (np.arange(len(HORIZONS)) == h)
                q_h = blend(at_h, float(at_h.sum() * indep[h]), q_every)
                for c in range(b, n_pools, 2):
                    in_class = at_h & (pool[key] == c)[:, None]
                    q[side, c, h] = blend(in_class, float(in_class.sum() * indep[h]), q_h)
    return rho, q[0], q[1]


def with_class(o: Origins, rates: Mapping[tuple[int, int], float], months: Ints) -> Floats:
    """(n, 5) views, the class's as seen from `months`; where it is not known, the own use over 364 days."""
    c = np.array([rates.get((int(a), int(m)), np.nan) for a, m in zip(o.cls, months, strict=True)])
    out: Floats = np.c_[o.views[:, :4], np.where(np.isnan(c), o.views[:, 2], c)]
    return out


def edges(rate: float, scale: float, rho: Floats, z_low: Floats, z_high: Floats) -> tuple[Floats, Floats]:
    """Low and high distance at the HORIZONS: never below 0, never falling, the rate between them."""
    days = np.array(HORIZONS, dtype=np.float64)
    low = np.minimum(days * np.maximum(0, rate + scale * rho * z_low), days * rate)
    high = np.maximum(days * np.maximum(0, rate + scale * rho * z_high), days * rate)
    return np.maximum.accumulate(low), np.maximum.accumulate(high)


def relative_misses(o: Origins, rate: Floats, scale: Floats, trial: Flags) -> tuple[Floats, Flags]:
    """(n, 6) (use that followed - rate) / scale, cut off at +-100, and where it is known."""
    ok = ~np.isnan(o.after) & trial[:, None] & (scale > 0)[:, None]
    miss = (np.nan_to_num(o.after) - rate[:, None]) / np.where(scale > 0, scale, 1)[:, None]
    return np.where(ok, miss, 0).clip(-100, 100), ok


def estimate(
    readings: Mapping[str, tuple[Iterable[int], Iterable[float]]], classes: Mapping[str, str], as_of: int | date
) -> dict[str, Estimate]:
    """The rate and band of every vehicle that has a reading, all of one kind of meter, where known.

    `readings`: vehicle -> (day numbers since 1970-01-01, accumulated km or h), in order; none after `as_of`.
    `classes`: vehicle -> class. A vehicle read on one day only gets its class's rate.
    """
    today = (as_of - date(1970, 1, 1)).days if isinstance(as_of, date) else as_of
    names = sorted(readings)
    labels = sorted({classes[v] for v in names})
    cls = np.array([labels.index(classes[v]) for v in names], dtype=np.int64)
    series = {i: thin(*readings[v]) for i, v in enumerate(names)}
    o = origins_of(series, dict(enumerate(cls.tolist())), today)
    rates = class_rates(o, today)
    now = int(month_of(np.array([today]))[0]) + 1
    trial = o.day >= today - YEARS_BACK
    then = o._replace(views=with_class(o, rates, o.month))
    share = shares(then, trial, len(names), len(labels), cls)
    guard = np.array([min(1.0, (relative_variation(s) / STEADY) ** 2) for s in series.values()])
    key = o.vehicle * 2 + (o.history < YOUNG).astype(np.int64)
    rate_then = mixed(share[key], then.views, guard[o.vehicle])
    factor = usual_outcomes(o, rate_then, trial, guard)[key]
    rate_then = rate_then * factor
    miss, ok = relative_misses(o, rate_then, (rate_then + o.views[:, 2]) / 2, trial)
    pool = np.repeat(cls, 2) * 2 + np.tile([0, 1], len(names))
    rho, z_low, z_high = spreads(miss, ok, key, pool, 2 * len(labels))
    rate_now = mixed(share[key], with_class(o, rates, np.full_like(o.month, now)), guard[o.vehicle]) * factor
    out = {}
    for i in np.flatnonzero(o.last).tolist():
        k, rate = int(key[i]), round(float(rate_now[i]), 7)
        scale = (float(rate_now[i]) + float(o.views[i, 2])) / 2
        band = edges(rate, scale, rho[k], z_low[pool[k]], z_high[pool[k]])
        out[names[o.vehicle[i]]] = Estimate(rate, True, *band)
    for v, name in enumerate(names):
        if name not in out and (int(cls[v]), now) in rates:
            rate, k = round(rates[int(cls[v]), now], 7), 2 * v + 1
            out[name] = Estimate(rate, False, *edges(rate, rate, rho[k], z_low[pool[k]], z_high[pool[k]]))
    return out


def distance_after(days: float, at: Floats) -> float:
    """Distance of one edge, `days` after the last reading: straight lines from 0 through the horizons."""
    if days > HORIZONS[-1]:
        return float(at[-1] * days / HORIZONS[-1])
    return float(np.interp(days, (0, *HORIZONS), (0.0, *at)))


def days_until(left: float, at: Floats) -> float | None:
    """Days after the last reading until one edge of the band reaches `left`; None where it never does."""
    if left <= 0:
        return 0.0
    xs, ys = (0, *HORIZONS), (0.0, *at)
    for x0, x1, y0, y1 in zip(xs, xs[1:], ys, ys[1:], strict=False):
        if left <= y1:
            return float(x0 + (x1 - x0) * (left - y0) / (y1 - y0))
    return float(HORIZONS[-1] * left / at[-1]) if at[-1] > 0 else None
