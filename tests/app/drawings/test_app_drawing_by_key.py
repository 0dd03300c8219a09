"""A coach draws on a swing by keyboard alone and with the mouse; it is kept, undone and done again."""

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PyQt5.QtCore import QEvent, QPoint, QPointF, QRectF, Qt
from PyQt5.QtGui import QMouseEvent
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication
from waiting import PATIENCE_MS

from review.lesson import Drawing, DrawingKind
from review.library import Library
from review.pose.track import LandmarkTrack

CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
STEP = 0.02
"""Of the picture's height, as the keys move a point."""


@pytest.fixture
def library(sample_library, tmp_path) -> Path:
    """The sample lesson for one test to draw on."""
    return shutil.copytree(sample_library, tmp_path / "library")


@pytest.fixture
def page(qtbot, open_lesson, library):
    """The first swing, opened, drawing begun."""
    window = open_lesson(library)
    return open_swing(qtbot, window)


def open_swing(qtbot, window):
    window.state.open_swing(next(swing.id for swing in window.state.lesson.swings if swing.clips))
    qtbot.waitUntil(lambda: window.swing_page is not None and window.swing_page.is_ready, timeout=PATIENCE_MS)
    page = window.swing_page
    press(page, Qt.Key.Key_D)
    assert page.desk.is_on
    assert not page.desk.strip.isHidden()
    return page


def press(page, *keys, times: int = 1, held=Qt.KeyboardModifier.NoModifier) -> None:
    for key in keys:
        for _ in range(times):
            QTest.keyClick(page, key, held)


def shown(page) -> tuple[Drawing, ...]:
    return page.desk.screen.shown.drawings


def kept(qtbot, page) -> tuple[Drawing, ...]:
    qtbot.waitUntil(lambda: not len(page._state.line), timeout=PATIENCE_MS)
    with Library.open(page._state.library) as library:
        return library.drawings(page.desk.screen.shown.clip.id)


def words_on(page) -> list[str]:
    return [line.words for line in page.desk.screen.canvas._lines if line.words]


def test_line_angle_and_text_by_keyboard_alone_survive_closing(qtbot, page, library, open_lesson) -> None:
    aspect = page.desk.screen.canvas.aspect
    press(page, Qt.Key.Key_L, Qt.Key.Key_Return)
    press(page, Qt.Key.Key_Right, times=10)
    press(page, Qt.Key.Key_Up, times=3, held=SHIFT)
    press(page, Qt.Key.Key_Return)
    (line,) = shown(page)
    assert line.kind is DrawingKind.LINE
    assert np.allclose(line.points, [(0.5, 0.5), (0.5 + 10 * STEP / aspect, 0.5 - 3 * STEP / 10)])
    # a right angle with equal sides: up, and to the right of its corner
    press(page, Qt.Key.Key_A, Qt.Key.Key_Return)
    press(page, Qt.Key.Key_Down, times=5)
    press(page, Qt.Key.Key_Return)
    press(page, Qt.Key.Key_Right, times=5)
    press(page, Qt.Key.Key_Return)
    assert words_on(page) == ["90°"]
    press(page, Qt.Key.Key_T)
    press(page, Qt.Key.Key_Left, times=9)
    press(page, Qt.Key.Key_Return)
    edit = page.desk.strip.edit
    assert edit.isVisible()
    QTest.keyClicks(edit, "Ruhig stehen")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    assert not edit.isVisible()
    assert words_on(page) == ["90°", "Ruhig stehen"]
    drawn = set(shown(page))
    assert len(drawn) == 3
    assert set(kept(qtbot, page)) == drawn
    time_s = page.desk.screen.time_s
    assert {(one.start_s, one.end_s) for one in drawn} == {(time_s[0], time_s[-1])}
    page.window().close()
    again = open_swing(qtbot, open_lesson(library))
    assert set(shown(again)) == drawn
    assert sorted(words_on(again)) == ["90°", "Ruhig stehen"]


