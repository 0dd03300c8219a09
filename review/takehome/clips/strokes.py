"""Lines drawn into a picture so that they stand out from any ground."""

from collections.abc import Iterable
from functools import cache

import cv2
import numpy as np

from review.lesson import FloatArray
from review.media import Planes, to_planes
from review.palette import Rgb

EDGE: Rgb = (14, 16, 20)
_EDGE_PX = 1.3
"""Dark rim on either side of a line, at 720 lines of picture."""
_BITS = 4
_DASH, _GAP = 4.0, 3.0
"""In widths of the line."""
_FARTHEST_PX = 1e5


def draw_strokes(
    picture: Planes,
    strokes: Iterable[FloatArray],
    colour: Rgb,
    width_px: float,
    is_dashed: bool = False,
    is_filled: bool = False,
) -> None:
    """Draw lines through points (n, 2), x right and y down in pixels, in place; unknown points break a line off."""
    lines = [line for stroke in strokes for line in _known_parts(stroke)]
    if is_dashed:
        lines = [dash for line in lines for dash in cut_dashes(line, width_px)]
    if not lines:
        return
    edge = 2 * _EDGE_PX * picture.y.shape[0] / 720
    # the middle of the first pixel is 0: at half size it lies a quarter of a pixel away
    full, half = (
        [np.round((((line + 0.5) * scale) - 0.5) * (1 << _BITS)).astype(np.int32) for line in lines]
        for scale in (1.0, 0.5)
    )
    for level, width in ((EDGE, width_px + edge), (colour, width_px)):
        for part, scale, value in zip(picture.parts, (1.0, 0.5, 0.5), _in_planes(level), strict=True):
            points = full if scale == 1.0 else half
            if is_filled:
                cv2.fillPoly(part, points, value, cv2.LINE_AA, _BITS)
            cv2.polylines(part, points, is_filled, value, max(1, round(width * scale)), cv2.LINE_AA, _BITS)


@cache
def _in_planes(colour: Rgb) -> tuple[float, float, float]:
    y, u, v = (float(part[0, 0]) for part in to_planes(np.full((2, 2, 3), colour, np.uint8)).parts)
    return y, u, v


def _known_parts(stroke: FloatArray) -> list[FloatArray]:
    known = np.asarray((np.abs(stroke) < _FARTHEST_PX).all(axis=1))
    if known.all():
        return [stroke] if len(stroke) > 1 else []
    parts = np.split(np.arange(len(stroke)), np.flatnonzero(np.diff(known)) + 1)
    return [stroke[part] for part in parts if known[part[0]] and len(part) > 1]


def cut_dashes(line: FloatArray, width_px: float, gap: float = _GAP) -> list[FloatArray]:
    """Cut a line into dashes, ``gap`` widths apart; one goes round a corner."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    starts = np.arange(0.0, along[-1], (_DASH + gap) * width_px)
    dashes = []
    for start in starts.tolist():
        end = min(start + _DASH * width_px, along[-1])
        at = np.concatenate([[start], along[(along > start) & (along < end)], [end]])
        dashes.append(np.column_stack([np.interp(at, along, line[:, 0]), np.interp(at, along, line[:, 1])]))
    return dashes
