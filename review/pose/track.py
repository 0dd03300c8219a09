"""The landmarks of one clip, checked at their border."""

import math
from dataclasses import dataclass, replace
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray

N_LANDMARKS = 33


class Landmark(IntEnum):
    """Rows of a track that the tool uses; left and right are the person's own."""

    NOSE = 0
    LEFT_EAR = 7
    RIGHT_EAR = 8
    LEFT_SHOULDER = 11
    RIGHT_SHOULDER = 12
    LEFT_ELBOW = 13
    RIGHT_ELBOW = 14
    LEFT_WRIST = 15
    RIGHT_WRIST = 16
    LEFT_HIP = 23
    RIGHT_HIP = 24
    LEFT_KNEE = 25
    RIGHT_KNEE = 26
    LEFT_ANKLE = 27
    RIGHT_ANKLE = 28
    LEFT_HEEL = 29
    RIGHT_HEEL = 30
    LEFT_TOE = 31
    RIGHT_TOE = 32


# Row i of a mirrored person is row MIRRORED[i] of the original: left and right change places.
MIRRORED = np.array(
    [0, 4, 5, 6, 1, 2, 3, 8, 7, 10, 9, 12, 11, 14, 13, 16, 15, 18, 17, 20, 19, 22, 21, 24, 23, 26, 25, 28, 27, 30, 29]
    + [32, 31]
)


@dataclass(frozen=True, eq=False)
class LandmarkTrack:
    """Landmarks of one clip; row i of every array is one measured frame.

    time_s : (n,) presentation times, seconds, increasing.
    image_px : (n, 33, 3) x right, y down in pixels of the upright picture; z in the same scale, away from the
        camera, relative to the hips; NaN where nobody was found.
    world_m : (n, 33, 3) the detector's own metric guess: metres, origin at the hips, x right, y down, z away from the
        camera; NaN where nobody was found.
    visibility : (n, 33) 0..1.
    model, mode : which weights, and how they were run.
    contrast : how clearly the person stands out, grey levels 0..255 (``measure_contrast``); NaN where not known.
    """

    time_s: FloatArray
    image_px: FloatArray
    world_m: FloatArray
    visibility: FloatArray
    width_px: int
    height_px: int
    model: str
    mode: str
    contrast: float = math.nan

    def __post_init__(self) -> None:
        n = len(self.time_s)
        for name, shape in (
            ("time_s", (n,)),
            ("image_px", (n, N_LANDMARKS, 3)),
            ("world_m", (n, N_LANDMARKS, 3)),
            ("visibility", (n, N_LANDMARKS)),
        ):
            got = getattr(self, name).shape
            if got != shape:
                raise ValueError(f"{name} must have shape {shape}, got {got}")
        if n > 1 and not np.all(np.diff(self.time_s) > 0):
            raise ValueError("time_s must increase from frame to frame")
        if self.width_px <= 0 or self.height_px <= 0:
            raise ValueError(f"picture size must be positive, got {self.width_px} x {self.height_px}")

    @property
    def is_seen(self) -> NDArray[np.bool_]:
        """(n,) whether a person was found on the frame."""
        return np.asarray(np.isfinite(self.image_px).all(axis=(1, 2)))


def mirror_track(track: LandmarkTrack) -> LandmarkTrack:
    """Return the track of the same person in a mirror: x reversed, left and right exchanged.

    A left-hander in a mirror is a right-hander, so everything downstream knows one hand only.
    """
    image = track.image_px[:, MIRRORED].copy()
    image[..., 0] = track.width_px - 1 - image[..., 0]
    world = track.world_m[:, MIRRORED].copy()
    world[..., 0] = -world[..., 0]
    return replace(track, image_px=image, world_m=world, visibility=track.visibility[:, MIRRORED].copy())


def average_tracks(first: LandmarkTrack, second: LandmarkTrack, mode: str) -> LandmarkTrack:
    """Average two tracks of the same frames; where only one saw the person, that one counts.

    Raises
    ------
    ValueError
        When the two do not cover the same frames.
    """
    if not np.array_equal(first.time_s, second.time_s):
        raise ValueError("only tracks of the same frames can be averaged")

    def mean(a: FloatArray, b: FloatArray) -> FloatArray:
        both = (a + b) / 2
        result: FloatArray = np.where(np.isnan(both), np.where(np.isnan(a), b, a), both)
        return result

    return replace(
        first,
        image_px=mean(first.image_px, second.image_px),
        world_m=mean(first.world_m, second.world_m),
        visibility=mean(first.visibility, second.visibility),
        mode=mode,
    )


def spread_over(track: LandmarkTrack, time_s: FloatArray) -> LandmarkTrack:
    """Return the track on other times by straight lines between its frames; NaN stays NaN, ends are held."""

    def spread(values: FloatArray) -> FloatArray:
        flat = values.reshape(len(values), -1)
        columns = [np.interp(time_s, track.time_s, flat[:, i]) for i in range(flat.shape[1])]
        return np.stack(columns, axis=1).reshape((len(time_s), *values.shape[1:]))

    return replace(
        track,
        time_s=time_s,
        image_px=spread(track.image_px),
        world_m=spread(track.world_m),
        visibility=spread(track.visibility),
    )
