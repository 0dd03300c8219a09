"""Centimetres per pixel at the player's feet."""

from dataclasses import dataclass

import numpy as np

from review.body.golfer import LEAD_ANKLE, TRAIL_ANKLE, USUAL_STATURE_M, USUAL_STATURE_SD_M, find_view, middle_px
from review.lesson import FloatArray, View
from review.pose import Landmark, LandmarkTrack

# Nose over mid-ankle in the picture as a part of stature and its scatter, on rendered players in golf posture seen from
# cameras 0.6 to 1.7 m high; face-on the forward bend shortens it.
_NOSE_TO_ANKLE = {View.FACE_ON: (0.712, 0.04), View.DOWN_THE_LINE: (0.735, 0.02)}


@dataclass(frozen=True)
class Scale:
    """Size of a pixel at the player's feet, and the relative error of it (one standard deviation)."""

    cm_per_px: float
    relative_sd: float


@dataclass(frozen=True)
class PlayerInPicture:
    """The player at address: middle of the ankles, standing height in pixels and its relative error."""

    ankles_px: tuple[float, float]
    stature_px: float
    stature_px_sd: float


def find_player(track: LandmarkTrack, view: View, still: slice) -> PlayerInPicture:
    """Find place and size of the player on the still frames before the swing."""
    ratio, sd = _NOSE_TO_ANKLE[view]
    x, y = np.median(middle_px(track, LEAD_ANKLE, TRAIL_ANKLE)[still], axis=0)
    return PlayerInPicture((float(x), float(y)), measure_stature_px(track.image_px[still], view), sd / ratio)


def compute_stature_px(track: LandmarkTrack, still: slice) -> float:
    """Standing height in pixels on still frames of a right-hander's track whose view need not be known."""
    return measure_stature_px(track.image_px[still], find_view(track)[0])


def measure_stature_px(image_px: FloatArray, view: View) -> float:
    """Standing height in pixels from nose over mid-ankle on still frames, (n, 33, 2 or 3)."""
    ankles = image_px[:, [LEAD_ANKLE, TRAIL_ANKLE], :2].mean(axis=1)
    nose_to_ankle = np.linalg.norm(image_px[:, Landmark.NOSE, :2] - ankles, axis=1)
    return float(np.median(nose_to_ankle)) / _NOSE_TO_ANKLE[view][0]


def scale_from_stature(player: PlayerInPicture, stature_m: float | None) -> Scale:
    """Scale from the player's height; from a usual height when it is not known."""
    known = USUAL_STATURE_M if stature_m is None else stature_m
    stature_sd = USUAL_STATURE_SD_M if stature_m is None else 0.01
    return Scale(known * 100.0 / player.stature_px, float(np.hypot(player.stature_px_sd, stature_sd / known)))
