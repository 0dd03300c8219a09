"""Statistics for two small batches. Pure; every function takes the values of one measure."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain, combinations

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln, stdtr, stdtrit

MAX_EXACT_SPLITS = 200_000
N_SAMPLED_SPLITS = 20_000
_SEED = 20_000
_BLOCK = 2_000


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


def compute_welch(
    a: Sequence[float], b: Sequence[float], confidence: float = 0.95, shared_variance: float = 0.0
) -> Welch:
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
    x, y = _checked(a, 2), _checked(b, 2)
    of_x, of_y = float(x.var(ddof=1)) / len(x), float(y.var(ddof=1)) / len(y)
    if of_x + of_y == 0:
        raise ValueError("neither batch varies; expected a spread in at least one of them")
    variance = of_x + of_y + shared_variance
    error = math.sqrt(variance)
    df = variance**2 / (of_x**2 / (len(x) - 1) + of_y**2 / (len(y) - 1))
    difference = float(x.mean() - y.mean())
    t = difference / error
    half = float(stdtrit(df, 0.5 + confidence / 2)) * error
    p = 2 * float(stdtr(df, -abs(t)))
    return Welch(difference, error, t, df, p, difference - half, difference + half)


def compute_hedges_g(a: Sequence[float], b: Sequence[float]) -> float:
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
    x, y = _checked(a, 2), _checked(b, 2)
    df = len(x) + len(y) - 2
    pooled = math.sqrt(((len(x) - 1) * x.var(ddof=1) + (len(y) - 1) * y.var(ddof=1)) / df)
    if pooled == 0:
        return math.nan
    correction = math.exp(gammaln(df / 2) - gammaln((df - 1) / 2)) / math.sqrt(df / 2)
    return float((x.mean() - y.mean()) / pooled * correction)


def count_splits(n_a: int, n_b: int) -> int:
    """Count the ways to split the values of both batches into batches of these sizes."""
    return math.comb(n_a + n_b, n_a)


def compute_permutation_p(a: Sequence[float], b: Sequence[float]) -> float:
    """Compute the two-sided permutation p of the difference of means: twice the smaller tail, at most 1.

    All splits are counted up to ``MAX_EXACT_SPLITS`` of them; beyond that, ``N_SAMPLED_SPLITS`` random
    ones from a fixed seed, where the observed split counts as one of them.

    Raises
    ------
    ValueError
        When a batch is empty or a value is not finite.

    References
    ----------
    E. J. G. Pitman (1937), Significance tests which may be applied to samples from any populations,
    Suppl. J. R. Stat. Soc. 4:119-130. B. Phipson, G. K. Smyth (2010), Permutation p-values should
    never be zero, Stat. Appl. Genet. Mol. Biol. 9:39.
    """
    x, y = _checked(a, 1), _checked(b, 1)
    if len(x) > len(y):  # the tails swap, the smaller one stays; fewer numbers to add
        x, y = y, x
    both = np.concatenate([x, y])
    both = both - both.mean()
    # with the total fixed, the sum of one batch orders the splits as the difference of means does
    is_exact = count_splits(len(x), len(y)) <= MAX_EXACT_SPLITS
    sums = both[_all_splits(len(x), len(both))].sum(axis=1) if is_exact else _sampled_sums(both, len(x))
    observed = float(both[: len(x)].sum())
    tie = 1e-12 * float(np.abs(both).sum())  # sums of the same values in another order differ by rounding
    above, below = int((sums >= observed - tie).sum()), int((sums <= observed + tie).sum())
    own = 0 if is_exact else 1
    return min(1.0, 2 * (min(above, below) + own) / (len(sums) + own))


@lru_cache(maxsize=4)
def _all_splits(n_a: int, n: int) -> NDArray[np.int32]:
    chosen = chain.from_iterable(combinations(range(n), n_a))
    flat = np.fromiter(chosen, dtype=np.int32, count=math.comb(n, n_a) * n_a)
    flat.flags.writeable = False
    return flat.reshape(-1, n_a)


def _sampled_sums(both: NDArray[np.float64], n_a: int) -> NDArray[np.float64]:
    random = np.random.default_rng(_SEED)
    blocks = []
    for _ in range(N_SAMPLED_SPLITS // _BLOCK):
        shuffled = random.permuted(np.broadcast_to(both, (_BLOCK, len(both))), axis=1)
        blocks.append(shuffled[:, :n_a].sum(axis=1))
    return np.concatenate(blocks)


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


def _checked(values: Sequence[float], n_needed: int) -> NDArray[np.float64]:
    array = np.asarray(values, dtype=np.float64)
    if array.ndim != 1 or len(array) < n_needed:
        raise ValueError(f"expected at least {n_needed} value(s), got {array.size}")
    if not np.all(np.isfinite(array)):
        raise ValueError("every value must be finite")
    return array
