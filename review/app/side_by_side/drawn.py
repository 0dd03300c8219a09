"""What the coach drew on a clip, as lines over its picture, without Qt."""

import math
from collections.abc import Iterator, Sequence

from review.app.swing_view.body_lines import BodyLine
from review.lesson import Drawing, DrawingKind

COLOUR = "#7FD6E8"
_CORNERS = 48


def draw_shapes(drawings: Sequence[Drawing], time_s: float, width_px: float, height_px: float) -> tuple[BodyLine, ...]:
    """Lines of the drawings that are on at a presentation time, in pixels of the original; texts are not lines."""
    return tuple(
        BodyLine(tuple(points), COLOUR, 1.2)
        for drawing in drawings
        if drawing.start_s <= time_s <= drawing.end_s
        for points in _strokes(drawing.kind, [(x * width_px, y * height_px) for x, y in drawing.points])
    )


def _strokes(kind: DrawingKind, points: list[tuple[float, float]]) -> Iterator[list[tuple[float, float]]]:
    if kind is DrawingKind.CIRCLE:
        (x, y), rim = points
        radius = math.dist((x, y), rim)
        turns = [2 * math.pi * i / _CORNERS for i in range(_CORNERS + 1)]
        yield [(x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns]
    elif kind is not DrawingKind.TEXT:
        yield points
        if kind is DrawingKind.ARROW:
            yield _barbs(*points)


def _barbs(start: tuple[float, float], end: tuple[float, float]) -> list[tuple[float, float]]:
    back = math.atan2(start[1] - end[1], start[0] - end[0])
    long = 0.25 * math.dist(start, end)
    one, other = (
        (end[0] + long * math.cos(back + turn), end[1] + long * math.sin(back + turn)) for turn in (-0.45, 0.45)
    )
    return [one, end, other]
