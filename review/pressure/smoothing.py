"""Means over neighbouring samples, and how fast the pressure moves, where samples are missing."""

import numpy as np
from scipy.ndimage import uniform_filter1d

from review.lesson import FloatArray

_SMOOTHED_S = 0.05
"""As long as a swing's pressure hardly changes its direction; common practice, no source."""
_LEAST_THERE = 0.5
"""Of the samples under a mean: with fewer it is of one side only."""


def smooth_with_gaps(values: FloatArray, n: int) -> FloatArray:
    """Mean of each sample and its neighbours, n in all, of those that are there.

    A running mean by itself keeps a NaN to the end of the array.

    Parameters
    ----------
    values : (m,) or (m, k), smoothed along the first axis; NaN where a sample is missing.

    Returns
    -------
    Of the same shape; NaN where fewer than half of the n are there.
    """
    is_there = np.isfinite(values)
    part = uniform_filter1d(is_there.astype(np.float64), n, axis=0)
    total = uniform_filter1d(np.where(is_there, values, 0.0), n, axis=0)
    is_enough = part > _LEAST_THERE - 1e-9  # what a running sum is off by
    smooth: FloatArray = np.where(is_enough, total / np.where(is_enough, part, 1.0), np.nan)
    return smooth


def compute_speed(time_s: FloatArray, xy_cm: FloatArray) -> FloatArray:
    """How fast the pressure moves, smoothed over 50 ms.

    Parameters
    ----------
    time_s : (n,) increasing, three samples or more; xy_cm : (n, 2), NaN where a sample is missing.

    Returns
    -------
    (n,) cm/s; NaN where too few samples around are there. A place lost and found again is no move.
    """
    n = max(1, round(_SMOOTHED_S / float(np.median(np.diff(time_s)))))
    # the mean of the velocities, since the mean place jumps where a gap comes into its window
    velocity = smooth_with_gaps(np.gradient(xy_cm, time_s, axis=0), n)
    speed: FloatArray = np.hypot(velocity[:, 0], velocity[:, 1])
    return speed
