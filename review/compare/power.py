"""How many more shots until the present difference would be clear."""

import math

from scipy.stats import nct
from scipy.stats import t as student

from review.compare.permutation import count_splits
from review.compare.statistics import compute_smallest_that_counts, compute_welch_df

EVEN_CHANCE = 0.5
"""With a first batch of six that stays at six, four chances of five are out of reach of any number of further shots."""

MOST_SHOTS = 20
"""More than this is not asked of a pupil in one lesson."""


def compute_power(
    difference: float, sds: tuple[float, float], sizes: tuple[int, int], p: float = 0.05, known_variance: float = 0.0
) -> float:
    """Compute how often Welch's two-sided test would find a true difference.

    Parameters
    ----------
    difference, sds : of two batches in one unit; ``sizes`` their shots, at least two each.
    p : the p that must be fallen below.
    known_variance : as ``shared_variance`` of :func:`compute_welch`.

    Returns
    -------
    float
        Between 0 and 1, by the noncentral t distribution with Satterthwaite's degrees of freedom.

    References
    ----------
    J. Cohen (1988), Statistical power analysis for the behavioral sciences, 2nd ed., chapter 2.
    """
    of_first, of_last = sds[0] ** 2 / sizes[0], sds[1] ** 2 / sizes[1]
    variance = of_first + of_last + known_variance
    if variance == 0 or of_first + of_last == 0:
        return float(difference != 0)
    df = compute_welch_df(of_first, of_last, sizes, known_variance)
    away = abs(difference) / math.sqrt(variance)
    beyond = float(student.isf(p / 2, df))
    return float(nct.sf(beyond, df, away) + nct.cdf(-beyond, df, away))


def find_more_shots(
    difference: float,
    sds: tuple[float, float],
    sizes: tuple[int, int],
    typical_error: float,
    p: float,
    known_variance: float = 0.0,
    shared_variance: float = 0.0,
    is_permuted: bool = True,
    power: float = EVEN_CHANCE,
) -> int | None:
    """Find how many shots more in the last batch would make the present difference clear as likely as not.

    It takes the present difference and scatter for the true ones, so it is a guess, and too small
    a number more often than too large: a difference that was picked because it looks large mostly is smaller.

    Parameters
    ----------
    typical_error : with ``shared_variance`` it gives the smallest difference that counts.
    p : the p to fall below, after Holm.
    known_variance : all that is added to the variance of the difference.
    is_permuted : whether a permutation p has to fall below ``p`` too.
    power : the chance that is wanted; 0.8 is the custom where both batches can grow.

    Returns
    -------
    int or None
        1 to 20; None where more than 20 would be needed.
    """
    n_first, n_last = sizes
    for more in range(1, MOST_SHOTS + 1):
        n = n_last + more
        if is_permuted and 2 / count_splits(n_first, n) >= p:
            continue
        if abs(difference) < compute_smallest_that_counts(typical_error, n_first, n, shared_variance):
            continue
        if compute_power(difference, sds, (n_first, n), p, known_variance) >= power:
            return more
    return None
