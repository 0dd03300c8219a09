"""A pressure trace against the pictures to a few milliseconds: the force pushes the body up, Newton's second law."""

from dataclasses import dataclass

import numpy as np
from scipy.signal import butter, find_peaks, sosfiltfilt

from review.lesson import FloatArray

SD_S = 0.006
"""How exactly a trace is placed so. On the sample lesson's 15 face-on clips the worst was off by 0.004 s; kept wider
for people, whom nobody measured yet (docs/pressure.md)."""
_CUT_OFF_HZ = 9.0
_FROM_S, _TO_S = -1.0, 0.35
"""What is compared, seconds after impact; less where clip or trace are shorter."""
_LEAST_S = 0.6
_STEP_S = 0.002
_AT_ONCE = 500
"""So many lags together, a few MB."""
_LEAST_CORRELATION = 0.5
_RIVAL_S, _RIVAL_WORSE = 0.08, 0.1
"""Another lag, so far away, that does nearly as well makes both doubtful."""


@dataclass(frozen=True)
class ForceLag:
    """Where impact lies in a trace.

    ``impact_s`` on the trace's own time, ``sd_s`` how exactly, ``correlation`` of body and force there. Where it is
    not to be trusted, ``refused`` says why.
    """

    impact_s: float
    sd_s: float
    correlation: float
    refused: str = ""


def find_force_lag(
    moments_s: FloatArray,
    height: FloatArray,
    force_time_s: FloatArray,
    force_n: FloatArray,
    earliest_s: float,
    latest_s: float,
) -> ForceLag:
    """Find the time of impact in a force trace from how the body rises and falls.

    The vertical force is body mass times (gravity + upward acceleration of the centre of mass), so that the second
    derivative of the height and the force have one shape, whatever the scale of either. Both go through the same
    low-pass (second-order Butterworth forth and back, 9 Hz), then they are correlated over all lags.

    Parameters
    ----------
    moments_s, height : (n,) true seconds after impact and the height of the centre of mass, any unit, + up.
    force_time_s, force_n : (m,) the trace's own seconds, increasing, and the vertical force.
    earliest_s, latest_s : between which times of the trace impact lies.
    """
    nothing = ForceLag(np.nan, np.nan, np.nan)
    seen = np.isfinite(height)
    felt = np.isfinite(force_n)
    if seen.sum() < 10 or felt.sum() < 10:
        return _refuse(nothing, "the body was not seen, or there is no force")
    from_s, to_s = float(moments_s[seen][0]), float(moments_s[seen][-1])
    grid = np.arange(from_s, to_s, _STEP_S)
    body = _low_pass(np.interp(grid, moments_s[seen], height[seen]))
    rising = np.gradient(np.gradient(body, _STEP_S), _STEP_S)
    force_grid = np.arange(force_time_s[felt][0], force_time_s[felt][-1], _STEP_S)
    if len(force_grid) < 30 or len(grid) < 30:
        return _refuse(nothing, "the trace or the clip is too short")
    force = _low_pass(np.interp(force_grid, force_time_s[felt], force_n[felt]))
    impacts = np.arange(earliest_s, latest_s, _STEP_S)
    parts = [impacts[i : i + _AT_ONCE] for i in range(0, len(impacts), _AT_ONCE)]
    scores = np.concatenate([_correlate(grid, rising, force_grid, force, part) for part in parts] or [np.zeros(0)])
    if not np.isfinite(scores).any():
        return _refuse(nothing, "the trace does not cover the swing")
    scores = np.where(np.isfinite(scores), scores, -1.0)
    best = int(np.argmax(scores))
    found = ForceLag(float(impacts[best]), SD_S, float(scores[best]))
    if found.correlation < _LEAST_CORRELATION:
        return _refuse(found, "the force does not follow the body")
    peaks, _ = find_peaks(np.concatenate([[-1.0], scores, [-1.0]]))
    rivals = [
        scores[p - 1]
        for p in peaks
        if abs(impacts[p - 1] - impacts[best]) > _RIVAL_S and scores[p - 1] > scores[best] - _RIVAL_WORSE
    ]
    return _refuse(found, "two places in the trace fit the body alike") if rivals else found


def _correlate(
    grid: FloatArray, rising: FloatArray, force_s: FloatArray, force: FloatArray, impacts_s: FloatArray
) -> FloatArray:
    """Correlation at every lag (n,), which are as far apart as the grid's moments; NaN where too little is known."""
    compared = (grid >= max(_FROM_S, grid[0] + 0.1)) & (grid <= min(_TO_S, grid[-1] - 0.1))
    grid, rising = grid[compared], rising[compared]
    scores = np.full(len(impacts_s), np.nan)
    if not len(grid):
        return scores
    first, last = grid[0] + impacts_s, grid[-1] + impacts_s
    known_s = np.minimum(last, force_s[-1]) - np.maximum(first, force_s[0])
    at = grid[0] + impacts_s[0] + _STEP_S * np.arange(len(grid) + len(impacts_s) - 1)
    felt = np.interp(at, force_s, force)
    whole = (first >= force_s[0]) & (last <= force_s[-1])
    scores[whole] = _slide(rising, felt)[whole]
    for i in np.flatnonzero(~whole & (known_s >= _LEAST_S)):
        inside = (grid + impacts_s[i] >= force_s[0]) & (grid + impacts_s[i] <= force_s[-1])
        scores[i] = _slide(rising[inside], felt[i : i + len(grid)][inside])[0]
    return np.where(known_s < _LEAST_S, np.nan, scores)


def _slide(shape: FloatArray, values: FloatArray) -> FloatArray:
    """Correlation of a shape (n,) with every stretch as long of the values (m,): (m - n + 1,); NaN where flat."""
    n, shape, values = len(shape), shape - shape.mean(), values - values.mean()
    total, squares = (np.concatenate([[0.0], np.cumsum(v)]) for v in (values, values**2))
    varied = squares[n:] - squares[:-n] - (total[n:] - total[:-n]) ** 2 / n
    together = np.lib.stride_tricks.sliding_window_view(values, n) @ shape
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.where(varied > 1e-12 * squares[-1], together / np.sqrt(varied * (shape @ shape)), np.nan))


def _low_pass(values: FloatArray) -> FloatArray:
    filtered: FloatArray = sosfiltfilt(butter(2, _CUT_OFF_HZ * 2 * _STEP_S, output="sos"), values)
    return filtered


def _refuse(found: ForceLag, why: str) -> ForceLag:
    return ForceLag(found.impact_s, found.sd_s, found.correlation, why)
