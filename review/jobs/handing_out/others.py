"""Looks through a clip for others than the player, to cover their faces."""

import math

import numpy as np

from review.body import cover_others
from review.lesson import FloatArray
from review.media import VideoSource, probe_video, read_frames
from review.pose import LandmarkTrack, open_finder

_EVERY_S = 0.25
_HEIGHT_PX = 1280


def find_others(source: VideoSource, track: LandmarkTrack, time_scale: float) -> FloatArray:
    """Return ellipses (n_frames, k, 5) over the heads of all but the player, as :func:`review.body.cover_others`.

    Raises
    ------
    BadInputError, MachineError
        The clip cannot be read, or the pose library is missing.
    """
    info = probe_video(source)
    step = max(1, math.floor(_EVERY_S * info.frame_rate_hz / time_scale))
    found = []
    with open_finder() as finder:
        for frame in read_frames(info, step=step, max_height_px=_HEIGHT_PX):
            scale = np.array([info.width_px / frame.rgb.shape[1], info.height_px / frame.rgb.shape[0]])
            found.append((frame.index, finder.find(frame.rgb) * scale))
    return cover_others(found, track, time_scale)
