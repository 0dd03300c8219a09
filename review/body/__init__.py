"""Landmarks to turn, lift and shift over time, with intervals; pure functions on arrays."""

from review.body.bystanders import cover_others
from review.body.camera_setup import (
    CameraPlace,
    CameraSetup,
    TargetDirection,
    TargetStick,
    assume_direction,
    mirror_setup,
    place_camera,
)
from review.body.golfer import as_right_hander, find_view, middle_px
from review.body.head_cover import cover_head
from review.body.holds import Hold, HoldReading, find_address_hold, read_holds
from review.body.measure import AGAINST_TARGET, BodyMeasures, measure_body, read_off
from review.body.player_setup import LineFit, PlayerCorrection, fit_correction
from review.body.scale import compute_stature_px
from review.body.seen import SeenSwing
from review.body.series import Series

__all__ = [
    "AGAINST_TARGET",
    "BodyMeasures",
    "CameraPlace",
    "CameraSetup",
    "Hold",
    "HoldReading",
    "LineFit",
    "PlayerCorrection",
    "SeenSwing",
    "Series",
    "TargetDirection",
    "TargetStick",
    "as_right_hander",
    "assume_direction",
    "compute_stature_px",
    "cover_head",
    "cover_others",
    "find_address_hold",
    "find_view",
    "fit_correction",
    "measure_body",
    "middle_px",
    "mirror_setup",
    "place_camera",
    "read_holds",
    "read_off",
]
