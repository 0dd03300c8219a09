"""Angles over time from a likelihood on every frame: exact smoothing on a grid of (angle, turning speed)."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from review.lesson import FloatArray

ANGLE_STEP_DEG = 3.0
TURN_GRID_DEG: FloatArray = np.arange(-150.0, 181.0, ANGLE_STEP_DEG)
_SPEED_STEP_DPS = 20.0
_SPEED_GRID_DPS: FloatArray = np.arange(-500.0, 1001.0, _SPEED_STEP_DPS)
_FLOOR = 1e-9


@dataclass(frozen=True)
class Motion:
    """What is known of a turn before looking at the picture.

    start_deg, start_sd_deg : turn on the first frame. top_s : when the hands reverse (None = no reversal known), where
    the turning speed is small (``top_speed_sd_dps``). ``back_walk_dps`` and ``down_walk_dps`` say how much the turning
    speed may change within 1/60 s before and after ``top_s - 0.05``.
    """

    start_deg: float = 0.0
    start_sd_deg: float = 7.0
    top_s: float | None = None
    top_speed_sd_dps: float = 60.0
    back_walk_dps: float = 10.0
    down_walk_dps: float = 250.0


def smooth_turn(time_s: FloatArray, log_likelihood: FloatArray, motion: Motion) -> tuple[FloatArray, FloatArray]:
    """Smooth a turn over all frames by the forward-backward algorithm.

    Parameters
    ----------
    time_s : (n,) true seconds, increasing.
    log_likelihood : (n, len(TURN_GRID_DEG)) of the turn on every frame.
    motion : what is known beforehand.

    Returns
    -------
    mean_deg, sd_deg : (n,) mean and standard deviation of the turn on every frame.

    References
    ----------
    Rabiner 1989, Proc. IEEE 77(2):257-286, forward-backward recursion; the state here is angle and speed.
    """
    likelihood = np.exp(log_likelihood - log_likelihood.max(axis=1, keepdims=True)) + _FLOOR
    at_top = np.exp(-0.5 * (_SPEED_GRID_DPS / motion.top_speed_sd_dps) ** 2)[None, :]
    top = None if motion.top_s is None else int(np.argmin(np.abs(time_s - motion.top_s)))
    evidence = [likelihood[i][:, None] * (at_top if i == top else 1.0) for i in range(len(time_s))]
    step_s = np.diff(time_s)
    walk = np.full(len(step_s), motion.down_walk_dps)
    if motion.top_s is not None:
        walk[time_s[1:] <= motion.top_s - 0.05] = motion.back_walk_dps
    walk = walk * np.sqrt(step_s * 60.0) / _SPEED_STEP_DPS

    state = np.exp(-0.5 * ((TURN_GRID_DEG - motion.start_deg) / motion.start_sd_deg) ** 2)[:, None] * np.exp(
        -0.5 * (_SPEED_GRID_DPS / 25.0) ** 2
    )
    forward = []
    for i in range(len(time_s)):
        if i:
            state = _blur(_move(state, step_s[i - 1]), walk[i - 1])
        state = state * evidence[i]
        state = state / state.sum()
        forward.append(state)

    mean, sd = np.empty(len(time_s)), np.empty(len(time_s))
    backward = np.ones_like(state)
    for i in range(len(time_s) - 1, -1, -1):
        share = (forward[i] * backward).sum(axis=1)
        share = share / share.sum()
        mean[i] = share @ TURN_GRID_DEG
        sd[i] = np.sqrt(max(share @ (TURN_GRID_DEG - mean[i]) ** 2, 0.0))
        if i:
            backward = _move(_blur(backward * evidence[i], walk[i - 1]), -step_s[i - 1])
            backward = backward / backward.max()
    return mean, sd


def _move(state: FloatArray, seconds: float) -> FloatArray:
    """Shift every speed's column by speed x time, linearly between grid points."""
    near, near_part, far, far_part = _plan_move(round(seconds, 7))
    flat = state.ravel()
    return np.asarray(flat[near] * near_part + flat[far] * far_part).reshape(state.shape)


@lru_cache(maxsize=64)
def _plan_move(seconds: float) -> tuple[NDArray[np.intp], FloatArray, NDArray[np.intp], FloatArray]:
    """Where every cell comes from and in which parts; most clips need two plans, one for each direction of time."""
    cells = _SPEED_GRID_DPS * seconds / ANGLE_STEP_DEG
    whole = np.floor(cells).astype(int)
    rest = cells - whole
    n = len(TURN_GRID_DEG)
    columns = np.arange(len(_SPEED_GRID_DPS))[None, :]

    def source(rows: NDArray[np.intp], part: FloatArray) -> tuple[NDArray[np.intp], FloatArray]:
        inside = (rows >= 0) & (rows < n)
        return (np.clip(rows, 0, n - 1) * len(_SPEED_GRID_DPS) + columns).ravel(), (inside * part).ravel()

    near = np.arange(n)[:, None] - whole[None, :]
    return (*source(near, 1.0 - rest), *source(near - 1, rest))


def _blur(state: FloatArray, sd_cells: float) -> FloatArray:
    blurred: FloatArray = gaussian_filter1d(state, max(sd_cells, 0.3), axis=1, mode="constant", truncate=3.0)
    return blurred
