"""What the response of the detector is learnt from: the posture of a frame beside the posture at address."""

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray, View
from review.pose import Landmark as L
from review.pose import LandmarkTrack

_POSTURE = (
    L.NOSE, L.LEFT_EAR, L.RIGHT_EAR, L.LEFT_SHOULDER, L.RIGHT_SHOULDER, L.LEFT_ELBOW, L.RIGHT_ELBOW, L.LEFT_WRIST,
    L.RIGHT_WRIST, L.LEFT_HIP, L.RIGHT_HIP, L.LEFT_KNEE, L.RIGHT_KNEE, L.LEFT_ANKLE, L.RIGHT_ANKLE, L.LEFT_HEEL,
    L.RIGHT_HEEL, L.LEFT_TOE, L.RIGHT_TOE,
)  # fmt: skip
_MOVED = (
    L.NOSE, L.LEFT_SHOULDER, L.RIGHT_SHOULDER, L.LEFT_HIP, L.RIGHT_HIP, L.LEFT_KNEE, L.RIGHT_KNEE, L.LEFT_ANKLE,
    L.RIGHT_ANKLE, L.LEFT_HEEL, L.RIGHT_HEEL, L.LEFT_TOE, L.RIGHT_TOE,
)  # fmt: skip
_ANKLES = [L.LEFT_ANKLE, L.RIGHT_ANKLE]


def compute_posture(image_px: FloatArray, world_m: FloatArray) -> FloatArray:
    """Compute a posture free of place and size.

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
    used = list(_POSTURE)
    n = len(image_px)
    xy, z = image[:, used, :2] / size, image[:, used, 2:] / size
    return np.concatenate([xy.reshape(n, -1), z.reshape(n, -1), world_m[:, used].reshape(n, -1)], axis=1)


def compute_turn_inputs(image_px: FloatArray, world_m: FloatArray, still: slice | None) -> FloatArray:
    """Inputs of the turn response: posture, median posture of the still frames at address, and whether there is one.

    Returns
    -------
    (n, 229); with ``still`` None the second posture is NaN, which the learnt response takes for "not known".
    """
    posture = compute_posture(image_px, world_m)
    at_address = np.full(posture.shape[1], np.nan) if still is None else np.median(posture[still], axis=0)
    known = np.full((len(posture), 1), 0.0 if still is None else 1.0)
    return np.concatenate([posture, np.tile(at_address, (len(posture), 1)), known], axis=1)


def arm_inputs() -> NDArray[np.intp]:
    """Which of the inputs of the turn response come from elbows and wrists."""
    arms = np.isin(_POSTURE, (L.LEFT_ELBOW, L.RIGHT_ELBOW, L.LEFT_WRIST, L.RIGHT_WRIST))
    posture = np.concatenate([np.repeat(arms, 2), arms, np.repeat(arms, 3)])
    return np.flatnonzero(np.tile(posture, 2))


def compute_move_inputs(image_px: FloatArray, world_m: FloatArray, still: slice, stature_px: float) -> FloatArray:
    """Inputs of the hip-shift response: how far points moved since address, and the posture at address.

    Returns
    -------
    (n, 91): image x, y moved since address, then x, y from mid-ankle at address, as parts of the stature; then world
    x, y, z moved since address, metres.
    """
    used = list(_MOVED)
    n = len(image_px)
    xy = image_px[..., :2] / stature_px
    at_address = np.median(xy[still], axis=0)
    moved = (xy - at_address)[:, used].reshape(n, -1)
    stance = (at_address[used] - at_address[_ANKLES].mean(axis=0)).reshape(1, -1)
    world_moved = (world_m - np.median(world_m[still], axis=0))[:, used].reshape(n, -1)
    return np.concatenate([moved, np.tile(stance, (n, 1)), world_moved], axis=1)


def compute_heel_inputs(image_px: FloatArray, still: slice, stature_px: float, view: View) -> FloatArray:
    """Compute what the heel lift is a weighted sum of: how the trail leg moves in the picture.

    Returns
    -------
    (n, 5) face-on, parts of the stature: rises since address (+ up) of trail heel, ankle, toe and knee and of the lead
    foot. The lead foot stands, mostly: what it does is the picture's or the detector's movement.
    (n, 20) down the line: these; the same points' movements to the picture's right; ten times the rises by where the
    heel lies from the toe at address, to the right and up, since a foot that points at the camera comes nearer to it as
    it rolls over its toe.
    """
    xy = image_px[..., :2] / stature_px * [1.0, -1.0]
    at_address = np.median(xy[still], axis=0)
    moved = xy - at_address
    lead_foot = moved[:, [L.LEFT_ANKLE, L.LEFT_HEEL, L.LEFT_TOE]].mean(axis=1, keepdims=True)
    points = np.concatenate([moved[:, [L.RIGHT_HEEL, L.RIGHT_ANKLE, L.RIGHT_TOE, L.RIGHT_KNEE]], lead_foot], axis=1)
    right, up = points[..., 0], points[..., 1]
    if view is View.FACE_ON:
        return np.asarray(up)
    heel_from_toe = 10.0 * (at_address[L.RIGHT_HEEL] - at_address[L.RIGHT_TOE])
    return np.concatenate([up, right, heel_from_toe[0] * up, heel_from_toe[1] * up], axis=1)


def compute_hips_moved(image_px: FloatArray, still: slice, stature_px: float) -> FloatArray:
    """(n,) movement of mid-hip since address to the picture's right (toward the target, face-on), parts of stature."""
    x = image_px[:, [L.LEFT_HIP, L.RIGHT_HIP], 0].mean(axis=1) / stature_px
    return np.asarray(x - np.median(x[still]))


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
