"""Whether the swings of one batch scatter less than those of the other: a narrower path is progress too."""

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy.stats import levene, trim_mean

from review.compare.statistics import Values, compute_variance

_Z = 1.959963984540054
_MIN_FOR_INTERVAL = 5


class ScatterWord(StrEnum):
    """What can be said of the scatter of the last batch against the first."""

    NARROWER = "narrower"
    WIDER = "wider"
    CANT_TELL = "can't tell yet"


@dataclass(frozen=True)
class ScatterChange:
    """Scatter of the last batch against the first.

    ``ratio`` is the last batch's standard deviation over the first's, ``low``..``high`` its 95 %
    interval; ``brown_forsythe_p`` is two-sided. NaN where they could not be had.
    """

    ratio: float
    low: float
    high: float
    brown_forsythe_p: float
    word: ScatterWord


def compare_scatter(first: Values, last: Values) -> ScatterChange:
    """Compare the scatter of two batches.

    The word is *narrower* or *wider* where the interval of the ratio leaves out 1. It needs five
    values in each batch.

    References
    ----------
    M. B. Brown, A. B. Forsythe (1974), Robust tests for the equality of variances, J. Am. Stat.
    Assoc. 69:364-367 (scipy.stats.levene about the median). D. G. Bonett (2006), Robust confidence
    interval for a ratio of standard deviations, Appl. Psychol. Meas. 30:432-439 (formula from memory;
    its coverage is simulated in docs/comparison.md).
    """
    x, y = np.asarray(first, dtype=np.float64), np.asarray(last, dtype=np.float64)
    nothing = ScatterChange(math.nan, math.nan, math.nan, math.nan, ScatterWord.CANT_TELL)
    if min(len(x), len(y)) < 2 or min(compute_variance(x), compute_variance(y)) == 0:
        return nothing
    ratio = float(y.std(ddof=1) / x.std(ddof=1))
    # two values lie equally far from their median; where all do, there is no scatter of scatters to test by
    from_median = [np.abs(values - np.median(values)) for values in (x, y)]
    is_testable = any(np.ptp(far) > 1e-12 * far.max() for far in from_median)
    p = float(levene(x, y, center="median").pvalue) if is_testable else math.nan
    if min(len(x), len(y)) < _MIN_FOR_INTERVAL:
        return ScatterChange(ratio, math.nan, math.nan, p, ScatterWord.CANT_TELL)
    low, high = _bonett_interval(x, y)
    word = ScatterWord.NARROWER if high < 1 else ScatterWord.WIDER if low > 1 else ScatterWord.CANT_TELL
    return ScatterChange(ratio, low, high, p, word)


def _bonett_interval(x: np.ndarray, y: np.ndarray) -> tuple[float, float]:
    fourth = second = 0.0
    for values in (x, y):
        middle = trim_mean(values, 1 / (2 * math.sqrt(len(values) - 4)))
        fourth += float((((values - middle) ** 2) ** 2).sum())
        second += float(((values - values.mean()) ** 2).sum())
    kurtosis = (len(x) + len(y)) * fourth / second**2
    variance = sum((kurtosis - (n - 3) / n) / (n - 1) for n in (len(x), len(y)))
    small = (len(y) / (len(y) - _Z)) / (len(x) / (len(x) - _Z))
    middle = math.log(small * float(y.var(ddof=1) / x.var(ddof=1)))
    half = _Z * math.sqrt(variance)
    return math.exp((middle - half) / 2), math.exp((middle + half) / 2)
