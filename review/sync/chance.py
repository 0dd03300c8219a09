"""Whether agreements of clips and rows could be chance: the tests that keep another lesson's table out."""

import numpy as np
from scipy.stats import binom

from review.lesson import FloatArray
from review.sync.windows import Intervals

_N_MADE_UP = 60
_LEAST_SPREAD = 0.5


def compute_density(clips: Intervals, rows: Intervals, offset_s: float) -> FloatArray:
    """Probability density (per second) of the difference clip minus row, both uniform in their interval.

    Returns
    -------
    (n_clips, n_rows); 0 where they cannot be the same moment or a time is unknown.
    """
    low, high = rows.low_s + offset_s, rows.high_s + offset_s
    overlap = np.minimum(clips.high_s[:, None], high) - np.maximum(clips.low_s[:, None], low)
    density: FloatArray = np.nan_to_num(np.clip(overlap, 0.0, None) / (clips.width_s[:, None] * rows.width_s))
    return density


def count_pairs(clips: Intervals, rows: Intervals, offset_s: float) -> int:
    """How many clips have a row of their own."""
    near = compute_density(clips, rows, offset_s) > 0
    return int(min(near.any(axis=1).sum(), near.any(axis=0).sum()))


def find_reach(clips: Intervals, rows: Intervals) -> float:
    """How far clip and row of one strike can lie apart, seconds."""
    return float(np.nanmedian(clips.width_s) + np.nanmedian(rows.width_s))


def find_differences(clips: Intervals, rows: Intervals) -> FloatArray:
    """All differences clip minus row, ascending."""
    differences = (clips.middle_s[:, None] - rows.middle_s).ravel()
    return np.sort(differences[np.isfinite(differences)])


def count_near(differences: FloatArray, reach: float) -> FloatArray:
    """How many differences lie in the window of ``reach`` that begins at each (n,)."""
    ends = np.searchsorted(differences, differences + reach, side="right")
    return (ends - np.arange(len(differences))).astype(float)


def compute_hit_chance(clips: Intervals, rows: Intervals) -> float:
    """How likely a clip falls on some row by chance."""
    span = float(np.nanmax(rows.high_s) - np.nanmin(rows.low_s))
    reach = find_reach(clips, rows)
    return min(1.0, reach * int(np.isfinite(rows.low_s).sum()) / (span + reach))


def compute_chance(clips: Intervals, rows: Intervals, n_agree: int, vouched: int) -> float:
    """How likely so many agree by chance: binomial, times the offsets tried.

    Agreements the coach vouched for are no coincidence; with one of them only one offset was tried.
    """
    if vouched >= 2:
        return 0.0
    n = int(np.isfinite(clips.low_s).sum())
    tail = float(binom.sf(n_agree - 2, max(n - 1, 1), compute_hit_chance(clips, rows)))
    n_tried = len(np.unique(np.round(find_differences(clips, rows) / find_reach(clips, rows))))
    return min(1.0, tail * (1 if vouched else n_tried))


def compare_steady(clips: Intervals, rows: Intervals, n_agree: int) -> float:
    """Distance of the agreements from those of made-up rows at the same pace: a steady pace agrees with any other."""
    timed = np.isfinite(rows.low_s)
    low, width = np.sort(rows.low_s[timed]), float(np.nanmedian(rows.width_s))
    if len(low) < 3:
        return 0.0
    gaps = np.diff(low)
    # drawn anew the same way each time: an answer must not change from run to run
    random = np.random.default_rng(len(low))
    reach = float(np.nanmedian(clips.width_s)) + width
    best = []
    for _ in range(_N_MADE_UP):
        # resampled and blurred by a part of the rounding: a missed ball doubles a gap, so the gaps are no normal curve
        drawn = random.choice(gaps, len(gaps)) + reach / 4 * random.standard_normal(len(gaps))
        drawn = np.maximum(drawn, gaps.min() / 2.0)
        at = low[0] + np.concatenate([[0.0], np.cumsum(drawn)])
        other = Intervals(at, at + width)
        starts = find_differences(clips, other)
        top = np.argsort(-count_near(starts, reach), kind="stable")[:3]
        best.append(max(count_pairs(clips, other, float(starts[k] + reach / 2)) for k in top))
    return float((n_agree - np.mean(best)) / max(float(np.std(best)), _LEAST_SPREAD))
