"""Points of the body of one clip in millimetres, at an even rate."""

from dataclasses import dataclass, replace

import numpy as np

from review.lesson import FloatArray

_MOST_UNEVEN = 0.25
"""A clip whose pictures lie within a quarter of a step of an even beat counts as even."""


@dataclass(frozen=True, eq=False)
class PointsOfClip:
    """What one camera saw of one swing.

    Axes: X to the picture's right, Y away from the camera, Z up, right-handed; origin on the ground between the
    ankles at address. X and Z are seen; Y is the detector's guess, not measured.

    time_s : (n,) true seconds, increasing.
    xyz_mm : (n, p, 3); NaN where nobody was found.
    confidence : (n, p) 0..1, the detector's own.
    labels, descriptions : of the p points, with lead and trail.
    events : key frames, as name and true seconds on the scale of ``time_s``, and where they come from.
    toward_target : which way along X the target lies: '+X', '-X', or 'Y' (the camera looks along the line).
    scale_relative_sd : relative error of all lengths, one standard deviation.
    """

    file_name: str
    view: str
    time_s: FloatArray
    xyz_mm: FloatArray
    confidence: FloatArray
    labels: tuple[str, ...]
    descriptions: tuple[str, ...]
    events: tuple[tuple[str, float, str], ...]
    toward_target: str
    scale_relative_sd: float
    model: str


def make_even(points: PointsOfClip) -> tuple[PointsOfClip, float, bool]:
    """Return the points at an even rate, that rate (pictures a true second) and whether they had to be laid anew.

    Between two pictures by straight lines; what lies beside a gap is a gap.
    """
    n = len(points.time_s)
    if n < 2:
        raise ValueError("points at a rate need two pictures or more")
    step_s = (points.time_s[-1] - points.time_s[0]) / (n - 1)
    beat_s = points.time_s[0] + step_s * np.arange(n)
    if np.abs(points.time_s - beat_s).max() <= _MOST_UNEVEN * step_s:
        return points, 1.0 / step_s, False
    right = np.clip(np.searchsorted(points.time_s, beat_s), 1, n - 1)
    left = right - 1
    part = (beat_s - points.time_s[left]) / (points.time_s[right] - points.time_s[left])

    def lay(values: FloatArray) -> FloatArray:
        share = part.reshape(-1, *(1,) * (values.ndim - 1))
        between = values[left] + share * (values[right] - values[left])
        # on a picture its own value counts, whatever its neighbour is
        exact = np.where(share <= 0.0, values[left], np.where(share >= 1.0, values[right], between))
        return np.asarray(exact)

    even = replace(points, time_s=beat_s, xyz_mm=lay(points.xyz_mm), confidence=lay(points.confidence))
    return even, 1.0 / step_s, True
