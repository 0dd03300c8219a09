"""Where the target line runs in the camera's eyes, from a stick that the coach laid along it."""

from dataclasses import dataclass

import numpy as np

from review.lesson import View
from review.pose import LandmarkTrack

# Phones and small cameras see about this far in units of the picture's longer side; used where nothing better is known.
USUAL_FOCAL_PER_LONG_SIDE = 1.2
_DIRECTION_SD_DEG = {View.FACE_ON: 3.0, View.DOWN_THE_LINE: 1.0}
NOMINAL_DIRECTION_DEG = {View.FACE_ON: 0.0, View.DOWN_THE_LINE: 90.0}


@dataclass(frozen=True)
class TargetStick:
    """An alignment stick on the ground along the target line, as marked in the picture (pixels, x right, y down)."""

    length_m: float
    away_from_target_px: tuple[float, float]
    toward_target_px: tuple[float, float]

    def __post_init__(self) -> None:
        if not 0.3 <= self.length_m <= 3.0:
            raise ValueError(f"a stick is 0.3 to 3 m long, got {self.length_m} m")
        if np.hypot(*np.subtract(self.away_from_target_px, self.toward_target_px)) < 5.0:
            raise ValueError("the two ends of the stick are marked at the same place")


@dataclass(frozen=True)
class TargetDirection:
    """Direction of the target line seen from above in camera axes.

    0 = to the picture's right, +90 = away from the camera; ``sd_deg`` is its error; ``is_known`` tells a measured
    direction from an assumed one.
    """

    degrees: float
    sd_deg: float
    is_known: bool


def assume_direction(view: View) -> TargetDirection:
    """Assume a camera set square: the best to be said without a set-up."""
    return TargetDirection(NOMINAL_DIRECTION_DEG[view], 6.0, is_known=False)


def compute_focal_px(track: LandmarkTrack) -> float:
    """Usual focal length of a phone for this picture size, pixels."""
    return USUAL_FOCAL_PER_LONG_SIDE * max(track.width_px, track.height_px)


def mirror_stick(stick: TargetStick, width_px: int) -> TargetStick:
    """Return the stick as seen in the mirrored picture of a left-hander."""
    return TargetStick(
        stick.length_m,
        (width_px - 1 - stick.away_from_target_px[0], stick.away_from_target_px[1]),
        (width_px - 1 - stick.toward_target_px[0], stick.toward_target_px[1]),
    )


def compute_target_direction(stick: TargetStick, track: LandmarkTrack, view: View) -> TargetDirection:
    """Compute the target line's direction in camera axes from the stick on the ground.

    A ground point at image row y lies at depth f h / (y - y0), with y0 the horizon's row and h the camera's height; h
    cancels in a direction. The camera is taken as level (horizon at mid-height), its focal length as usual. Pinhole
    geometry; seen errors: docs/accuracy.md (face-on the stick runs across the picture, so that each degree
    of camera roll turns the result by about four).
    """
    focal = compute_focal_px(track)
    horizon = track.height_px / 2
    ends = np.array([stick.away_from_target_px, stick.toward_target_px])
    below = ends[:, 1] - horizon
    if np.any(below < 0.02 * track.height_px):
        return assume_direction(view)
    side = (ends[:, 0] - track.width_px / 2) / below
    depth = focal / below
    degrees = float(np.degrees(np.arctan2(depth[1] - depth[0], side[1] - side[0])))
    off = (degrees - NOMINAL_DIRECTION_DEG[view] + 180.0) % 360.0 - 180.0
    if abs(off) > 30.0:
        return assume_direction(view)
    return TargetDirection(degrees, _DIRECTION_SD_DEG[view], is_known=True)
