"""What the response model sees of one frame: the posture, free of place and size."""

import numpy as np

from review.lesson import FloatArray
from review.pose import Landmark as L
from review.pose import LandmarkTrack

_USED = (
    L.NOSE, L.LEFT_EAR, L.RIGHT_EAR, L.LEFT_SHOULDER, L.RIGHT_SHOULDER, L.LEFT_ELBOW, L.RIGHT_ELBOW, L.LEFT_WRIST,
    L.RIGHT_WRIST, L.LEFT_HIP, L.RIGHT_HIP, L.LEFT_KNEE, L.RIGHT_KNEE, L.LEFT_ANKLE, L.RIGHT_ANKLE, L.LEFT_HEEL,
    L.RIGHT_HEEL, L.LEFT_TOE, L.RIGHT_TOE,
)  # fmt: skip
N_FEATURES = len(_USED) * 6


def compute_features(image_px: FloatArray, world_m: FloatArray) -> FloatArray:
    """Compute the model's input from landmarks.

    Parameters
    ----------
    image_px : (n, 33, 3) as in ``LandmarkTrack``.
    world_m : (n, 33, 3) as in ``LandmarkTrack``.

    Returns
    -------
    (n, 114): image x, y and z from mid-hip as parts of trunk plus leg length, then world x, y, z in metres.
    """
    image = image_px - image_px[:, [L.LEFT_HIP, L.RIGHT_HIP]].mean(axis=1, keepdims=True)
    size = _trunk_and_leg_px(image_px[..., :2])[:, None, None]
    used = list(_USED)
    n = len(image_px)
    xy, z = image[:, used, :2] / size, image[:, used, 2:] / size
    return np.concatenate([xy.reshape(n, -1), z.reshape(n, -1), world_m[:, used].reshape(n, -1)], axis=1)


def compute_bearing_deg(track: LandmarkTrack, focal_px: float) -> FloatArray:
    """(n,) direction of the trunk from the camera's axis, degrees, positive = right half of the picture."""
    x = track.image_px[:, [L.LEFT_SHOULDER, L.RIGHT_SHOULDER, L.LEFT_HIP, L.RIGHT_HIP], 0].mean(axis=1)
    return np.asarray(np.degrees(np.arctan((x - track.width_px / 2) / focal_px)))


def _trunk_and_leg_px(xy: FloatArray) -> FloatArray:
    def length(a: int, b: int) -> FloatArray:
        return np.asarray(np.linalg.norm(xy[:, a] - xy[:, b], axis=-1))

    shoulders = xy[:, [L.LEFT_SHOULDER, L.RIGHT_SHOULDER]].mean(axis=1)
    hips = xy[:, [L.LEFT_HIP, L.RIGHT_HIP]].mean(axis=1)
    legs = length(L.LEFT_HIP, L.LEFT_KNEE) + length(L.RIGHT_HIP, L.RIGHT_KNEE)
    legs = legs + length(L.LEFT_KNEE, L.LEFT_ANKLE) + length(L.RIGHT_KNEE, L.RIGHT_ANKLE)
    return np.asarray(np.linalg.norm(shoulders - hips, axis=-1)) + legs / 2
