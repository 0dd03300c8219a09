"""Middle and spread that one mishit does not carry, and an interval that assumes no shape."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.stats import bootstrap

from review.compare.statistics import Values, to_grid

FloatArray = NDArray[np.float64]

MAD_TO_SD = 1.4826022185056018
"""Standard deviations of a normal distribution in one median absolute deviation, 1 / Phi^-1(3/4)."""

MIN_FOR_BOOTSTRAP = 5
"""Fewer values than this have too few ways to be drawn again."""

MAX_FOR_BOOTSTRAP = 200
"""Above this the means of any shape are normal enough, and Welch's interval says the same sooner."""

N_RESAMPLES = 9_999
_SEED = 9_999


def compute_robust_sd(values: Values) -> float:
    """Compute the median absolute deviation from the median x 1.4826; it is the standard deviation of normal values.

    Returns
    -------
    float
        In the values' unit, 0 where more than half of them are alike; NaN without a value.

    References
    ----------
    F. R. Hampel (1974), The influence curve and its role in robust estimation, J. Am. Stat. Assoc. 69:383-393.
    """
    array = np.asarray(values, dtype=np.float64)
    if not len(array):
        return float("nan")
    return MAD_TO_SD * float(np.median(np.abs(array - np.median(array))))


def compute_bca_interval(
    groups: Sequence[Sequence[float]], statistic: Callable[..., FloatArray], confidence: float = 0.95
) -> tuple[float, float] | None:
    """Compute the bias-corrected and accelerated bootstrap interval of a statistic of one or more groups.

    Parameters
    ----------
    groups : each at least one finite value; each is drawn again by itself.
    statistic : takes the groups as arrays and ``axis``, vectorised.
    confidence : inside (0, 1).

    Returns
    -------
    tuple of float or None
        The ends, the same every time and in any order (fixed seed); None where it would say nothing: a
        group of fewer than 5 values or of more than 200, or without a spread.

    References
    ----------
    B. Efron (1987), Better bootstrap confidence intervals, J. Am. Stat. Assoc. 82:171-185; by scipy.stats.bootstrap.
    """
    if not _can_be_drawn(*groups):
        return None
    if any(min(group) == max(group) for group in groups):
        return None
    found = bootstrap(
        [np.sort(np.asarray(group, dtype=np.float64)) for group in groups],
        statistic,
        n_resamples=N_RESAMPLES,
        confidence_level=confidence,
        method="BCa",
        vectorized=True,
        rng=np.random.default_rng(_SEED),
    ).confidence_interval
    low, high = float(found.low), float(found.high)
    return (low, high) if np.isfinite(low) and np.isfinite(high) else None


def compute_bca_of_difference(a: Values, b: Values, confidence: float = 0.95) -> tuple[float, float] | None:
    """Compute the interval of mean(a) - mean(b) by :func:`compute_bca_interval`; the same in any unit and sign.

    Values are brought to one scale and sign before they are drawn again: draws that tie must tie whatever the unit.
    """
    if not _can_be_drawn(a, b):
        return None
    both = np.concatenate([np.asarray(a, dtype=np.float64), np.asarray(b, dtype=np.float64)])
    middle = both.mean()
    size = float(np.abs(both - middle).max()) or 1.0
    groups = [np.sort(to_grid((np.asarray(group) - middle) / size)) for group in (a, b)]
    mirrored = [np.sort(-group) for group in groups]
    is_mirrored = [list(group) for group in mirrored] < [list(group) for group in groups]
    # adding zero makes -0 into 0
    found = compute_bca_interval(
        [list(group + 0.0) for group in (mirrored if is_mirrored else groups)], _difference_of_means, confidence
    )
    if found is None:
        return None
    low, high = (-found[1], -found[0]) if is_mirrored else found
    return low * size, high * size


def _can_be_drawn(*groups: Values) -> bool:
    return all(MIN_FOR_BOOTSTRAP <= len(group) <= MAX_FOR_BOOTSTRAP for group in groups)


def _difference_of_means(a: FloatArray, b: FloatArray, axis: int = -1) -> FloatArray:
    difference: FloatArray = to_grid(a.mean(axis=axis) - b.mean(axis=axis))
    return difference
