"""What the coach drew on a clip, as lines over its picture, without Qt."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from review.app.swing_view.body_lines import BodyLine
from review.lesson import Drawing, Handedness
from review.palette import DRAWN
from review.pose.drawings import Points, list_strokes, place_drawing, say_on_picture
from review.pose.track import LandmarkTrack

COLOURS = DRAWN


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
    for stroke in list_strokes(drawing.kind, points_px):
        yield replace(like, points_px=stroke)
    said = say_on_picture(drawing, points_px)
    if said is not None:
        yield replace(like, points_px=(said[1],), words=said[0])
