"""What the coach drew on a clip, as lines over its picture, without Qt."""

import math
from collections.abc import Iterator, Sequence

from review.app.drawings.following import place_drawing
from review.app.swing_view.body_lines import BodyLine
from review.lesson import Drawing, DrawingKind, Handedness
from review.pose.track import LandmarkTrack

COLOURS = ("#7FD6E8", "#F0C94A", "#E8A0C8", "#F2F1EC")
"""The accents of drawings; every second one is dashed as well, so that colour alone tells nothing."""
_CORNERS = 48


def draw_shapes(
    drawings: Sequence[Drawing],
    time_s: float,
    size_px: tuple[float, float],
    track: LandmarkTrack | None = None,
    handedness: Handedness = Handedness.RIGHT,
) -> tuple[BodyLine, ...]:
    """Lines of the drawings that are on at a presentation time, in pixels of the original; texts are not lines.

    One tied to a body point follows it on ``track``; every second accent is dashed.
    """
    return tuple(
        BodyLine(tuple(stroke), COLOURS[drawing.accent % len(COLOURS)], 1.2, is_dashed=drawing.accent % 2 == 1)
        for drawing in drawings
        if (points := place_drawing(drawing, time_s, size_px, track, handedness))
        for stroke in _strokes(drawing.kind, list(points))
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
