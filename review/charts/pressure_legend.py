"""What stands above the picture of the pressure: which batch is which colour, what shapes and lines mean."""

from collections.abc import Callable, Sequence

import numpy as np

from review.charts.drawing import measure_px
from review.charts.page import Page

SHAPES: dict[str, tuple[int, float]] = {
    "address": (20, 0.0),
    "top": (3, -90.0),
    "arm level": (4, 45.0),
    "impact": (4, 0.0),
    "finish": (3, 90.0),
}
"""Key frames as shapes: corners, and the direction of the first in degrees."""
LINES: dict[str, tuple[float, bool | tuple[float, float]]] = {
    "backswing": (1 / 8, True),
    "top to impact": (1 / 4, False),
    "after impact": (1 / 8, (1.0, 2.5)),
    "from the top on": (1 / 4, False),
}
"""Phases as lines: how wide, in letters, and how broken; the last where impact is not known well enough."""
_SIGN, _AFTER_SIGN, _GAP, ROW = 1.8, 0.5, 1.2, 1.55
"""In letters: a sign, what is free behind it and between keys, from row to row."""

Sign = Callable[[float, float], None]
"""Draws a sign with its left end and its middle at a place."""


def draw_keys(page: Page, groups: Sequence[tuple[str, Sequence[tuple[Sign, str]]]], top: float) -> float:
    """Write keys row by row, each group with its heading on rows of its own; returns where they end."""
    em, baseline = page.em, top
    for heading, group in groups:
        left = page.left
        baseline += ROW * em
        if heading:
            said = page.canvas.say(heading)
            page.quiet(left, baseline, heading)
            left += measure_px(said, page.small) + 0.5 * em
        for sign, words in group:
            said = page.cut(page.canvas.say(words), page.right - page.left - (_SIGN + _AFTER_SIGN) * em)
            width = (_SIGN + _AFTER_SIGN) * em + measure_px(said, page.small)
            if left > page.left and left + width > page.right:
                left, baseline = page.left, baseline + ROW * em
            sign(left, baseline - 0.35 * em)
            page.drawing.words(left + (_SIGN + _AFTER_SIGN) * em, baseline, said, page.small, page.canvas.quiet_ink)
            left += width + _GAP * em
    return baseline


def sign_batch(page: Page, number: int) -> Sign:
    """A stroke of a batch's colour."""
    return lambda x, y: page.drawing.line(
        (x, x + _SIGN * page.em), (y, y), page.canvas.colour_of(number), 0.3 * page.em
    )


def sign_shape(page: Page, name: str) -> Sign:
    """The shape of a key frame."""
    ink = page.canvas.quiet_ink
    return lambda x, y: draw_shape(page, name, x + _SIGN / 2 * page.em, y, ink, f"key-{name.replace(' ', '-')}")


def sign_line(page: Page, name: str) -> Sign:
    """The line of a phase."""
    width, dash = LINES[name]
    return lambda x, y: page.drawing.line(
        (x, x + _SIGN * page.em), (y, y), page.canvas.quiet_ink, width * page.em, dash=dash
    )


def draw_shape(page: Page, name: str, x: float, y: float, colour: str, gid: str) -> None:
    """Draw the shape of a key frame around a place."""
    n, start_deg = SHAPES[name]
    angle = np.radians(start_deg + 360.0 * np.arange(n) / n)
    xs, ys = x + 0.5 * page.em * np.cos(angle), y + 0.5 * page.em * np.sin(angle)
    page.drawing.area(list(xs), list(ys), colour, page.canvas.ground, zorder=4.0, gid=gid)
