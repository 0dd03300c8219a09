"""Trail-heel lift and hip shift, centimetres, from one view."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d

from review.body.response import read_heel_lift, read_hip_shift
from review.body.scale import find_player
from review.body.seen import SeenSwing
from review.body.series import Series
from review.lesson import FloatArray, View

_SMOOTHING_S = {"heel": 0.012, "hips": 0.025}


@dataclass(frozen=True)
class MoveError:
    """Error of a movement: ``stretch`` times the response's own and at least ``least_cm``.

    ``shared_part`` of the variance is the same in all swings of one player and set-up. Figures: docs/accuracy.md.
    """

    stretch: float
    least_cm: float
    shared_part: float


_ERRORS: dict[tuple[str, str, View], MoveError] = {
    ("heavy", "heel", View.FACE_ON): MoveError(0.8, 0.4, 0.4),
    ("heavy", "heel", View.DOWN_THE_LINE): MoveError(0.85, 0.4, 0.4),
    ("heavy", "hips", View.FACE_ON): MoveError(0.8, 0.4, 0.3),
    ("full", "heel", View.FACE_ON): MoveError(0.8, 0.4, 0.4),
    ("full", "heel", View.DOWN_THE_LINE): MoveError(0.9, 0.4, 0.4),
    ("full", "hips", View.FACE_ON): MoveError(0.75, 0.4, 0.3),
}


def compute_trail_heel_lift(seen: SeenSwing, stature_m: float | None) -> Series:
    """Compute the rise of the trail heel over its own height at address, cm, + up."""
    return _compute(seen, stature_m, "heel")


def compute_hip_shift(seen: SeenSwing, stature_m: float | None) -> Series:
    """Compute the movement of mid-hip along the target line from address, cm, + toward target; face-on view only.

    Raises
    ------
    ValueError
        For another view: movement along the line of sight cannot be seen.
    """
    if seen.view is not View.FACE_ON:
        raise ValueError("hip shift needs a face-on view")
    return _compute(seen, stature_m, "hips")


def _compute(seen: SeenSwing, stature_m: float | None, name: str) -> Series:
    still = seen.still_frames()
    stature_px = find_player(seen.track, seen.view, still).stature_px
    if name == "heel":
        reading = read_heel_lift(seen.track, seen.view, still, stature_px)
    else:
        reading = read_hip_shift(seen.track, still, stature_px)
    scale = seen.scale_with(stature_m)
    cm = stature_px * scale.cm_per_px
    moved = _smooth(seen, reading.value, _SMOOTHING_S[name])
    value = (moved - np.median(moved[still])) * cm
    error = _ERRORS[(seen.track.model, name, seen.view)]
    own = np.hypot(error.stretch * _smooth(seen, reading.sd, _SMOOTHING_S[name]) * cm, error.least_cm)
    sd = np.hypot(seen.widening * own, scale.relative_sd * np.abs(value))
    return Series(
        time_s=seen.track.time_s,
        value=value,
        own_sd=sd * np.sqrt(1.0 - error.shared_part),
        shared_sd=sd * np.sqrt(error.shared_part),
        is_bound=np.zeros(len(value), bool),
    )


def fuse(first: Series, second: Series) -> Series:
    """Average two views of one measure by their errors, on the first one's frames.

    ``second`` must already be laid onto the first one's times.
    """
    weight_first = 1.0 / (first.own_sd**2 + first.shared_sd**2)
    weight_second = np.where(np.isnan(second.value), 0.0, 1.0 / (second.own_sd**2 + second.shared_sd**2))
    total = weight_first + weight_second
    value = (weight_first * first.value + weight_second * np.nan_to_num(second.value)) / total
    shrink = np.sqrt(weight_first / total)
    return Series(first.time_s, value, first.own_sd * shrink, first.shared_sd * shrink, first.is_bound)


def _smooth(seen: SeenSwing, values: FloatArray, sd_s: float) -> FloatArray:
    step_s = float(np.median(np.diff(seen.track.time_s))) * seen.time_scale
    smooth: FloatArray = gaussian_filter1d(values, max(sd_s / step_s, 0.3), mode="nearest")
    return smooth
