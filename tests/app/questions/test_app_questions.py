"""Open questions of a lesson: counted at the foot, answered by key, kept for good."""

import shutil

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QApplication
from waiting import PATIENCE_MS

from review.jobs.pairing.asking import find_questions
from review.jobs.tables.adding import add_table
from review.library import Library


@pytest.fixture
def library(library_without_table, tmp_path):
    """Two clips and a table of two rows without a time: which row is whose can only be asked."""
    folder = shutil.copytree(library_without_table, tmp_path / "library")
    table = tmp_path / "no times.csv"
    table.write_text("club,club path [deg],ball speed [mph]\n6-iron,4.8,92.4\n6-iron,1.2,94.4\n")
    with Library.open(folder) as opened:
        lesson = opened.latest_lesson()
    add_table(folder, lesson.id, table)
    return folder


def press(qtbot, *keys):
    for key in keys:
        widget = QApplication.focusWidget()
        assert widget is not None, "the keyboard is nowhere"
        qtbot.keyClick(widget, key)


def settle(qtbot, window):
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)


def rows_of(folder):
    """Row numbers by the clip's name, and who said so."""
    with Library.open(folder, create=False) as opened:
        swings = opened.swings(opened.latest_lesson().id)
    return {
        clip.original_name: (None if swing.shot is None else swing.shot.row_number, swing.pairing_source)
        for swing in swings
        for clip in swing.clips
    }


@pytest.fixture
def page(qtbot, open_window, library, monkeypatch):
    monkeypatch.setattr("review.app.status_line.find_free_bytes", lambda folder: 10**12)
    window = open_window(library)
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWidget() is not None, timeout=PATIENCE_MS)
    settle(qtbot, window)
    assert window.status.isHidden()
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert window.status.isVisible()
    assert len(window.questions) == 2
    press(qtbot, Qt.Key.Key_F7)
    return window.others.find("questions")


def test_yes_and_no_are_kept(qtbot, page, library):
    window = page.window()
    first, second = window.questions.found.asked
    assert page.title.text() == "2 open questions"
    assert f"row {first.row}" in page.list.item(0).text()
    assert page.why.text() == first.why
    press(qtbot, Qt.Key.Key_Y)
    settle(qtbot, window)
    assert rows_of(library)[first.clip_name] == (first.row, "coach")
    while len(window.questions):  # one answer may settle the other
        press(qtbot, Qt.Key.Key_N)
        settle(qtbot, window)
    assert rows_of(library)[first.clip_name] == (first.row, "coach")
    assert rows_of(library)[second.clip_name][0] is None
    assert page.title.text() == "Nothing to ask"
    assert page._hint.text() == "Esc back"
    assert window.status.isHidden()
    press(qtbot, Qt.Key.Key_Escape)
    settle(qtbot, window)
    assert window.pages.currentWidget() is window.chart
    paired = [swing for swing in window.state.lesson.swings if swing.clips and swing.shot is not None]
    assert [swing.clips[0].original_name for swing in paired] == [first.clip_name]


def test_another_row_is_said_by_number(qtbot, page, library):
    window = page.window()
    first, second = window.questions.found.asked
    press(qtbot, Qt.Key.Key_R)
    qtbot.keyClicks(QApplication.focusWidget(), "nine")
    press(qtbot, Qt.Key.Key_Return)
    assert "found nine" in page.refusal.text()
    press(qtbot, *[Qt.Key.Key_Backspace] * 4)
    qtbot.keyClicks(QApplication.focusWidget(), "9")
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert "There is no row 9" in page.refusal.text()
    assert rows_of(library)[first.clip_name][1] != "coach"
    press(qtbot, Qt.Key.Key_R)
    qtbot.keyClicks(QApplication.focusWidget(), str(second.row))
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert rows_of(library)[first.clip_name] == (second.row, "coach")


def test_asking_stores_nothing(library):
    before = rows_of(library)
    with Library.open(library, create=False) as opened:
        lesson_id = opened.latest_lesson().id
    assert len(find_questions(library, lesson_id).asked) == 2
    assert rows_of(library) == before


def test_little_room_is_said_early(qtbot, open_window, library, monkeypatch):
    monkeypatch.setattr("review.app.status_line.find_free_bytes", lambda folder: 4.2e9)
    window = open_window(library)
    assert window.status.isVisible()
    assert "Little room: 4.2 GB free" in window.status._space.text()
