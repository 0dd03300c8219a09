"""Directions seen from above: what a turn is the difference of."""

import numpy as np

from review.lesson import FloatArray


def seen_from_above_deg(line: FloatArray) -> FloatArray:
    """Direction of a line in space seen from above; how far it tilts up or down does not count.

    Parameters
    ----------
    line : (..., 3) from one end to the other in camera axes: x right, y down, z away from the camera.

    Returns
    -------
    (...) degrees, 0 = to the picture's right, +90 = away from the camera.
    """
    return np.degrees(np.arctan2(line[..., 2], line[..., 0]))
