"""Swings whose clips are kept for good, chosen in the chart by keyboard; undone and done again."""

import shutil
from datetime import date

import pytest
from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.library import Library


@pytest.fixture
def put(qtbot, open_lesson, sample_library, tmp_path):
    """A window on a lesson of its own, its strip open; a call presses keys and waits for what comes of each."""
    library = shutil.copytree(sample_library, tmp_path / "library")
    window = open_lesson(library)

    def press(*keys, held=Qt.KeyboardModifier.NoModifier):
        for key in keys:
            qtbot.keyClick(window.focusWidget(), key, held)
            qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)

    press.window, press.library = window, library
    press(Qt.Key.Key_Right, Qt.Key.Key_E)
    return press


def chosen_for_good(put):
    with Library.open(put.library) as library:
        lesson = library.latest_lesson()
        kept = library.kept_swings(lesson.id)
        return [swing.order for swing in library.swings(lesson.id) if swing.id in kept]


def test_clips_are_kept_for_good_and_no_longer(put):
    chart = put.window.chart
    put(Qt.Key.Key_Home, Qt.Key.Key_G)
    assert chosen_for_good(put) == [1]
    assert chart.readings[0].endswith("kept for good")
    assert "kept for good" in chart.strip.about.text()
    put(Qt.Key.Key_Right, held=Qt.KeyboardModifier.ShiftModifier)
    put(Qt.Key.Key_G)  # one of the two is not kept yet: both are
    assert chosen_for_good(put) == [1, 2]
    put(Qt.Key.Key_G)
    assert chosen_for_good(put) == []
    assert "kept" not in chart.readings[0]
    put(Qt.Key.Key_U)
    assert chosen_for_good(put) == [1, 2]
    put(Qt.Key.Key_U)
    assert chosen_for_good(put) == [1]
    put(Qt.Key.Key_U)
    assert chosen_for_good(put) == []
    put(Qt.Key.Key_R)
    assert chosen_for_good(put) == [1]


def test_a_clip_that_is_gone_cannot_be_kept(put):
    with Library.open(put.library) as library:
        for clip in library.old_clips(date.max):
            library.let_go(clip, date.max, date.today())
    put(Qt.Key.Key_G)
    assert "no clip to keep" in put.window.bar.text
    assert chosen_for_good(put) == []