def test_chosen_moved_another_pen_one_frame_and_removed(qtbot, page) -> None:
    for tool in (Qt.Key.Key_C, Qt.Key.Key_R):
        press(page, tool, Qt.Key.Key_Return)
        press(page, Qt.Key.Key_Left, times=5)
        press(page, Qt.Key.Key_Return)
    circle, arrow = shown(page)
    assert page.desk.chosen == arrow
    press(page, Qt.Key.Key_Tab)
    assert page.desk.chosen == circle
    press(page, Qt.Key.Key_Down, times=2)
    press(page, Qt.Key.Key_P, Qt.Key.Key_O)
    changed = page.desk.chosen
    assert np.allclose(np.array(changed.points) - circle.points, [[0, 2 * STEP]] * 2)
    assert changed.accent == 1
    assert changed.start_s == changed.end_s == page.desk.now_s
    assert set(kept(qtbot, page)) == {arrow, changed}
    press(page, Qt.Key.Key_B)  # nothing is measured here
    assert "No body point" in page.desk.strip.label.text()
    press(page, Qt.Key.Key_Delete)
    assert shown(page) == kept(qtbot, page) == (arrow,)
    press(page, Qt.Key.Key_Escape)
    assert not page.desk.is_on
    assert page.player is not None  # the second Esc goes back


def test_tied_to_a_body_point_by_key_it_goes_along_and_is_kept_so(qtbot, page) -> None:
    screen = page.desk.screen
    n, (width, height) = len(screen.time_s), page.desk.size
    image = np.full((n, 33, 3), np.nan)
    image[:, 30] = np.stack([width / 2 + np.arange(n), np.full(n, height / 2), np.zeros(n)], axis=1)  # trail heel
    made = (np.zeros((n, 33, 3)), np.ones((n, 33)), round(width), round(height), "none", "made up")
    screen.shown = replace(screen.shown, track=LandmarkTrack(screen.time_s, image, *made))
    press(page, Qt.Key.Key_L, Qt.Key.Key_Return, Qt.Key.Key_Up, Qt.Key.Key_Return, Qt.Key.Key_B)
    assert "follows trail heel" in page.desk.strip.label.text()
    (tied,) = kept(qtbot, page)
    assert (tied.tied_to, tied.tied_at_s) == ("trail heel", page.desk.now_s)
    was = page.desk.visible[0][1]
    at = screen.canvas.frame
    page.player.go_to(at + 7)
    qtbot.waitUntil(lambda: screen.canvas.frame == at + 7, timeout=PATIENCE_MS)
    assert np.allclose(np.array(page.desk.visible[0][1]) - was, [[7, 0]] * 2)
    press(page, Qt.Key.Key_B)
    (free,) = kept(qtbot, page)
    assert free.tied_to == ""
    assert np.allclose(np.array(free.points) - tied.points, [[7 / width, 0]] * 2)


def test_undone_and_done_again_on_the_picture_and_in_the_library(qtbot, page) -> None:
    press(page, Qt.Key.Key_L, Qt.Key.Key_Return, Qt.Key.Key_Up, Qt.Key.Key_Return)
    (line,) = shown(page)
    press(page, Qt.Key.Key_Right, times=3)  # moved; kept before it is undone
    press(page, Qt.Key.Key_Z, held=CONTROL)
    assert shown(page) == (line,)
    assert page.desk.strip.told.text() == "Undone. No longer: Line moved."
    press(page, Qt.Key.Key_Z, held=CONTROL)
    assert shown(page) == kept(qtbot, page) == ()
    press(page, Qt.Key.Key_Y, held=CONTROL)
    press(page, Qt.Key.Key_Y, held=CONTROL)
    (moved,) = shown(page)
    assert moved.id == line.id
    assert np.allclose(np.array(moved.points) - line.points, [[3 * STEP / page.desk.screen.canvas.aspect, 0]] * 2)
    assert kept(qtbot, page) == (moved,)


def test_what_is_begun_can_be_taken_back_and_left(qtbot, page) -> None:
    press(page, Qt.Key.Key_A, Qt.Key.Key_Return, Qt.Key.Key_Up, Qt.Key.Key_Return)
    assert "point 3 of 3" in page.desk.strip.label.text()
    press(page, Qt.Key.Key_Backspace)
    assert "point 2 of 3" in page.desk.strip.label.text()
    press(page, Qt.Key.Key_Escape)
    assert page.desk.is_on
    assert page.desk.sketch is None
    press(page, Qt.Key.Key_T, Qt.Key.Key_Return)
    QTest.keyClick(page.desk.strip.edit, Qt.Key.Key_Escape)
    assert page.desk.sketch is None
    assert shown(page) == ()


