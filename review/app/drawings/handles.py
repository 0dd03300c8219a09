"""What the coach has in hand, as lines over the picture; without Qt."""

from collections.abc import Iterator

from review.app.drawings.shapes import COLOURS, draw_shape
from review.app.drawings.sketch import Sketch
from review.app.swing_view.body_lines import BodyLine
from review.pose.drawings import Points

_CROSS, _HANDLE = 0.03, 0.012
"""Half sizes, of the picture's height."""


def draw_sketch(sketch: Sketch, accent: int, size: tuple[float, float]) -> tuple[BodyLine, ...]:
    """What would be drawn if the hand set its point now, the points set, and a cross at the hand."""
    colour = COLOURS[accent % len(COLOURS)]
    preview = sketch.preview(accent)
    lines: list[BodyLine] = []
    if preview is not None:
        lines += draw_shape(preview, tuple((x * size[0], y * size[1]) for x, y in preview.points))
    if len(sketch.placed) < 4:  # not along a freehand line
        lines += draw_handles(tuple((x * size[0], y * size[1]) for x, y in sketch.placed), colour, size)
    return (*lines, *_cross(sketch.hand[0] * size[0], sketch.hand[1] * size[1], _CROSS * size[1], colour))


def draw_handles(points: Points, colour: str, size: tuple[float, float]) -> tuple[BodyLine, ...]:
    """Small squares: at the points of a drawing, about a freehand line only at its ends."""
    half = _HANDLE * size[1]
    at = points if len(points) < 4 else (points[0], points[-1])
    corners = ((-half, -half), (half, -half), (half, half), (-half, half), (-half, -half))
    return tuple(BodyLine(tuple((x + dx, y + dy) for dx, dy in corners), colour, 0.8) for x, y in at)


def _cross(x: float, y: float, half: float, colour: str) -> Iterator[BodyLine]:
    # open in the middle, so that what it points at is seen
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        near = (x + 0.25 * half * dx, y + 0.25 * half * dy)
        yield BodyLine((near, (x + half * dx, y + half * dy)), colour, 0.8)
