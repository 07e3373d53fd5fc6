"""The band of meters whose use is independent noise, beside the textbook's prediction interval."""

from datetime import timedelta

import numpy as np
import pytest
from scipy.stats import t
from test_rates import AS_OF, Readings, rates_of

# Use in 28 days, thirteen times over; what statsmodels 0.15.0 gives for the next time: OLS on a constant,
# get_prediction([[1]]).summary_frame(alpha=0.2), obs_ci_lower and obs_ci_upper.
USES = (2810, 2390, 3105, 2760, 2955, 2480, 3320, 2870, 2615, 3040, 2725, 2890, 2550)
LOW_OF_STATSMODELS, HIGH_OF_STATSMODELS = 2437.946084679651, 3178.976992243429


def textbook(uses: np.ndarray) -> tuple[float, float]:
    """Four in five of the next uses lie between: mean ± t(0.9, n - 1) · s · √(1 + 1/n)."""
    n = len(uses)
    half = t.ppf(0.9, n - 1) * uses.std(ddof=1) * np.sqrt(1 + 1 / n)
    return float(uses.mean() - half), float(uses.mean() + half)


def test_the_textbook_interval_is_that_of_statsmodels() -> None:
    assert textbook(np.array(USES, dtype=float)) == pytest.approx((LOW_OF_STATSMODELS, HIGH_OF_STATSMODELS), rel=1e-9)


def test_the_band_of_independent_use_is_the_textbook_interval() -> None:
    """A little wider, since its edges stand at one past miss in twelve, not in ten."""
    rng = np.random.default_rng(28)
    readings: Readings = {}
    by_text, weeks = {}, 156
    for number in range(60):
        km = np.round(rng.normal(700, 100, weeks).clip(0), 1)
        days = [AS_OF - timedelta(7 * (weeks - week)) for week in range(weeks + 1)]
        readings[f"V{number:02}"] = list(zip(days, (float(x) for x in np.append(0, km.cumsum())), strict=True))
        by_text[f"V{number:02}"] = textbook(km.reshape(-1, 4).sum(axis=1))
    found = rates_of(readings, dict.fromkeys(readings, "one")).execute(
        "select vehicle_id, low_28::double, high_28::double from distance_band"
    ).fetchall()  # fmt: skip
    assert len(found) == 60
    ours = np.array([[low, high] for _, low, high in found])
    theirs = np.array([by_text[vehicle] for vehicle, _, _ in found])
    assert ours.mean(axis=0) == pytest.approx(theirs.mean(axis=0), rel=0.03)
    assert 1 < float(np.diff(ours.mean(axis=0))[0] / np.diff(theirs.mean(axis=0))[0]) < 1.15
