"""What hides in the order of the shots: a drift while warming up, and neighbours that are alike."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import binomtest, kendalltau

from review.compare.statistics import Values, compute_variance

MIN_FOR_DRIFT = 5
"""Five shots can just show a drift: all in order is one of 60."""

MANY_SHOTS = 500
"""In longer batches every pair of shots would be too many; each shot is paired with the one half a batch on."""

NOTABLE_P = 0.02
"""Many measures are looked at, so that 1 in 20 would tell something at every turn."""

_N_SHUFFLES = 4_999
_SEED = 4_999


@dataclass(frozen=True)
class Drift:
    """The order of ``n`` shots, within one batch or within several taken together.

    ``slope_per_shot`` is the middle of all slopes between two shots of a batch (above 500 shots: between each and the
    one half a batch on), in the measure's unit; ``p`` that of the order (Kendall; above 500: Cox and Stuart);
    ``lag1`` the correlation of a shot with the one before it, about -1 / n where there is none, ``lag1_p`` its p.
    Two-sided; NaN where there are too few shots.
    """

    n: int
    slope_per_shot: float
    p: float
    lag1: float
    lag1_p: float

    @property
    def is_notable(self) -> bool:
        """Whether a drift is worth a sentence."""
        return self.p < NOTABLE_P and self.slope_per_shot != 0

    @property
    def is_alike(self) -> bool:
        """Whether neighbouring shots are so alike that it is worth a sentence."""
        return self.lag1_p < NOTABLE_P and self.lag1 > 0


def find_drift(*batches: Values) -> Drift:
    """Look for a drift within one batch, or for a common one within several.

    Differences between the batches do not count: it is what goes on inside of them.

    Parameters
    ----------
    batches : values in the order they were struck.

    References
    ----------
    H. Theil (1950), A rank-invariant method of linear regression, Proc. K. Ned. Akad. Wet. 53; P. K. Sen (1968), J. Am.
    Stat. Assoc. 63:1379-1389. M. G. Kendall (1938), Biometrika 30:81-93 (scipy.stats.kendalltau for one batch; exact
    without ties). Several batches: R. M. Hirsch, J. R. Slack, R. A. Smith (1982), Water Resour. Res. 18:107-121,
    sums of Kendall's S. More than 500 shots in a batch: D. R. Cox, A. Stuart (1955), Some quick sign tests for trend in
    location and dispersion, Biometrika 42:80-95, and the middle slope of the same pairs, Theil's incomplete method;
    lag 1: M. S. Bartlett (1946), Suppl. J. R. Stat. Soc. 8:27-41.
    """
    groups = [np.asarray(batch, dtype=np.float64) for batch in batches if len(batch) > 1]
    n = sum(len(group) for group in groups)
    if n < MIN_FOR_DRIFT or all(compute_variance(group) == 0 for group in groups):
        return Drift(n, math.nan, math.nan, math.nan, math.nan)
    lag1, lag1_p = _compute_lag1(groups)
    if max(len(group) for group in groups) > MANY_SHOTS:
        slope, p = _compare_halves(groups)
    else:
        slope, p = _compute_slope(groups), _compute_order_p(groups)
    return Drift(n, slope, p, lag1, lag1_p)


def _compare_halves(groups: Sequence[NDArray[np.float64]]) -> tuple[float, float]:
    """Slope and p from each shot and the one half a batch on."""
    slopes = []
    for group in groups:
        half = (len(group) + 1) // 2
        slopes.append((group[half:] - group[: len(group) - half]) / half)
    all_slopes = np.concatenate(slopes)
    up, down = int((all_slopes > 0).sum()), int((all_slopes < 0).sum())
    p = float(binomtest(min(up, down), up + down).pvalue) if up + down else 1.0
    return float(np.median(all_slopes)), p


def _compute_slope(groups: Sequence[NDArray[np.float64]]) -> float:
    """Median of the slopes between two shots of the same batch."""
    slopes = []
    for group in groups:
        earlier, later = np.triu_indices(len(group), k=1)
        slopes.append((group[later] - group[earlier]) / (later - earlier))
    return float(np.median(np.concatenate(slopes)))


def _compute_order_p(groups: Sequence[NDArray[np.float64]]) -> float:
    if len(groups) == 1:
        return float(kendalltau(np.arange(len(groups[0])), groups[0]).pvalue)
    score = variance = 0.0
    for group in groups:
        if np.ptp(group) == 0:
            continue
        n = len(group)
        ties = np.unique(group, return_counts=True)[1]
        at_issue = n * (n - 1) / 2
        tied = float((ties * (ties - 1) / 2).sum())
        # tau-b back to the score S = concordant - discordant pairs
        tau = float(kendalltau(np.arange(n), group).statistic)
        score += tau * math.sqrt(at_issue * (at_issue - tied))
        variance += (n * (n - 1) * (2 * n + 5) - float((ties * (ties - 1) * (2 * ties + 5)).sum())) / 18
    z = max(0.0, abs(score) - 1) / math.sqrt(variance)
    return math.erfc(z / math.sqrt(2))


def _compute_lag1(groups: Sequence[NDArray[np.float64]]) -> tuple[float, float]:
    """Lag-1 autocorrelation about each batch's own mean, p by shuffling inside the batches (fixed seed)."""
    centred = [group - group.mean() for group in groups]
    total = sum(float((c**2).sum()) for c in centred)
    observed = sum(float((c[1:] * c[:-1]).sum()) for c in centred) / total
    n = sum(len(c) for c in centred)
    if n > MANY_SHOTS:  # Bartlett's limit
        z = abs(observed + len(centred) / n) * math.sqrt(n)
        return observed, math.erfc(z / math.sqrt(2))
    random = np.random.default_rng(_SEED)
    shuffled = np.zeros(_N_SHUFFLES)
    for c in centred:
        rows = random.permuted(np.broadcast_to(c, (_N_SHUFFLES, len(c))), axis=1)
        shuffled += (rows[:, 1:] * rows[:, :-1]).sum(axis=1) / total
    tie = 1e-12
    tail = min(int((shuffled >= observed - tie).sum()), int((shuffled <= observed + tie).sum()))
    return observed, min(1.0, 2 * (tail + 1) / (_N_SHUFFLES + 1))
