"""Body lines over a picture: one light colour with a dark edge, shoulders and hips heavier."""

import cv2
import numpy as np

from review.charts.looks import INK
from review.lesson import FloatArray
from review.takehome.contents import ClipSide
from review.takehome.looks import Picture

# rows of the detector's landmarks: 11/12 shoulders, 13/14 elbows, 15/16 wrists, 23/24 hips, 25/26 knees, 27/28 ankles,
# 29/30 heels, 31/32 toes
_HEAVY = ((11, 12), (23, 24))
_LIGHT = (
    *((11, 13), (13, 15), (12, 14), (14, 16)),
    *((23, 25), (25, 27), (24, 26), (26, 28)),
    *((29, 31), (30, 32)),
)
_EDGE = (14, 16, 20)
_LONGEST_GAP_S = 0.12
"""Between measured frames further apart than this nothing is drawn: a swing does not run straight that long."""
_SUBPIXEL_BITS = 4


def find_body(side: ClipSide, time_s: float) -> FloatArray | None:
    """Return the landmarks (33, 2) px of the full-size picture at a presentation time, None where unknown.

    Straight lines between measured frames; half a frame beyond the ends the end is held.
    """
    if side.body_time_s is None or side.body_px is None or not len(side.body_time_s):
        return None
    times = side.body_time_s
    after = int(np.searchsorted(times, time_s))
    before = max(after - 1, 0)
    after = min(after, len(times) - 1)
    if before == after or times[after] <= times[before]:
        points: FloatArray = side.body_px[after]
        return points if abs(times[after] - time_s) <= _LONGEST_GAP_S / 2 and np.isfinite(points).any() else None
    if time_s > times[after]:
        return side.body_px[after] if time_s - times[after] <= _LONGEST_GAP_S / 2 else None
    if times[after] - times[before] > _LONGEST_GAP_S:
        return None
    part = (time_s - times[before]) / (times[after] - times[before])
    blend: FloatArray = (1.0 - part) * side.body_px[before] + part * side.body_px[after]
    return blend if np.isfinite(blend).any() else None


def draw_body(picture: Picture, points_px: FloatArray) -> None:
    """Draw the lines between landmarks (33, 2) in the picture's own pixels, in place."""
    unit = picture.shape[0] / 720.0
    middle_top, middle_low = points_px[[11, 12]].mean(axis=0), points_px[[23, 24]].mean(axis=0)
    light = [(points_px[a], points_px[b]) for a, b in _LIGHT] + [(middle_top, middle_low)]
    heavy = [(points_px[a], points_px[b]) for a, b in _HEAVY]
    for colour, extra in ((_EDGE, 2.6), (INK, 0.0)):
        for lines, width in ((light, 2.4), (heavy, 5.0)):
            for start, end in lines:
                _line(picture, start, end, colour, max(1, round((width + extra) * unit)))


def _line(picture: Picture, start: FloatArray, end: FloatArray, colour: tuple[int, int, int], width_px: int) -> None:
    both = np.array([start, end])
    if not np.isfinite(both).all() or np.abs(both).max() > 1e5:
        return
    (x0, y0), (x1, y1) = np.round(both * (1 << _SUBPIXEL_BITS)).astype(int).tolist()
    cv2.line(picture, (x0, y0), (x1, y1), colour, width_px, cv2.LINE_AA, _SUBPIXEL_BITS)
