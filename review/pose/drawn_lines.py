"""The body and what the coach drew as lines over a picture, the same in the window and in a talk's video.

Lead and trail side are told by the stroke, not by red and green.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from review.lesson import Drawing, FloatArray, Handedness
from review.palette import DRAWN
from review.pose.drawings import LEAST_VISIBLE, Points, list_strokes, place_drawing, say_on_picture
from review.pose.track import LandmarkTrack

LINE_COLOUR = "#F2F1EC"
TURN_COLOUR = "#F0C94A"
"""Hips and shoulders, the two lines that the numbers are about."""

# pairs of one side, as the detector counts them: (left, right)
_LIMBS = (((11, 12), (13, 14), (15, 16)), ((23, 24), (25, 26), (27, 28)), ((27, 28), (29, 30), (31, 32), (27, 28)))
_ACROSS = ((11, 12), (23, 24))
_TRUNK = ((11, 12), (23, 24))


@dataclass(frozen=True)
class BodyLine:
    """A line through points (x, y) in pixels of the original as displayed; ``width`` 1 is a plain one.

    ``words`` are written beside its only point: writing has no line of its own.
    """

    points_px: tuple[tuple[float, float], ...]
    colour: str = LINE_COLOUR
    width: float = 1.0
    is_dashed: bool = False
    words: str = ""


def draw_body(track: LandmarkTrack, frame: int, handedness: Handedness) -> tuple[BodyLine, ...]:
    """Draw the body on a frame: the lead side solid, the trail side dashed, hips and shoulders broad.

    What was not seen is left out; frames outside the track give nothing.
    """
    if not 0 <= frame < len(track.time_s):
        return ()
    points, seen = track.image_px[frame], track.visibility[frame]
    return tuple(_lines(points, seen, handedness is Handedness.LEFT))


def _lines(points: FloatArray, seen: FloatArray, is_left_handed: bool) -> Iterator[BodyLine]:
    # a right-hander's lead side is the left one
    for side, is_trail in ((0, is_left_handed), (1, not is_left_handed)):
        chains = [[pair[side] for pair in chain] for chain in _LIMBS] + [[pair[side] for pair in _TRUNK]]
        for chain in chains:
            for first, second in zip(chain, chain[1:], strict=False):
                yield from _line(points, seen, first, second, BodyLine((), is_dashed=is_trail))
    for left, right in _ACROSS:
        yield from _line(points, seen, left, right, BodyLine((), TURN_COLOUR, 1.8))


def _line(points: FloatArray, seen: FloatArray, first: int, second: int, like: BodyLine) -> Iterator[BodyLine]:
    ends = points[[first, second], :2]
    if min(seen[first], seen[second]) >= LEAST_VISIBLE and np.isfinite(ends).all():
        yield BodyLine(tuple((float(x), float(y)) for x, y in ends), like.colour, like.width, like.is_dashed)


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
    like = BodyLine((), DRAWN[drawing.accent % len(DRAWN)], 1.2, is_dashed=drawing.accent % 2 == 1)
    for stroke in list_strokes(drawing.kind, points_px):
        yield replace(like, points_px=stroke)
    said = say_on_picture(drawing, points_px)
    if said is not None:
        yield replace(like, points_px=(said[1],), words=said[0])
