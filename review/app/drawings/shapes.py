"""What the coach drew on a clip, as lines over its picture, without Qt."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from review.app.drawings.following import Points, measure_angle_deg, place_drawing
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
    """Lines and words of the drawings that are on at a presentation time, in pixels of the original.

    One tied to a body point follows it on ``track``; every second accent is dashed.
    """
    return tuple(
        line
        for drawing in drawings
        if (points := place_drawing(drawing, time_s, size_px, track, handedness))
        for line in draw_shape(drawing, points)
    )


def draw_shape(drawing: Drawing, points_px: Points) -> Iterator[BodyLine]:
    """Lines and words of one drawing whose points lie there."""
    like = BodyLine((), COLOURS[drawing.accent % len(COLOURS)], 1.2, is_dashed=drawing.accent % 2 == 1)
    for stroke in _strokes(drawing.kind, list(points_px)):
        yield replace(like, points_px=tuple(stroke))
    angle_deg = measure_angle_deg(drawing.kind, points_px)
    if angle_deg is not None:
        yield replace(like, points_px=points_px[1:2], words=f"{angle_deg:.0f}°")
    elif drawing.kind is DrawingKind.TEXT:
        yield replace(like, points_px=points_px[:1], words=drawing.text)


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