def test_with_the_mouse_a_line_is_dragged_and_moved_and_a_stroke_is_free(qtbot, page) -> None:
    canvas = page.desk.screen.canvas
    to_canvas = canvas.placing.to_canvas(canvas.original, QRectF(canvas.rect()))
    width, height = page.desk.size

    def at(x: float, y: float) -> QPoint:
        return to_canvas.map(QPoint(round(x * width), round(y * height)))

    def drag(*points: QPoint) -> None:
        QTest.mousePress(canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, points[0])
        for point in points[1:]:
            left = Qt.MouseButton.LeftButton
            move = QMouseEvent(QEvent.Type.MouseMove, QPointF(point), left, left, Qt.KeyboardModifier.NoModifier)
            QApplication.sendEvent(canvas, move)
        QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, points[-1])

    pixel = 1.5 / canvas.height()
    press(page, Qt.Key.Key_L)
    drag(at(0.2, 0.3), at(0.6, 0.3))
    (line,) = shown(page)
    assert np.allclose(line.points, [(0.2, 0.3), (0.6, 0.3)], atol=2 * pixel)
    drag(at(0.4, 0.3), at(0.4, 0.5))
    (moved,) = shown(page)
    assert np.allclose(moved.points, [(0.2, 0.5), (0.6, 0.5)], atol=4 * pixel)
    press(page, Qt.Key.Key_F)
    drag(at(0.2, 0.7), at(0.3, 0.8), at(0.4, 0.7))
    free = next(one for one in shown(page) if one.kind is DrawingKind.FREEHAND)
    assert np.allclose(free.points, [(0.2, 0.7), (0.3, 0.8), (0.4, 0.7)], atol=4 * pixel)
    assert set(kept(qtbot, page)) == {moved, free}
    assert canvas.placing.pan_x == 0.0
    press(page, Qt.Key.Key_D)
    drag(at(0.4, 0.4), at(0.5, 0.4))
    assert canvas.placing.pan_x > 0.0  # the picture is shifted again


def test_a_freehand_line_by_arrows_ends_with_enter_and_is_dropped_with_escape(qtbot, page) -> None:
    aspect = page.desk.screen.canvas.aspect
    press(page, Qt.Key.Key_F)
    press(page, Qt.Key.Key_Down, times=2)  # to its start
    press(page, Qt.Key.Key_Return, Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Left)
    press(page, Qt.Key.Key_Backspace, Qt.Key.Key_Return)
    (drawing,) = kept(qtbot, page)
    step, y = STEP / aspect, 0.5 + 2 * STEP
    assert drawing.kind is DrawingKind.FREEHAND
    expected = [(0.5, y), (0.5 + step, y), (0.5 + 2 * step, y), (0.5 + 2 * step, y - STEP)]
    assert np.allclose(drawing.points, expected)
    press(page, Qt.Key.Key_F, Qt.Key.Key_Return, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Escape)
    assert kept(qtbot, page) == (drawing,)
    page._state.undo()
    assert kept(qtbot, page) == ()


def test_the_keys_page_while_drawing_loses_nothing(qtbot, page) -> None:
    window = page.window()
    press(page, Qt.Key.Key_L, Qt.Key.Key_Return)
    sketch = page.desk.sketch
    press(page, Qt.Key.Key_F1)
    assert window.pages.currentWidget() is window.keys_page
    press(window.keys_page, Qt.Key.Key_F1)
    assert window.pages.currentWidget() is page
    assert page.desk.is_on
    assert page.desk.sketch is sketch
    press(page, Qt.Key.Key_Escape, Qt.Key.Key_T, Qt.Key.Key_Return)
    QTest.keyClicks(page.desk.strip.edit, "hold")
    press(page.desk.strip.edit, Qt.Key.Key_F1)
    press(window.keys_page, Qt.Key.Key_Escape)
    assert page.desk.strip.is_asking
    assert window.focusWidget() is page.desk.strip.edit
    assert page.desk.strip.edit.text() == "hold"


def test_another_language_takes_nothing_that_is_in_the_making(qtbot, page) -> None:
    window = page.window()
    press(page, Qt.Key.Key_L, Qt.Key.Key_Return, Qt.Key.Key_F4)
    assert window.choice.language == "en"
    assert window.swing_page is page
    assert len(page.desk.sketch.placed) == 1
    assert "not finished" in page.desk.strip.told.text()
    press(page, Qt.Key.Key_Escape, Qt.Key.Key_T, Qt.Key.Key_Return)
    QTest.keyClicks(page.desk.strip.edit, "Ruhig")
    QTest.keyClick(page.desk.strip.edit, Qt.Key.Key_F4)
    assert page.desk.strip.edit.text() == "Ruhig"
    QTest.keyClick(page.desk.strip.edit, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)  # the drawing is kept
    press(page, Qt.Key.Key_F4)
    assert window.choice.language == "de"
    assert window.swing_page is not page
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    window.choose_look(replace(window.choice, language="en"))
