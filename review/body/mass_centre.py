"""How high the body's centre of mass is over time, from landmarks: what the force under the feet follows."""

import numpy as np

from review.lesson import FloatArray
from review.pose import Landmark, LandmarkTrack

_HEAD, _TRUNK = 0.081, 0.497
_LIMBS = (
    ("SHOULDER", "ELBOW", 0.028, 0.436),
    ("ELBOW", "WRIST", 0.022, 0.682),
    ("HIP", "KNEE", 0.100, 0.433),
    ("KNEE", "ANKLE", 0.0465, 0.433),
    ("HEEL", "TOE", 0.0145, 0.5),
)
"""From, to, part of the body's mass, where its centre lies on the way: Winter, Biomechanics and Motor Control of Human
Movement (after Dempster 1955), from memory; forearm and hand are one."""


def find_mass_height(track: LandmarkTrack) -> FloatArray:
    """Height of the body's centre of mass in the picture.

    Parameters
    ----------
    track : landmarks of one clip, either hand, either view; frames without a person are NaN.

    Returns
    -------
    (n,) pixels, + up, from the upper edge of the picture; its size is the picture's, so that only its course over time
    is of use.
    """
    y = track.image_px[:, :, 1]

    def at(name: str) -> FloatArray:
        found: FloatArray = y[:, Landmark[name]]
        return found

    hips, shoulders = ((at(f"LEFT_{joint}") + at(f"RIGHT_{joint}")) / 2 for joint in ("HIP", "SHOULDER"))
    total = _HEAD * at("NOSE") + _TRUNK * (hips + shoulders) / 2
    mass = _HEAD + _TRUNK
    for side in ("LEFT", "RIGHT"):
        for near, far, share, along in _LIMBS:
            total = total + share * ((1 - along) * at(f"{side}_{near}") + along * at(f"{side}_{far}"))
            mass += share
    height: FloatArray = -np.asarray(total) / mass
    return height
