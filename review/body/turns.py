"""Hip turn and shoulder turn over time, from one view or two."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from review.body.camera_setup import NOMINAL_DIRECTION_DEG, compute_focal_px
from review.body.features import compute_bearing_deg
from review.body.response import ANGLES_DEG, Line, load_response
from review.body.seen import SeenSwing
from review.body.series import Series
from review.body.smoothing import TURN_GRID_DEG, Motion, smooth_turn
from review.errors import BadInputError
from review.lesson import FloatArray, KeyFrameName

_RATE_HZ = 60.0
# Errors of neighbouring frames go together, so a frame counts as a part of an independent one.
_WEIGHT_OF_A_FRAME = {1: 0.3, 2: 0.22}
_BEFORE_ADDRESS_S, _AFTER_FINISH_S = 0.15, 0.3
_TOP_SPEED_SD_DPS: dict[Line, float] = {"hip": 110.0, "shoulder": 60.0}
_SATURATES_BEYOND_DEG = 75.0
_ADDRESS_SD_DEG = 6.0


@dataclass(frozen=True)
class TurnError:
    """Rough error of a turn.

    ``stretch`` times the smoother's own, and at least ``least_deg``; ``shared_part`` of the variance is the same in all
    swings of one player and camera set-up. Figures: docs/accuracy.md.
    """

    stretch: float
    least_deg: float
    shared_part: float


_ERRORS: dict[tuple[Line, str], TurnError] = {
    ("hip", "face-on"): TurnError(2.0, 4.0, 0.9),
    ("hip", "down-the-line"): TurnError(1.6, 4.0, 0.9),
    ("hip", "both"): TurnError(1.3, 4.0, 0.9),
    ("shoulder", "face-on"): TurnError(1.6, 4.0, 0.9),
    ("shoulder", "down-the-line"): TurnError(1.8, 4.0, 0.9),
    ("shoulder", "both"): TurnError(1.5, 4.0, 0.9),
}


def compute_turn(views: Sequence[SeenSwing], line: Line) -> tuple[Series, Series | None]:
    """Compute a turn from the landmarks of one swing seen by one camera or two.

    Parameters
    ----------
    views : the first view's frames are those of the result; a second one is laid over it at impact.
    line : 'hip' or 'shoulder'.

    Returns
    -------
    from_address : degrees, + open to the target, - turned away, relative to the turn at address; NaN outside the swing.
    against_target : the same against the target line; None unless every camera's direction is known.

    Raises
    ------
    BadInputError
        When address or impact is missing.
    """
    first = views[0]
    address_s, end_s = _span(first)
    grid_s = np.arange(address_s - _BEFORE_ADDRESS_S, end_s, 1.0 / _RATE_HZ)
    top_s = first.true_time_of(KeyFrameName.TOP)
    start_sd = _ADDRESS_SD_DEG if first.target.is_known else float(np.hypot(_ADDRESS_SD_DEG, first.target.sd_deg))
    motion = Motion(start_sd_deg=start_sd, top_s=top_s, top_speed_sd_dps=_TOP_SPEED_SD_DPS[line])

    evidence = [_evidence(view, line, grid_s, shift_s=_impact_of(view) - _impact_of(first)) for view in views]
    weight = _WEIGHT_OF_A_FRAME[len(views)]
    if len(views) == 2:
        evidence = [_align_start(part, grid_s, motion) for part in evidence]
    mean, sd = smooth_turn(grid_s, weight * np.sum(evidence, axis=0), motion)

    before = max(3, int(_BEFORE_ADDRESS_S * _RATE_HZ))
    at_address = float(mean[:before].mean())
    error = _ERRORS[(line, "both" if len(views) == 2 else first.view.value)]
    from_address = _as_series(first, grid_s, mean - at_address, sd, error, saturates=line == "shoulder")
    if not all(view.target.is_known for view in views):
        return from_address, None
    # the smoothed turn is already counted from the marked target line
    direction_sd = min(view.target.sd_deg for view in views)
    against = _as_series(first, grid_s, mean, np.hypot(sd, direction_sd), error, saturates=line == "shoulder")
    return from_address, against


def _span(view: SeenSwing) -> tuple[float, float]:
    address_s = view.true_time_of(KeyFrameName.ADDRESS)
    finish_s = view.true_time_of(KeyFrameName.FINISH)
    if address_s is None or view.true_time_of(KeyFrameName.IMPACT) is None:
        raise BadInputError("Turn is measured from address to finish; address or impact was not found in the clip.")
    last_s = float(view.track.time_s[-1]) * view.time_scale
    return address_s, min(last_s, last_s if finish_s is None else finish_s + _AFTER_FINISH_S)


def _impact_of(view: SeenSwing) -> float:
    impact_s = view.true_time_of(KeyFrameName.IMPACT)
    if impact_s is None:
        raise BadInputError("Impact was not found in the clip, so two views cannot be laid over each other.")
    return impact_s


def _evidence(view: SeenSwing, line: Line, grid_s: FloatArray, shift_s: float) -> FloatArray:
    """(len(grid_s), len(TURN_GRID_DEG)) log likelihood of the turn against the (assumed) target line."""
    track = view.track
    per_frame = load_response(track.model).log_likelihood(track, line)
    bearing = compute_bearing_deg(track, compute_focal_px(track))
    closed_grid = np.append(ANGLES_DEG, ANGLES_DEG[0] + 360.0)
    target = view.target.degrees if view.target.is_known else NOMINAL_DIRECTION_DEG[view.view]
    turned = np.empty((len(track.time_s), len(TURN_GRID_DEG)))
    for i, row in enumerate(per_frame):
        line_of_sight = (TURN_GRID_DEG + target + bearing[i] + 180.0) % 360.0 - 180.0
        turned[i] = np.interp(line_of_sight, closed_grid, np.append(row, row[0]))
    return _onto_grid(track.time_s * view.time_scale - shift_s, turned, grid_s)


def _onto_grid(time_s: FloatArray, rows: FloatArray, grid_s: FloatArray) -> FloatArray:
    """Average rows of fast clips over 1/60 s, then interpolate between frames."""
    step = max(1, round(1.0 / (_RATE_HZ * float(np.median(np.diff(time_s))))))
    if step > 1:
        n = len(rows) // step * step
        rows = rows[:n].reshape(-1, step, rows.shape[1]).mean(axis=1)
        time_s = time_s[:n].reshape(-1, step).mean(axis=1)
    right = np.clip(np.searchsorted(time_s, grid_s), 1, len(time_s) - 1)
    part = np.clip((grid_s - time_s[right - 1]) / (time_s[right] - time_s[right - 1]), 0.0, 1.0)[:, None]
    result: FloatArray = rows[right - 1] * (1.0 - part) + rows[right] * part
    # outside the clip there is no evidence
    result[(grid_s < time_s[0] - 0.05) | (grid_s > time_s[-1] + 0.05)] = 0.0
    return result


def _align_start(rows: FloatArray, grid_s: FloatArray, motion: Motion) -> FloatArray:
    """Shift one view's likelihood so that its own start is zero: cameras that stand askew do not pull apart."""
    mean, _ = smooth_turn(grid_s, _WEIGHT_OF_A_FRAME[1] * rows, motion)
    start = float(mean[: max(3, int(_BEFORE_ADDRESS_S * _RATE_HZ))].mean())
    return np.stack([np.interp(TURN_GRID_DEG + start, TURN_GRID_DEG, row) for row in rows])


def _as_series(
    view: SeenSwing, grid_s: FloatArray, mean: FloatArray, sd: FloatArray, error: TurnError, saturates: bool
) -> Series:
    true_s = view.track.time_s * view.time_scale
    inside = (true_s >= grid_s[0] - 1e-6) & (true_s <= grid_s[-1] + 1.0 / _RATE_HZ)
    value = np.where(inside, np.interp(true_s, grid_s, mean), np.nan)
    total = np.hypot(error.stretch * np.interp(true_s, grid_s, sd), error.least_deg)
    is_bound = np.nan_to_num(value) < -_SATURATES_BEYOND_DEG if saturates else np.zeros(len(value), bool)
    return Series(
        time_s=view.track.time_s,
        value=np.where(is_bound, -_SATURATES_BEYOND_DEG, value),
        own_sd=total * np.sqrt(1.0 - error.shared_part),
        shared_sd=total * np.sqrt(error.shared_part),
        is_bound=np.asarray(is_bound),
    )
