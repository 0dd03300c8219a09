"""The long run: a mean that forgets, over the batches of many visits."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from review.compare.statistics import Values

WEIGHT = 0.3
"""Of the newest value; the handbook's usual 0.2 to 0.3."""
_SIGMAS = 3.0


@dataclass(frozen=True)
class LongRun:
    """A mean that forgets, one value for each given; ``low``..``high`` is where it stays while nothing changes."""

    means: NDArray[np.float64]
    low: float
    high: float


def follow_long_run(values: Values, usual: float, sd: float, weight: float = WEIGHT) -> LongRun:
    """Follow a measure with an exponentially weighted moving average.

    Parameters
    ----------
    values : (n,) means of batches in order, in the measure's unit.
    usual, sd : what the values were before, their mean and standard deviation.
    weight : of the newest value, inside (0, 1].

    Raises
    ------
    ValueError
        When the weight lies outside or the standard deviation is negative.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4, EWMA Control Charts.
    """
    if not 0 < weight <= 1 or sd < 0:
        raise ValueError(f"expected a weight in (0, 1] and a standard deviation of at least 0, got {weight} and {sd}")
    means, mean = [], usual
    for value in np.asarray(values, dtype=np.float64):
        mean = weight * float(value) + (1 - weight) * mean
        means.append(mean)
    half = _SIGMAS * sd * math.sqrt(weight / (2 - weight))
    return LongRun(np.asarray(means), usual - half, usual + half)
