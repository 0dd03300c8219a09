"""The arrow to what a held picture is about."""

import math

import numpy as np

from review.charts.looks import rgb
from review.lesson import FloatArray, Handedness
from review.media import Planes
from review.palette import DRAWN
from review.pose.drawings import find_landmark
from review.takehome.clips.patches import make_patch, paste
from review.takehome.clips.strokes import draw_strokes
from review.takehome.looks import chip, fit

_MIDDLES = {"hips": (23, 24), "shoulders": (11, 12)}
_COLOUR = rgb(DRAWN[1])
_LONG, _CLEAR, _BROAD, _WORDS, _WIDE = 0.13, 0.02, 0.0075, 0.034, 0.45
"""Length, distance from the point, width and height of words, in parts of the picture's height; how wide these may be,
in parts of its width."""
_LEAST_WORDS_PX = 26


def find_point(body: FloatArray, body_point: str, handedness: Handedness) -> FloatArray | None:
    """Return where a body point lies among landmarks (33, 2), in their unit; None where it was not seen.

    Raises
    ------
    KeyError
        There is no such point.
    """
    rows = _MIDDLES.get(body_point) or (find_landmark(body_point, handedness),)
    at: FloatArray = body[list(rows)].mean(axis=0)
    return at if np.isfinite(at).all() else None


def draw_pointer(picture: Planes, at: FloatArray, middle: FloatArray, name: str, words: str = "") -> None:
    """Draw an arrow to a point from outside the body, whose ``middle`` is known, in place.

    At its tail stands what it points at, and in ``words`` what is to be seen there.
    """
    height, width = picture.y.shape
    is_from_left = at[0] < middle[0] if abs(at[0] - middle[0]) > 0.01 * height else at[0] > width / 2
    away = -1.0 if is_from_left else 1.0
    long = min(_LONG * height, max(0.05 * height, (at[0] if is_from_left else width - at[0]) - 0.05 * height))
    tip = at + np.array([away * _CLEAR * height, 0.0])
    tail = tip + np.array([away * long, -0.25 * long])
    broad = _BROAD * height
    draw_strokes(picture, [np.array([tail, tip])], _COLOUR, broad)
    turn = math.atan2(*(tail - tip)[::-1])
    barbs = [tip + 3.6 * broad * np.array([math.cos(turn + a), math.sin(turn + a)]) for a in (-0.5, 0.5)]
    draw_strokes(picture, [np.array([barbs[0], tip, barbs[1]])], _COLOUR, 1.0, is_filled=True)
    size = max(_LEAST_WORDS_PX, round(_WORDS * height))
    lines = fit(words, _WIDE * width, size, True, 2)
    patch = make_patch(chip(name, size, below=lines))
    x = tail[0] - (patch.size[0] if is_from_left else 0)
    x = min(max(4.0, x + away * -0.5 * long), max(4.0, width - patch.size[0] - 4.0))
    y = min(max(4.0, tail[1] - patch.size[1] - 2 * broad), max(4.0, height - patch.size[1] - 4.0))
    paste(picture, patch, round(x), round(y))
