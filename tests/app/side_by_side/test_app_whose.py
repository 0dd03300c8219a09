"""Whose lines are whose where one swing is seen through the other: words and strokes, not colours alone."""

from dataclasses import replace

import numpy as np
import pytest
from PyQt5.QtGui import QImage

from review.app.look import DARK, Look
from review.app.side_by_side.feet import Overlay
from review.app.side_by_side.seen_through import SeenThrough
from review.app.side_by_side.whose import draw_as, tell_whose
from review.app.swing_view.body_lines import BodyLine
from review.app.swing_view.canvas import Canvas
from review.jobs.showing.pair import SideShown
from review.lesson import Batch, Swing

FIRST = SideShown(Swing("a", 4), Batch("one", 1), ())
LAST = SideShown(Swing("b", 17), Batch("three", 3), ())


def test_first_is_solid_last_is_dashed_whatever_the_colours() -> None:
    lines = (BodyLine(((0, 0), (9, 9)), is_dashed=True), BodyLine(((0, 0), (9, 9))), BodyLine(((1, 1),), words="34°"))
    first, last = tell_whose(FIRST, LAST)
    assert (first.words, last.words) == ("Batch 1 · swing 4", "Batch 3 · swing 17")
    assert [line.is_dashed for line in draw_as(lines, first)] == [False] * 3
    assert [line.is_dashed for line in draw_as(lines, last)] == [True] * 3
    assert [line.words for line in draw_as(lines, last)] == ["", "", "34° (last)"]


@pytest.mark.parametrize("batch", [None, FIRST.batch])
def test_two_swings_of_one_batch_have_two_colours(batch: Batch | None) -> None:
    first, last = tell_whose(replace(FIRST, batch=batch), replace(LAST, batch=batch))
    assert first.colour != last.colour


def _is_like(image: QImage, colour: str, y: int) -> np.ndarray:
    wanted = np.array([int(colour[n : n + 2], 16) for n in (1, 3, 5)])
    row = np.array([image.pixelColor(x, y).getRgb()[:3] for x in range(image.width())])
    return np.abs(row - wanted).max(axis=1) < 30


def test_lines_of_both_clips_are_drawn_each_at_its_place_and_fade_with_their_picture(qtbot) -> None:
    under, over = Canvas("a"), Canvas("b")
    for canvas in (under, over):
        canvas.set_size(640, 480)
        canvas.show_frame(0, np.zeros((480, 640, 4), np.uint8), [BodyLine(((0, 200), (640, 200)))])
        qtbot.addWidget(canvas)
    view = SeenThrough(under, over)
    qtbot.addWidget(view)
    view.set_look(Look.fit(DARK, 1366, 768))
    view.resize(640, 480)
    first, last = tell_whose(FIRST, LAST)
    view.placing, whose = Overlay(1.0, 0.0, 0.0, 100.0), (first, last)
    view.tell_whose(whose, "")
    image = view.grab().toImage()
    assert _is_like(image, first.colour, 200)[20:-20].all()  # solid
    assert 0.3 < _is_like(image, last.colour, 300)[20:-20].mean() < 0.9  # a hundred pixels lower, and broken
    assert "first: Batch 1" in view.accessibleDescription()
    view.strengthen(-1)
    assert not _is_like(view.grab().toImage(), last.colour, 300).any()
