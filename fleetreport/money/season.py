"""How a fleet's use moves with the months of the year. Pure functions of arrays.

The daily rate that dates planned work is that of a year as a whole; a fleet that runs more in the dry months has its
work in them. `season_of` takes what the fleet ran in the months of past years and tells what comes back every
year from what does not. Knows nothing of tables.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


class Season(NamedTuple):
    """Use of a month as a share of the year's mean, a value each month, and the standard deviation about it.

    `level` has mean 1 where it is of twelve months; `noise` is what the whole fleet departs from it in one month.
    """

    level: Floats
    noise: float


def season_of(use: ArrayLike) -> Season:
    """The season of `use`, an array (years, 12) of what was run a day: twelve levels from the first column on.

    Each year counts as a share of its own mean. The mean of a month over the years is drawn towards 1 by how much of
    the scatter between months is that of one month between years (a positive-part James-Stein estimate; Efron & Morris
    1973), so that a fleet without a season gets none. One year does not tell season from chance: half the variance
    between its months is taken for each (our choice), so that the level goes half-way and the rest is noise. No year,
    or one without use: level 1, no noise.
    """
    ran = np.asarray(use, float)
    if len(ran) < 1 or not (ran.mean(axis=1) > 0).all():
        return Season(np.ones(12), 0.0)
    share = ran / ran.mean(axis=1, keepdims=True)
    month = share.mean(axis=0)
    years = len(share)
    if years == 1:
        return Season(1 + (month - 1) / 2, float(np.sqrt(0.75 * np.sum((month - 1) ** 2) / 11)))
    within = float(np.sum((share - month) ** 2)) / (11 * (years - 1))
    scatter = float(np.sum((month - 1) ** 2))
    kept = max(0.0, 1 - 9 * within / years / scatter) if scatter > 0 else 0.0
    return Season(1 + kept * (month - 1), float(np.sqrt(within)))
