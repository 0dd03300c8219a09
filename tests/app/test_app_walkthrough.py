"""A lesson gone through in the window as in docs/walkthrough.md: by keyboard alone, then by a remote's four keys."""

import shutil

from keyed_lessons import give_key_frames
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication
from waiting import PATIENCE_MS

from review.library import Library

_KEY = Qt.Key


def _press(window, *keys):
    """Press keys where the keyboard is; nothing is clicked and no slot is called."""
    for key in keys:
        focus = QApplication.focusWidget()
        page = window.pages.currentWidget()
        QTest.keyClick(focus if focus is not None and page.isAncestorOf(focus) else page, key)


def test_the_whole_lesson_by_keyboard_alone(qtbot, open_window, sample_library, tmp_path):
    folder = tmp_path / "library"
    shutil.copytree(sample_library, folder)
    give_key_frames(folder)
    window = open_window(folder)
    window.activateWindow()
    state, pages = window.state, window.pages

    def until(what):
        qtbot.waitUntil(what, timeout=PATIENCE_MS)

    # the pupil at a glance, then the last lesson
    _press(window, _KEY.Key_Space)
    until(lambda: window.others.pupil is not None and window.others.pupil.shown is not None)
    assert pages.currentWidget() is window.others.pupil
    _press(window, _KEY.Key_Return)
    until(lambda: state.comparison is not None and pages.currentWidget() is window.chart)

    # three measures above each other, and one again
    _press(window, _KEY.Key_Plus, _KEY.Key_Plus)
    assert len(window.chart.drawings) == len(state.measures) == min(3, len(state.lesson.keys))
    _press(window, _KEY.Key_Minus, _KEY.Key_Minus)

    # a swing: played, stepped, left
    _press(window, _KEY.Key_Home, _KEY.Key_Return)
    until(lambda: window.swing_page is not None and window.swing_page.is_ready)
    _press(window, _KEY.Key_PageDown, _KEY.Key_Right, _KEY.Key_B, _KEY.Key_8, _KEY.Key_Space, _KEY.Key_Space)
    _press(window, _KEY.Key_Escape)
    assert pages.currentWidget() is window.chart

    # first against last: side by side, the balls
    _press(window, _KEY.Key_S)
    until(lambda: window.two_swings.page is not None and window.two_swings.page.player is not None)
    assert window.two_swings.page.panel.verdict.text() == "Clear"
    _press(window, _KEY.Key_Escape, _KEY.Key_F)
    until(lambda: window.others.name_on == "balls" and not window.others.find("balls").instead.isVisible())
    _press(window, _KEY.Key_Escape)

    # the pupil sees it, stepped from where the coach stands
    _press(window, _KEY.Key_F5)
    view = window.two_swings.view
    until(lambda: bool(view.content.steps) and view.is_ready)
    seen = [view.step]
    for _ in range(len(view.content.steps) - 1):
        QTest.keyClick(view, _KEY.Key_PageDown)
        until(lambda: view.is_ready)
        seen.append(view.step)
    assert seen == list(view.content.steps)
    QTest.keyClick(view, _KEY.Key_PageUp)
    assert view.step == seen[-2]
    QTest.keyClick(view, _KEY.Key_Period)
    QTest.keyClick(view, _KEY.Key_F5)
    until(lambda: not view.isVisible())
    assert pages.currentWidget() is window.chart

    # what the pupil takes home
    _press(window, _KEY.Key_T)
    until(lambda: window.others.name_on == "handing_out")
    page = window.others.find("handing_out")
    page.folder.setText(str(tmp_path / "out"))  # typed
    with qtbot.waitSignal(page.done, timeout=PATIENCE_MS):
        _press(window, _KEY.Key_Return)
    assert (tmp_path / "out" / "index.html").is_file()
    with Library.open(folder) as library:
        handed = library.handouts(state.lesson.pupil.id)
    assert handed[-1].startswith("take-home in out, to Ines Calder")

    # back to the pupils
    _press(window, _KEY.Key_Escape, _KEY.Key_Escape)
    assert state.lesson is None
    assert pages.currentWidget() is window.start_page
