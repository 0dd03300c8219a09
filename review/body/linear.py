"""Trail-heel lift and hip shift, centimetres, from one view."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d

from review.body.golfer import (
    LEAD_HIP,
    TRAIL_ANKLE,
    TRAIL_HEEL,
    TRAIL_HIP,
    USUAL_STATURE_M,
    USUAL_STATURE_SD_M,
    compute_stature_px,
    middle_px,
)
from review.body.seen import SeenSwing
from review.body.series import Series
from review.lesson import FloatArray, View

_HEEL_SMOOTHING_S = 0.012
_SHIFT_SMOOTHING_S = 0.025


@dataclass(frozen=True)
class HeelResponse:
    """Lift = heel x rise of the heel landmark + ankle x rise of the ankle landmark + square x (heel rise)^2 / 20 cm.

    The detector's heel reads about half of a full lift. ``sd_cm`` at no lift, growing by ``sd_per_cm`` of lift.
    """

    heel: float
    ankle: float
    square: float
    sd_cm: float
    sd_per_cm: float


# Least squares on rendered swings (docs/accuracy.md), samples weighted by inverse lift density.
_HEEL: dict[tuple[str, View], HeelResponse] = {
    ("full", View.FACE_ON): HeelResponse(1.312, -0.197, 2.498, 1.4, 0.15),
    ("full", View.DOWN_THE_LINE): HeelResponse(0.767, -0.209, 1.409, 1.2, 0.15),
    ("heavy", View.FACE_ON): HeelResponse(1.034, 1.264, 0.628, 1.2, 0.12),
    ("heavy", View.DOWN_THE_LINE): HeelResponse(0.963, 0.036, 0.643, 0.8, 0.10),
}
_HEEL_SHARED_PART = 0.4
# Seen face-on by the full model, a small lift hardly moves the heel landmark: its error grows with the lift, so it does
# not cancel between two batches with different lifts (docs/accuracy.md).
_HEEL_ERROR_STAYS = frozenset({("full", View.FACE_ON)})
_SHIFT_SD_CM = 2.5
_SHIFT_SHARED_PART = 0.9


def compute_trail_heel_lift(seen: SeenSwing, stature_m: float | None) -> Series:
    """Compute the rise of the trail heel over its own height at address, cm, + up.

    Heights are measured in the picture; the scale comes from the stature (a usual one when it is not known).
    """
    cm_per_px, scale_sd = _scale(seen, stature_m)
    heel = _rise_px(seen, TRAIL_HEEL) * cm_per_px
    ankle = _rise_px(seen, TRAIL_ANKLE) * cm_per_px
    response = _HEEL[(seen.track.model, seen.view)]
    lift = response.heel * heel + response.ankle * ankle + response.square * np.maximum(heel, 0.0) ** 2 / 20.0
    sd = np.hypot(response.sd_cm + response.sd_per_cm * np.abs(lift), scale_sd * np.abs(lift))
    return _as_series(seen, lift, sd, _HEEL_SHARED_PART)


def heel_error_cancels(views: Sequence[SeenSwing]) -> bool:
    """Whether the heel lift's shared error may be taken as the same in all swings of one set-up."""
    return any((seen.track.model, seen.view) not in _HEEL_ERROR_STAYS for seen in views)


def compute_hip_shift(seen: SeenSwing, stature_m: float | None) -> Series:
    """Compute the movement of mid-hip along the target line from address, cm, + toward target; face-on view only.

    Raises
    ------
    ValueError
        For another view: movement along the line of sight cannot be seen.
    """
    if seen.view is not View.FACE_ON:
        raise ValueError("hip shift needs a face-on view")
    cm_per_px, scale_sd = _scale(seen, stature_m)
    x = _smooth(seen, middle_px(seen.track, LEAD_HIP, TRAIL_HIP)[:, 0], _SHIFT_SMOOTHING_S)
    shift = (x - np.median(x[seen.still_frames()])) * cm_per_px
    return _as_series(seen, shift, np.hypot(_SHIFT_SD_CM, scale_sd * np.abs(shift)), _SHIFT_SHARED_PART)


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


def _scale(seen: SeenSwing, stature_m: float | None) -> tuple[float, float]:
    """Centimetres per pixel at the player and its relative error."""
    stature_px = compute_stature_px(seen.track, seen.still_frames())
    if stature_m is None:
        return USUAL_STATURE_M * 100.0 / stature_px, float(np.hypot(USUAL_STATURE_SD_M / USUAL_STATURE_M, 0.04))
    return stature_m * 100.0 / stature_px, 0.04


def _rise_px(seen: SeenSwing, point: int) -> FloatArray:
    y = _smooth(seen, seen.track.image_px[:, point, 1], _HEEL_SMOOTHING_S)
    rise: FloatArray = np.median(y[seen.still_frames()]) - y
    return rise


def _smooth(seen: SeenSwing, values: FloatArray, sd_s: float) -> FloatArray:
    step_s = float(np.median(np.diff(seen.track.time_s))) * seen.time_scale
    smooth: FloatArray = gaussian_filter1d(values, max(sd_s / step_s, 0.3), mode="nearest")
    return smooth


def _as_series(seen: SeenSwing, value: FloatArray, sd: FloatArray, shared_part: float) -> Series:
    return Series(
        time_s=seen.track.time_s,
        value=value,
        own_sd=sd * np.sqrt(1.0 - shared_part),
        shared_sd=sd * np.sqrt(shared_part),
        is_bound=np.zeros(len(value), bool),
    )
