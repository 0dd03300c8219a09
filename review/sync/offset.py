"""Where the clocks of camera and device stand to each other: offset and drift, and how far they can be trusted."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import t as student

from review.lesson import FloatArray
from review.sync.chance import compare_steady, compute_chance, compute_density, count_near, find_differences, find_reach
from review.sync.clock import DRIFT_SD_PPM, Clock, fit_clock
from review.sync.windows import Intervals, Windows

HEARD = 0.3
"""A swing at least so likely struck takes part in the search and is counted."""
_MATCHED = 0.7
_COACH_ERRS = 0.1
_TRIED_CLOSELY = 12
_STEPS = 50
_MOST_DRIFT_PPM = 120.0
_REFITS = 3
_MOST_CHANCE = 0.2
# chosen by simulation, see docs/sync.md
_SURE_SD = 4.0
_POSSIBLE_SD = 1.5
_POSSIBLE_SHARE = 0.5


@dataclass(frozen=True)
class Offset:
    """Camera's clock against the device's.

    ``weight`` 0..1 is its probability among all offsets tried, ``n_agree`` how many swings have a row under it
    (``share`` of the most there could be), ``chance`` how likely so many agree where clips and rows do not belong
    together, ``over_chance_sd`` how far the number lies above that of made-up rows at the same pace, in SD.
    ``pairs`` are the agreements (swing, row), one to one.
    """

    clock: Clock
    weight: float
    n_agree: int
    share: float
    chance: float
    over_chance_sd: float
    pairs: tuple[tuple[int, int], ...] = ()

    @property
    def is_sure(self) -> bool:
        return self.chance <= 0.01 and self.over_chance_sd >= _SURE_SD

    @property
    def is_possible(self) -> bool:
        return self.chance <= _MOST_CHANCE and self.over_chance_sd >= _POSSIBLE_SD and self.share >= _POSSIBLE_SHARE


def find_offset(windows: Windows, rows: Intervals, fixed: Sequence[tuple[int, int]] = ()) -> Offset | None:
    """Find the offset and drift that explain most; None when a side has no times.

    Parameters
    ----------
    windows : where the strikes may lie on the camera's clock.
    rows : when rows were struck on the device's clock.
    fixed : pairs (swing, row) the coach made; strong evidence, but one slip does not outweigh a whole lesson.

    Notes
    -----
    Offsets at which most differences gather are searched closely, with drifts, by likelihood: a swing has a row in 7
    of 10 cases, else it falls anywhere. The likeliest gives pairs, the pairs a robust line, the line pairs again.
    """
    vouched_for = np.zeros(windows.n_swings, bool)
    vouched_for[[i for i, _ in fixed]] = True
    clips = windows.likeliest().only((windows.struck >= HEARD) | vouched_for)
    if not np.isfinite(clips.low_s).any() or not np.isfinite(rows.low_s).any():
        return None
    reach = find_reach(clips, rows)
    middle = float(np.nanmean(rows.middle_s))
    tried = _find_places(clips, rows, reach, middle, fixed)
    if not tried:
        return None
    step = reach / _STEPS
    offsets = np.unique(np.round(np.concatenate([np.arange(t, t + reach, step) for t in tried]) / step)) * step
    drifts = _choose_drifts(rows, reach)
    gain = _compute_gain(windows, rows, offsets, drifts, middle, fixed)
    weight = np.exp(gain - gain.max())
    best, fastest = np.unravel_index(int(np.argmax(weight)), weight.shape)
    near = np.abs(offsets - offsets[best]) <= reach / 2
    by_offset = weight.sum(axis=1)
    clock, pairs = _refine(clips, rows, Clock(float(offsets[best]), float(drifts[fastest]), middle))
    n_agree = len(pairs)
    vouched = len(set(fixed) & set(pairs))
    chance = compute_chance(clips, rows, n_agree, vouched)
    over = np.inf if vouched else 0.0
    if not vouched and chance <= _MOST_CHANCE:
        over = compare_steady(clips, rows, n_agree)
    share = n_agree / min(int(np.isfinite(clips.low_s).sum()), int(np.isfinite(rows.low_s).sum()))
    return Offset(clock, float(by_offset[near].sum() / by_offset.sum()), n_agree, share, chance, over, pairs)


def find_pairs(clips: Intervals, rows: Intervals, clock: Clock) -> tuple[tuple[int, int], ...]:
    """Pairs (swing, row) that are each other's likeliest under a clock, among those that can be one moment."""
    density = compute_density(clips, shift_rows(rows, clock), 0.0)
    swing_of, row_of = density.argmax(axis=0), density.argmax(axis=1)
    return tuple((i, int(j)) for i, j in enumerate(row_of) if density[i, j] > 0 and swing_of[j] == i)


def shift_rows(rows: Intervals, clock: Clock) -> Intervals:
    """Rows on the camera's clock."""
    return Intervals(clock.to_camera_s(rows.low_s), clock.to_camera_s(rows.high_s))


