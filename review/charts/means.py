"""Where a batch's mean lies."""

import math
from collections.abc import Sequence

import numpy as np
from scipy.stats import t


def compute_mean_interval(values: Sequence[float]) -> tuple[float, float, float]:
    """Compute mean, low and high of its 95 % interval (Student's t); NaN where there are too few values.

    The scatter of the values alone: what a whole batch has in common (a camera's or a device's set-up) is not in it.
    """
    if not values:
        return math.nan, math.nan, math.nan
    x = np.asarray(values, dtype=np.float64)
    mean = float(x.mean())
    if len(x) < 2:
        return mean, math.nan, math.nan
    half = float(t.ppf(0.975, len(x) - 1) * x.std(ddof=1) / math.sqrt(len(x)))
    return mean, mean - half, mean + half
