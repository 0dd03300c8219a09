"""A right-handed picture of every player, and the body's size in the picture."""

from dataclasses import replace

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray, Handedness, View
from review.pose import Landmark, LandmarkTrack, mirror_track

LEAD_SHOULDER, TRAIL_SHOULDER = Landmark.LEFT_SHOULDER, Landmark.RIGHT_SHOULDER
LEAD_WRIST, TRAIL_WRIST = Landmark.LEFT_WRIST, Landmark.RIGHT_WRIST
LEAD_HIP, TRAIL_HIP = Landmark.LEFT_HIP, Landmark.RIGHT_HIP
LEAD_ANKLE, TRAIL_ANKLE = Landmark.LEFT_ANKLE, Landmark.RIGHT_ANKLE
LEAD_HEEL, TRAIL_HEEL = Landmark.LEFT_HEEL, Landmark.RIGHT_HEEL
TRAIL_TOE = Landmark.RIGHT_TOE

USUAL_STATURE_M = 1.74
USUAL_STATURE_SD_M = 0.08
_LEAST_SEEN = 0.5


def as_right_hander(track: LandmarkTrack, handedness: Handedness) -> LandmarkTrack:
    """Return the track as a right-hander's (a left-hander is mirrored) with short gaps filled.

    From here on left is lead. Frames without a person are filled by straight lines between their neighbours.

    Raises
    ------
    BadInputError
        When a person was found on less than half of the frames.
    """
    seen = track.is_seen
    if seen.mean() < _LEAST_SEEN:
        raise BadInputError(
            f"A person was found on {seen.sum()} of {len(seen)} frames; expected most of them. "
            "Film the whole body, from head to feet, in good light, and measure again."
        )
    filled = replace(
        track,
        image_px=_fill(track.time_s, track.image_px, seen),
        world_m=_fill(track.time_s, track.world_m, seen),
    )
    return mirror_track(filled) if handedness is Handedness.LEFT else filled


def _fill(time_s: FloatArray, values: FloatArray, seen: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> FloatArray:
    if seen.all():
        return values
    flat = values.reshape(len(values), -1)
    columns = [np.interp(time_s, time_s[seen], flat[seen, i]) for i in range(flat.shape[1])]
    return np.stack(columns, axis=1).reshape(values.shape)


def middle_px(track: LandmarkTrack, first: int, second: int) -> FloatArray:
    """(n, 2) image point midway between two landmarks, pixels."""
    return np.asarray(track.image_px[:, [first, second], :2].mean(axis=1))


def find_view(track: LandmarkTrack) -> tuple[View, float]:
    """Find from where the camera looks, with a certainty 0..1, from the first quarter of the clip.

    At address shoulders and hips are wide in the picture face-on and narrow down the line, measured against the
    trunk's length. Works for either hand. Widths seen on rendered players: docs/accuracy.md.
    """
    early = slice(0, max(3, len(track.time_s) // 4))
    trunk = np.linalg.norm(
        middle_px(track, LEAD_SHOULDER, TRAIL_SHOULDER) - middle_px(track, LEAD_HIP, TRAIL_HIP), axis=1
    )
    shoulders = np.abs(track.image_px[:, LEAD_SHOULDER, 0] - track.image_px[:, TRAIL_SHOULDER, 0])
    hips = np.abs(track.image_px[:, LEAD_HIP, 0] - track.image_px[:, TRAIL_HIP, 0])
    width = float(np.median(((shoulders + hips) / trunk)[early]))
    certainty = float(np.clip(0.5 + abs(width - _BETWEEN_VIEWS) / _BETWEEN_VIEWS, 0.0, 1.0))
    return (View.FACE_ON if width > _BETWEEN_VIEWS else View.DOWN_THE_LINE), certainty


_BETWEEN_VIEWS = 0.62
