"""Hip turn and shoulder turn over time, from one view or two."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from review.body.camera_setup import compute_focal_px
from review.body.features import compute_bearing_deg
from review.body.holds import find_position
from review.body.response import ANGLES_DEG, LINES, Line, TurnReading, read_turns
from review.body.seen import SeenSwing
from review.body.series import Series
from review.body.smoothing import TURN_GRID_DEG, Motion, smooth_turn
from review.errors import BadInputError
from review.lesson import KNOWN_DOWN_TO, FloatArray, KeyFrameName

_RATE_HZ = 60.0
# Errors of neighbouring frames go together, so a frame counts as a part of an independent one.
_WEIGHT_OF_A_FRAME = {1: 0.6, 2: 0.4}
_BEFORE_ADDRESS_S, _AFTER_FINISH_S = 0.15, 0.3
_N_STILL = int(_BEFORE_ADDRESS_S * _RATE_HZ)
_TOP_SPEED_SD_DPS: dict[Line, float] = {"hip": 110.0, "shoulder": 60.0}
# Few of the players from whom the response was learnt turn farther.
_SATURATES_BEYOND_DEG = -KNOWN_DOWN_TO["shoulder_turn_deg"]
# Players set up with hips and shoulders about square to the target line (common practice, no source).
_AT_ADDRESS_DEG, _AT_ADDRESS_SD_DEG = 2.0, 4.0
_STILL_WEIGHT = 2.0
_START_SD_DEG = 2.5


@dataclass(frozen=True)
class TurnError:
    """Rough error of a turn.

    ``stretch`` times the smoother's own, and at least ``least_deg``; ``shared_part`` of the variance is the same in all
    swings of one player and camera set-up. Figures: docs/accuracy.md.
    """

    stretch: float
    least_deg: float
    shared_part: float


# By pose model, line and view; set on 67 rendered players (full: 57), tried on those left out (docs/accuracy.md).
_ERRORS: dict[tuple[str, Line, str], TurnError] = {
    ("heavy", "hip", "face-on"): TurnError(1.45, 2.5, 0.8),
    ("heavy", "hip", "down-the-line"): TurnError(1.7, 2.5, 0.8),
    ("heavy", "hip", "both"): TurnError(1.2, 2.5, 0.8),
    ("heavy", "shoulder", "face-on"): TurnError(1.25, 2.5, 0.8),
    ("heavy", "shoulder", "down-the-line"): TurnError(1.1, 2.5, 0.8),
    ("heavy", "shoulder", "both"): TurnError(0.9, 2.5, 0.8),
    ("full", "hip", "face-on"): TurnError(1.6, 2.5, 0.8),
    ("full", "hip", "down-the-line"): TurnError(1.75, 2.5, 0.8),
    ("full", "hip", "both"): TurnError(1.3, 2.5, 0.8),
    ("full", "shoulder", "face-on"): TurnError(1.5, 2.5, 0.8),
    ("full", "shoulder", "down-the-line"): TurnError(1.35, 2.5, 0.8),
    ("full", "shoulder", "both"): TurnError(1.1, 2.5, 0.8),
}


@dataclass(frozen=True, eq=False)
class _Evidence:
    """One view: log likelihood of the turn from address on its frames, and the turn at address itself."""

    true_s: FloatArray
    rows: FloatArray
    at_address_deg: float
    at_address_sd_deg: float


def compute_turns(views: Sequence[SeenSwing]) -> dict[Line, tuple[Series, Series | None]]:
    """Compute hip turn and shoulder turn from the landmarks of one swing seen by one camera or two.

    Parameters
    ----------
    views : the first view's frames are those of the result; a second one is laid over it at impact.

    Returns
    -------
    For each line a pair. From address: degrees, + open to the target, - turned away, relative to the turn at address;
    NaN outside the swing. Against the target line: the same, None unless every camera's direction is known.

    Raises
    ------
    BadInputError
        When address or impact is missing.
    """
    readings = [read_turns(view.track, view.still_frames()) for view in views]
    return {line: _compute_turn(views, readings, line) for line in LINES}


def _compute_turn(
    views: Sequence[SeenSwing], readings: Sequence[dict[Line, TurnReading]], line: Line
) -> tuple[Series, Series | None]:
    first = views[0]
    address_s, end_s = _span(first)
    grid_s = np.arange(address_s - _BEFORE_ADDRESS_S, end_s, 1.0 / _RATE_HZ)
    evidence = [_weigh(view, reading, line) for view, reading in zip(views, readings, strict=True)]
    total = np.zeros((len(grid_s), len(TURN_GRID_DEG)))
    for view, part in zip(views, evidence, strict=True):
        total += _onto_grid(part.true_s - _impact_of(view) + _impact_of(first), part.rows, grid_s)
    motion = Motion(
        start_sd_deg=_START_SD_DEG,
        top_s=first.true_time_of(KeyFrameName.TOP),
        top_speed_sd_dps=_TOP_SPEED_SD_DPS[line],
    )
    mean, sd = smooth_turn(grid_s, _WEIGHT_OF_A_FRAME[len(views)] * total, motion)
    mean = mean - mean[:_N_STILL].mean()

    error = _ERRORS[(first.track.model, line, "both" if len(views) == 2 else first.view.value)]
    widening = max(view.widening for view in views)
    error = replace(error, stretch=widening * error.stretch, least_deg=widening * error.least_deg)
    from_address = _as_series(first, grid_s, mean, sd, error, saturates=line == "shoulder")
    if not all(view.target.is_known for view in views):
        return from_address, None
    at_address, at_address_sd = _combine(evidence)
    against = _as_series(
        first, grid_s, mean + at_address, np.hypot(sd, at_address_sd), error, saturates=line == "shoulder"
    )
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


def _weigh(view: SeenSwing, turns: dict[Line, TurnReading], line: Line) -> _Evidence:
    """Put the readings onto turns from address: camera and turn at address say which direction is which turn."""
    track = view.track
    reading = turns[line]
    focal_px = view.focal_px or compute_focal_px(track)
    square_deg = view.target.degrees + compute_bearing_deg(track, focal_px)
    at_address, at_address_sd = _find_address(view, reading.direction, square_deg)
    rows = np.empty((len(track.time_s), len(TURN_GRID_DEG)))
    for i in range(len(rows)):
        direction = TURN_GRID_DEG + at_address + square_deg[i]
        rows[i] = np.interp(direction, ANGLES_DEG, reading.direction[i], period=360.0)
    if view.correction is not None:
        rows = view.correction.apply(line, rows, TURN_GRID_DEG, find_position(turns))
    return _Evidence(track.time_s * view.time_scale, rows, at_address, at_address_sd)


def _find_address(view: SeenSwing, direction: FloatArray, square_deg: FloatArray) -> tuple[float, float]:
    """Turn against the target line at address: what is seen on the still frames, and that players stand square."""
    still = view.still_frames()
    angle = TURN_GRID_DEG + float(np.median(square_deg[still]))
    seen = _STILL_WEIGHT * np.interp(angle, ANGLES_DEG, direction[still].mean(axis=0), period=360.0)
    prior_sd = np.hypot(_AT_ADDRESS_SD_DEG, view.target.sd_deg)
    log_share = seen - 0.5 * ((TURN_GRID_DEG - _AT_ADDRESS_DEG) / prior_sd) ** 2
    share = np.exp(log_share - log_share.max())
    share /= share.sum()
    mean = float(share @ TURN_GRID_DEG)
    return mean, float(np.sqrt(share @ (TURN_GRID_DEG - mean) ** 2))


def _combine(evidence: Sequence[_Evidence]) -> tuple[float, float]:
    weights = np.array([part.at_address_sd_deg**-2 for part in evidence])
    mean = float(weights @ [part.at_address_deg for part in evidence] / weights.sum())
    return mean, float(weights.sum() ** -0.5)


def _onto_grid(time_s: FloatArray, rows: FloatArray, grid_s: FloatArray) -> FloatArray:
    """Average rows of fast clips over 1/60 s, interpolate between frames of others; none outside the clip."""
    half = 0.5 / _RATE_HZ + 1e-6
    begin, end = time_s.searchsorted(grid_s - half), time_s.searchsorted(grid_s + half)
    sums = np.concatenate([np.zeros((1, rows.shape[1])), np.cumsum(rows, axis=0)])
    right = np.clip(np.searchsorted(time_s, grid_s), 1, len(time_s) - 1)
    part = np.clip((grid_s - time_s[right - 1]) / (time_s[right] - time_s[right - 1]), 0.0, 1.0)[:, None]
    result: FloatArray = rows[right - 1] * (1.0 - part) + rows[right] * part
    many = end - begin >= 2
    result[many] = (sums[end] - sums[begin])[many] / (end - begin)[many, None]
    result[(grid_s < time_s[0] - 0.05) | (grid_s > time_s[-1] + 0.05)] = 0.0
    return result


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
