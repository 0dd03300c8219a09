"""Marks as lines over the picture, without Qt."""

from collections.abc import Iterator

from review.app.language import tr
from review.app.setups.marking import POINTS, Draft, Step
from review.app.swing_view.body_lines import LINE_COLOUR, TURN_COLOUR, BodyLine

Point = tuple[float, float]
_ARM = 0.018
"""Of a cross, in heights of the picture."""


def draw_marks(draft: Draft, mark: Point | None, size_px: tuple[float, float]) -> tuple[BodyLine, ...]:
    """Draw what is marked, and the ``mark`` in hand broadly; points are pixels, their middles are drawn to."""
    return tuple(_draw(draft, mark, size_px))


def _draw(draft: Draft, mark: Point | None, size_px: tuple[float, float]) -> Iterator[BodyLine]:
    there = {step: _middle(point) for step, point in draft.points.items()}
    if mark is not None and draft.step is not None:
        there[draft.step] = _middle(mark)
    for first, last in ((Step.AWAY, Step.TOWARD), (Step.TOP, Step.BOTTOM)):
        if first in there and last in there:
            yield BodyLine((there[first], there[last]), LINE_COLOUR, 0.6, is_dashed=True)
    for step in POINTS:
        if step in there:
            is_in_hand = step is draft.step
            yield from cross(there[step], size_px[1], TURN_COLOUR if is_in_hand else LINE_COLOUR)
            if step in (Step.AWAY, Step.TOWARD):
                short = tr("away") if step is Step.AWAY else tr("target")
                long = tr("away from target") if step is Step.AWAY else tr("toward target")
                yield BodyLine((there[step],), LINE_COLOUR, words=long if is_in_hand else short)


def _middle(pixel: Point) -> Point:
    return pixel[0] + 0.5, pixel[1] + 0.5


def cross(at: Point, height_px: float, colour: str) -> Iterator[BodyLine]:
    """A cross that leaves its middle free, so that what is marked can be seen."""
    x, y = at
    near, far = 0.25 * _ARM * height_px, _ARM * height_px
    for across, down in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        begin, end = (x + near * across, y + near * down), (x + far * across, y + far * down)
        yield BodyLine((begin, end), colour, 0.7)
