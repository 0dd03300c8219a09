"""The offset between camera and device clock: a constant, found from strikes and rows, and how far it can be trusted.

Drift would replace this file alone: the rest asks it for an offset, its weight and its spread.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import binom

from review.lesson import FloatArray

SLACK_S = 0.1
"""Every interval is widened by this much at both ends: strikes heard late, devices that stamp late."""
_MATCHED = 0.7
_COACH_ERRS = 0.1
_TRIED_CLOSELY = 12
_STEPS = 50
_MOST_CHANCE = 0.2
_N_MADE_UP = 60
_LEAST_SPREAD = 0.5
# chosen by simulation, see docs/sync.md
_SURE_SD = 4.0
_POSSIBLE_SD = 1.5
_POSSIBLE_SHARE = 0.5


@dataclass(frozen=True)
class Intervals:
    """Where true times lie: one per swing or row, seconds, (n,) each; NaN = no time known."""

    low_s: FloatArray
    high_s: FloatArray

    @property
    def middle_s(self) -> FloatArray:
        return (self.low_s + self.high_s) / 2.0

    @property
    def width_s(self) -> FloatArray:
        return self.high_s - self.low_s


@dataclass(frozen=True)
class Offset:
    """Camera minus device, seconds.

    ``weight`` 0..1 is its probability among all offsets tried, ``n_agree`` how many swings have a row under it
    (``share`` of the most there could be), ``chance`` how likely so many agree where clips and rows do not belong
    together, ``over_chance_sd`` how far the number lies above that of made-up rows at the same pace, in SD.
    """

    offset_s: float
    spread_s: float
    weight: float
    n_agree: int
    share: float
    chance: float
    over_chance_sd: float

    @property
    def is_sure(self) -> bool:
        return self.chance <= 0.01 and self.over_chance_sd >= _SURE_SD

    @property
    def is_possible(self) -> bool:
        return self.chance <= _MOST_CHANCE and self.over_chance_sd >= _POSSIBLE_SD and self.share >= _POSSIBLE_SHARE


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


def find_offset(clips: Intervals, rows: Intervals, fixed: Sequence[tuple[int, int]] = ()) -> Offset | None:
    """Find the offset that explains most; None when a side has no times.

    Parameters
    ----------
    clips, rows : intervals of the true times.
    fixed : pairs (clip, row) the coach made; strong evidence, but one slip does not outweigh a whole lesson.
    """
    is_open = np.isfinite(clips.low_s)
    is_timed = np.isfinite(rows.low_s)
    if not is_open.any() or not is_timed.any():
        return None
    differences = _differences(clips, rows)
    reach = float(np.nanmedian(clips.width_s) + np.nanmedian(rows.width_s))
    starts, counts = _count_near(differences, reach)
    order = np.argsort(-counts, kind="stable")
    tried: list[float] = []
    for start in starts[order]:
        if all(abs(start - other) > reach / 4 for other in tried):
            tried.append(float(start))
        if len(tried) == _TRIED_CLOSELY:
            break
    tried += [float(clips.middle_s[i] - rows.middle_s[j] - reach / 2) for i, j in fixed]
    tried = [t for t in tried if np.isfinite(t)]
    step = reach / _STEPS
    fine = np.concatenate([np.arange(t, t + reach, step) for t in tried])
    grid = np.unique(np.round(fine / step)) * step
    gain = _compute_gain(clips, rows, grid, fixed)
    weight = np.exp(gain - gain.max())
    best = grid[int(np.argmax(weight))]
    near = np.abs(grid - best) <= reach / 2
    offset = float(np.average(grid[near], weights=weight[near]))
    spread = float(np.sqrt(np.average((grid[near] - offset) ** 2, weights=weight[near])))
    n_agree = _count_pairs(clips, rows, best)
    vouched = _count_vouched(clips, rows, best, fixed)
    chance = _compute_chance(clips, rows, n_agree, vouched, len(np.unique(np.round(differences / reach))))
    over = np.inf if vouched else 0.0
    if not vouched and chance <= _MOST_CHANCE:
        over = _compare_steady(clips, rows, n_agree)
    share = n_agree / min(int(is_open.sum()), int(is_timed.sum()))
    return Offset(offset, spread, float(weight[near].sum() / weight.sum()), n_agree, share, chance, over)


def _differences(clips: Intervals, rows: Intervals) -> FloatArray:
    differences = (clips.middle_s[:, None] - rows.middle_s).ravel()
    return np.sort(differences[np.isfinite(differences)])


def _count_near(differences: FloatArray, reach: float) -> tuple[FloatArray, FloatArray]:
    """Window starts at every difference and how many differences lie in each window."""
    ends = np.searchsorted(differences, differences + reach, side="right")
    return differences, (ends - np.arange(len(differences))).astype(float)


def _compute_gain(clips: Intervals, rows: Intervals, grid: FloatArray, fixed: Sequence[tuple[int, int]]) -> FloatArray:
    """Log likelihood of every offset against clips and rows that have nothing to do with each other."""
    span = float(np.nanmax(clips.high_s) - np.nanmin(clips.low_s) + np.nanmax(rows.high_s) - np.nanmin(rows.low_s))
    in_fixed = {i for i, _ in fixed}
    is_free = np.array([i not in in_fixed for i in range(len(clips.low_s))])
    n_rows = int(np.isfinite(rows.low_s).sum())
    gain = np.zeros(len(grid))
    for k, offset in enumerate(grid):
        density = compute_density(clips, rows, float(offset))
        free = density[is_free].max(axis=1, initial=0.0)
        gain[k] = np.log(1.0 - _MATCHED + _MATCHED * span / n_rows * free).sum()
        gain[k] += sum(np.log(_COACH_ERRS + (1.0 - _COACH_ERRS) * span * density[i, j]) for i, j in fixed)
    return gain


def _count_pairs(clips: Intervals, rows: Intervals, offset: float) -> int:
    """How many clips have a row of their own."""
    near = compute_density(clips, rows, offset) > 0
    return int(min(near.any(axis=1).sum(), near.any(axis=0).sum()))


def _count_vouched(clips: Intervals, rows: Intervals, offset: float, fixed: Sequence[tuple[int, int]]) -> int:
    density = compute_density(clips, rows, offset)
    return sum(bool(density[i, j] > 0) for i, j in fixed)


def compute_hit_chance(clips: Intervals, rows: Intervals) -> float:
    """How likely a clip falls on some row by chance."""
    span = float(np.nanmax(rows.high_s) - np.nanmin(rows.low_s))
    reach = float(np.nanmedian(clips.width_s) + np.nanmedian(rows.width_s))
    return min(1.0, reach * int(np.isfinite(rows.low_s).sum()) / (span + reach))


def _compute_chance(clips: Intervals, rows: Intervals, n_agree: int, vouched: int, n_tried: int) -> float:
    """How likely so many agree by chance: binomial, times the offsets tried.

    Agreements the coach vouched for are no coincidence; with one of them only one offset was tried.
    """
    n = int(np.isfinite(clips.low_s).sum())
    hit = compute_hit_chance(clips, rows)
    if vouched >= 2:
        return 0.0
    tail = float(binom.sf(n_agree - 2, max(n - 1, 1), hit))
    return min(1.0, tail * (1 if vouched else n_tried))


def _compare_steady(clips: Intervals, rows: Intervals, n_agree: int) -> float:
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
        starts, counts = _count_near(_differences(clips, other), reach)
        top = np.argsort(-counts, kind="stable")[:3]
        best.append(max(_count_pairs(clips, other, float(starts[k] + reach / 2)) for k in top))
    return float((n_agree - np.mean(best)) / max(float(np.std(best)), _LEAST_SPREAD))
