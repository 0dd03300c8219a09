"""Landmarks to turn, lift and shift over time, with intervals; pure functions on arrays."""

from review.body.camera_setup import (
    TargetDirection,
    TargetStick,
    assume_direction,
    compute_target_direction,
    mirror_stick,
)
from review.body.golfer import as_right_hander, compute_stature_px, find_view, middle_px
from review.body.measure import AGAINST_TARGET, BodyMeasures, measure_body, read_off
from review.body.seen import SeenSwing
from review.body.series import Series

__all__ = [
    "AGAINST_TARGET",
    "BodyMeasures",
    "SeenSwing",
    "Series",
    "TargetDirection",
    "TargetStick",
    "as_right_hander",
    "assume_direction",
    "compute_stature_px",
    "compute_target_direction",
    "find_view",
    "measure_body",
    "middle_px",
    "mirror_stick",
    "read_off",
]