def _refine(clips: Intervals, rows: Intervals, clock: Clock) -> tuple[Clock, tuple[tuple[int, int], ...]]:
    pairs = find_pairs(clips, rows, clock)
    for _ in range(_REFITS):
        if not pairs:
            break
        i, j = np.array(pairs).T
        sd = np.sqrt((clips.width_s[i] ** 2 + rows.width_s[j] ** 2) / 12.0)
        clock = fit_clock(clips.middle_s[i], rows.middle_s[j], sd, clock)
        again = find_pairs(clips, rows, clock)
        if again == pairs:
            break
        pairs = again
    return clock, pairs


def _find_places(
    clips: Intervals, rows: Intervals, reach: float, middle: float, fixed: Sequence[tuple[int, int]]
) -> list[float]:
    """Offsets from which a window of ``reach`` holds many differences, and those of the coach's pairs."""
    found: list[tuple[float, float]] = []
    lever = np.nanmax(np.abs(rows.middle_s - middle)) * 1e-6
    drifts = (0.0,) if _MOST_DRIFT_PPM * lever < reach / 3 else (0.0, -2 * DRIFT_SD_PPM, 2 * DRIFT_SD_PPM)
    for drift in drifts:
        starts = find_differences(clips, shift_rows(rows, Clock(0.0, drift, middle)))
        found += zip((-count_near(starts, reach)).tolist(), starts.tolist(), strict=True)
    tried: list[float] = []
    for _, start in sorted(found, key=lambda place: place[0]):
        if all(abs(start - other) > reach / 4 for other in tried):
            tried.append(start)
        if len(tried) == _TRIED_CLOSELY:
            break
    tried += [float(clips.middle_s[i] - rows.middle_s[j] - reach / 2) for i, j in fixed]
    return [t for t in tried if np.isfinite(t)]


def _choose_drifts(rows: Intervals, reach: float) -> FloatArray:
    """Drifts so close together that half a lesson moves by less than a sixth of what rounding leaves open."""
    half_s = float(np.nanmax(rows.middle_s) - np.nanmin(rows.middle_s)) / 2.0
    n = min(int(np.ceil(_MOST_DRIFT_PPM * 1e-6 * half_s / (reach / 6.0))), 6)
    return np.linspace(-_MOST_DRIFT_PPM, _MOST_DRIFT_PPM, 2 * n + 1) if n else np.zeros(1)


def _compute_gain(
    windows: Windows,
    rows: Intervals,
    offsets: FloatArray,
    drifts: FloatArray,
    middle: float,
    fixed: Sequence[tuple[int, int]],
) -> FloatArray:
    """Log likelihood (n_offsets, n_drifts) against clips and rows that have nothing to do with each other."""
    span = float(windows.high_s.max() - windows.low_s.min() + np.nanmax(rows.high_s) - np.nanmin(rows.low_s))
    n_rows = int(np.isfinite(rows.low_s).sum())
    in_fixed = np.zeros(windows.n_swings, bool)
    in_fixed[[i for i, _ in fixed]] = True
    lever = 1e-6 * np.nan_to_num(rows.middle_s - middle)
    most = float(np.abs(lever).max() * np.abs(drifts).max())
    gain = np.tile(student.logpdf(drifts / DRIFT_SD_PPM, 3), (len(offsets), 1))
    first = windows.low_s[:, None] - rows.high_s
    last = windows.high_s[:, None] - rows.low_s
    # offsets lie in clumps; of each clump only what it can bring together is looked at
    for clump in np.split(np.arange(len(offsets)), np.flatnonzero(np.diff(offsets) > 1.5 * np.diff(offsets).min()) + 1):
        o = offsets[clump]
        k, j = np.nonzero((first <= o[-1] + most) & (last >= o[0] - most))
        shift = o[:, None, None] + drifts[None, :, None] * lever[j]
        overlap = np.minimum(windows.high_s[k], rows.high_s[j] + shift)
        overlap -= np.maximum(windows.low_s[k], rows.low_s[j] + shift)
        share = windows.weight[k] / ((windows.high_s - windows.low_s)[k] * rows.width_s[j])
        density = np.clip(overlap, 0.0, None) * share
        is_free = ~in_fixed[windows.owner[k]]
        owners, begins = np.unique(windows.owner[k][is_free], return_index=True)
        if len(owners):
            free = np.maximum.reduceat(density[:, :, is_free], begins, axis=2)
            gain[clump] += np.log1p(_MATCHED / (1.0 - _MATCHED) * span / n_rows * free).sum(axis=2)
        for i, row in fixed:
            told = density[:, :, (windows.owner[k] == i) & (j == row)].sum(axis=2)
            gain[clump] += np.log(_COACH_ERRS + (1.0 - _COACH_ERRS) * span * told)
    return gain
