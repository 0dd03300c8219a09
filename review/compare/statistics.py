"""Statistics for two small batches. Pure; every function takes the values of one measure."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln, stdtr, stdtrit

Values = Sequence[float] | NDArray[np.float64]
"""The values of one measure in one batch, (n,)."""

GRID = 2.0**-30
_LEAST_VARIANCE = 1e-140
"""Its square is still a number; less is no scatter in any unit."""


@dataclass(frozen=True)
class Welch:
    """Welch's test of two means; ``difference`` is mean(a) - mean(b), ``low``..``high`` its interval.

    ``standard_error`` is that of the difference, ``df`` the degrees of freedom after Satterthwaite.
    """

    difference: float
    standard_error: float
    t: float
    df: float
    p: float
    low: float
    high: float


def compute_welch(a: Values, b: Values, confidence: float = 0.95, shared_variance: float = 0.0) -> Welch:
    """Compare two means without assuming equal variances.

    Parameters
    ----------
    a, b : at least two finite values each, in the measure's unit.
    confidence : of the interval, inside (0, 1).
    shared_variance : variance to add to that of the difference for an error common to all values of
        one batch; taken as known, so it adds no uncertainty of its own to the degrees of freedom.

    Returns
    -------
    Welch
        t, df and p as well as the interval of mean(a) - mean(b), two-sided.

    Raises
    ------
    ValueError
        When a batch has fewer than two values, a value is not finite, or neither batch varies.

    References
    ----------
    B. L. Welch (1947), The generalization of "Student's" problem when several different population
    variances are involved, Biometrika 34:28-35.
    """
    x, y = checked(a, 2), checked(b, 2)
    of_x, of_y = compute_variance(x) / len(x), compute_variance(y) / len(y)
    if of_x + of_y == 0:
        raise ValueError("neither batch varies; expected a spread in at least one of them")
    error = math.sqrt(of_x + of_y + shared_variance)
    df = compute_welch_df(of_x, of_y, (len(x), len(y)), shared_variance)
    difference = float(x.mean() - y.mean())
    t = difference / error
    half = float(stdtrit(df, 0.5 + confidence / 2)) * error
    p = 2 * float(stdtr(df, -abs(t)))
    return Welch(difference, error, t, df, p, difference - half, difference + half)


def compute_welch_df(of_a: float, of_b: float, sizes: tuple[int, int], shared_variance: float = 0.0) -> float:
    """Compute Satterthwaite's degrees of freedom from the squared standard errors of two means.

    Parameters
    ----------
    of_a, of_b : variance of each mean, not both 0; ``sizes`` the values behind them, at least two each.
    shared_variance : as in :func:`compute_welch`.

    References
    ----------
    F. E. Satterthwaite (1946), An approximate distribution of estimates of variance components, Biometrics 2:110-114.
    """
    return (of_a + of_b + shared_variance) ** 2 / (of_a**2 / (sizes[0] - 1) + of_b**2 / (sizes[1] - 1))


def compute_hedges_g(a: Values, b: Values) -> float:
    """Compute the difference mean(a) - mean(b) in pooled standard deviations, corrected for small batches.

    Returns
    -------
    float
        Hedges' g with the exact (gamma function) correction; NaN where neither batch varies.

    Raises
    ------
    ValueError
        When a batch has fewer than two values or a value is not finite.

    References
    ----------
    L. V. Hedges (1981), Distribution theory for Glass's estimator of effect size, J. Educ. Stat. 6:107-128.
    """
    x, y = checked(a, 2), checked(b, 2)
    df = len(x) + len(y) - 2
    pooled = math.sqrt(((len(x) - 1) * compute_variance(x) + (len(y) - 1) * compute_variance(y)) / df)
    if pooled == 0:
        return math.nan
    correction = math.exp(gammaln(df / 2) - gammaln((df - 1) / 2)) / math.sqrt(df / 2)
    return float((x.mean() - y.mean()) / pooled * correction)


def compute_smallest_that_counts(
    typical_error: float, n_first: int, n_last: int, shared_variance: float = 0.0
) -> float:
    """Compute the smallest difference of two means that the measuring error alone would not make, 19 times of 20.

    For one value against one it is the minimal detectable change, 1.96 sqrt(2) TE; a mean of n values
    carries TE / sqrt(n).

    Parameters
    ----------
    typical_error : one standard deviation of repeated measuring, in the measure's unit.
    shared_variance : as in :func:`compute_welch`.

    References
    ----------
    W. G. Hopkins (2000), Measures of reliability in sports medicine and science, Sports Med. 30:1-15.
    """
    return 1.96 * math.sqrt(typical_error**2 * (1 / n_first + 1 / n_last) + shared_variance)


def compute_variance(values: Values) -> float:
    """Variance of at least two values (n - 1); 0 where all are alike, whose computed mean may miss the last digit."""
    variance = float(np.var(values, ddof=1)) if np.ptp(values) > 0 else 0.0
    return variance if variance > _LEAST_VARIANCE else 0.0


def to_grid(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values of about 1, rounded to multiples of ``GRID``, so that what ties does so in any unit and order of adding.

    The step is a power of two: decimals have ties of their own, such as 1/1024 at the ninth.
    """
    return np.asarray(np.round(values / GRID) * GRID, dtype=np.float64)


def checked(values: Values, n_needed: int) -> NDArray[np.float64]:
    """The values as an array; ValueError where there are fewer than ``n_needed`` or one is not finite."""
    array = np.asarray(values, dtype=np.float64)
    if array.ndim != 1 or len(array) < n_needed:
        raise ValueError(f"expected at least {n_needed} value(s), got {array.size}")
    if not np.all(np.isfinite(array)):
        raise ValueError("every value must be finite")
    return array
