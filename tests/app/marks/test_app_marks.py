"""Key frames put right on the time line, by keyboard alone and with the mouse; kept, undone, taken away."""

import shutil
import time
from dataclasses import replace
from pathlib import Path

import pytest
from keyed_lessons import give_key_frames
from PyQt5.QtCore import QPoint, Qt
from PyQt5.QtTest import QTest
from waiting import PATIENCE_MS

from review.errors import Cancelled
from review.jobs.measuring import apart
from review.jobs.measuring.kept_landmarks import save_landmarks
from review.jobs.measuring.whole_lesson import LessonMeasured, measure_lesson
from review.library import Library
from review.pose import Effort
from tests.jobs.resounded import CLIPS, landmarks


@pytest.fixture
def library(sample_library, tmp_path) -> Path:
    """The sample lesson with key frames, for one test to change."""
    folder = shutil.copytree(sample_library, tmp_path / "library")
    give_key_frames(folder)
    return folder


def open_swing(qtbot, window):
    window.state.open_swing(next(swing.id for swing in window.state.lesson.swings if swing.clips))
    qtbot.waitUntil(lambda: window.swing_page is not None and window.swing_page.is_ready, timeout=PATIENCE_MS)
    return window.swing_page


def kept(qtbot, page):
    """The key frames of the leading clip, in the library and on the time line alike."""
    qtbot.waitUntil(lambda: not len(page._state.line), timeout=PATIENCE_MS)
    clip = page.player.shown.clips[page.player.playhead.lead]
    with Library.open(page._state.library) as library:
        found = library.key_frames(clip.clip.id)
    assert found == clip.key_frames == page.player.bar._keys
    return {key.name: (key.frame, key.source) for key in found}


def test_by_keyboard_alone_kept_undone_and_there_when_opened_again(qtbot, open_lesson, open_window, library) -> None:
    window = open_lesson(library)
    page = open_swing(qtbot, window)
    before = kept(qtbot, page)
    told = []
    window.state.step_told.connect(told.append)
    QTest.keyClick(page, Qt.Key.Key_PageDown)  # top
    for _ in range(3):
        QTest.keyClick(page, Qt.Key.Key_Right)
    QTest.keyClick(page, Qt.Key.Key_K)
    moved = before | {"top": (before["top"][0] + 3, "coach")}
    assert kept(qtbot, page) == moved
    assert told == [f"top set to frame {before['top'][0] + 4}, your mark. Ctrl+Z undoes it."]
    assert page.player.frame == before["top"][0] + 3

    window.state.undo()
    assert kept(qtbot, page) == before
    window.state.redo()
    assert kept(qtbot, page) == moved

    QTest.keyClick(page, Qt.Key.Key_Right)
    QTest.keyClick(page, Qt.Key.Key_N)
    QTest.keyClicks(page.marks.strip.edit, "hands low")
    QTest.keyClick(page.marks.strip.edit, Qt.Key.Key_Return)
    own = moved | {"hands low": (before["top"][0] + 4, "coach")}
    assert kept(qtbot, page) == own
    assert page.marks.strip.isHidden()
    window.close()

    page = open_swing(qtbot, open_lesson(library))
    assert kept(qtbot, page) == own
    for _ in range(2):
        QTest.keyClick(page, Qt.Key.Key_Delete)
        kept(qtbot, page)
    assert {name for name, (_, source) in kept(qtbot, page).items() if source == "coach"} == set()
    QTest.keyClick(page, Qt.Key.Key_Delete)
    assert kept(qtbot, page) == {name: key for name, key in before.items() if name != "top"}


def test_escape_leaves_a_name_and_keys_are_letters_while_it_is_typed(qtbot, open_lesson, library) -> None:
    page = open_swing(qtbot, open_lesson(library))
    before = kept(qtbot, page)
    QTest.keyClick(page, Qt.Key.Key_N)
    QTest.keyClicks(page.marks.strip.edit, "knk")
    QTest.keyClick(page.marks.strip.edit, Qt.Key.Key_Escape)
    assert page.marks.strip.isHidden()
    assert page.player is not None
    assert kept(qtbot, page) == before


def notes(qtbot, page):
    """Notes on the leading clip's key frames, in the library and on the time line alike."""
    kept(qtbot, page)
    return {key.name: key.note for key in page.player.bar._keys if key.note}


def write_note(page, words):
    QTest.keyClick(page, Qt.Key.Key_W)
    strip, field = page.marks.notes.strip, page.marks.notes.strip.edit
    strip.layout().activate()
    assert field.width() > strip.label.width()  # there is room for what is typed
    field.clear()
    QTest.keyClicks(field, words)
    QTest.keyClick(field, Qt.Key.Key_Return)


def test_a_note_on_a_mark_by_keyboard_shown_where_the_frame_stands_and_undone(
    qtbot, open_lesson, open_window, library
) -> None:
    window = open_lesson(library)
    page = open_swing(qtbot, window)
    line, told = page.marks.notes.line, []
    window.state.step_told.connect(told.append)
    QTest.keyClick(page, Qt.Key.Key_W)
    assert told == ["There is no mark of yours on this clip; K or N sets one."]
    assert page.marks.notes.strip.isHidden()
    QTest.keyClick(page, Qt.Key.Key_PageDown)
    QTest.keyClick(page, Qt.Key.Key_K)
    top = kept(qtbot, page)["top"][0]
    for _ in range(5):
        QTest.keyClick(page, Qt.Key.Key_Right)
    write_note(page, "knees, hands low")
    assert page.player.frame == top  # the coach sees what the note is on
    assert notes(qtbot, page) == {"top": "knees, hands low"}
    qtbot.waitUntil(lambda: line.text == "top: knees, hands low", timeout=PATIENCE_MS)
    assert told[-1] == "note on top kept. Ctrl+Z undoes it."
    assert "top (your mark): knees, hands low" in page.player.bar.accessibleDescription()
    QTest.keyClick(page, Qt.Key.Key_Right)
    qtbot.waitUntil(lambda: line.text == "", timeout=PATIENCE_MS)

    QTest.keyClick(page, Qt.Key.Key_K)  # moved, the mark takes its note along
    assert kept(qtbot, page)["top"] == (top + 1, "coach")
    assert notes(qtbot, page) == {"top": "knees, hands low"}
    assert line.text == "top: knees, hands low"
    write_note(page, "")
    assert notes(qtbot, page) == {}
    assert told[-1] == "note on top taken off. Ctrl+Z undoes it."
    window.state.undo()
    assert notes(qtbot, page) == {"top": "knees, hands low"}
    QTest.keyClick(page, Qt.Key.Key_Delete)
    assert notes(qtbot, page) == {}
    for expected in ("knees, hands low", "knees, hands low", ""):  # mark back, its old place, the note itself
        window.state.undo()
        assert notes(qtbot, page).get("top", "") == expected
    window.state.redo()
    assert notes(qtbot, page) == {"top": "knees, hands low"}
    QTest.keyClick(page, Qt.Key.Key_W)
    assert page.marks.notes.strip.edit.text() == "knees, hands low"
    QTest.keyClicks(page.marks.notes.strip.edit, "nkw")
    QTest.keyClick(page.marks.notes.strip.edit, Qt.Key.Key_Escape)
    assert notes(qtbot, page) == {"top": "knees, hands low"}
    window.close()
    page = open_swing(qtbot, open_lesson(library))
    QTest.keyClick(page, Qt.Key.Key_PageDown)
    qtbot.waitUntil(lambda: page.marks.notes.line.text == "top: knees, hands low", timeout=PATIENCE_MS)


def test_a_stroke_is_dragged_with_the_mouse(qtbot, open_lesson, library) -> None:
    page = open_swing(qtbot, open_lesson(library))
    before, bar = kept(qtbot, page), page.player.bar
    top, to = before["top"][0], before["top"][0] + 12

    def at(frame):
        return QPoint(round(bar._x(frame)), round(bar._base) - 12)

    QTest.mousePress(bar, Qt.MouseButton.LeftButton, pos=at(top))
    QTest.mouseMove(bar, at(to))
    QTest.mouseRelease(bar, Qt.MouseButton.LeftButton, pos=at(to))
    frame, source = kept(qtbot, page)["top"]
    assert abs(frame - to) <= 1
    assert source == "coach"
    now = kept(qtbot, page)
    QTest.mousePress(bar, Qt.MouseButton.LeftButton, pos=at(frame))  # pressed, not dragged: only shown
    QTest.mouseRelease(bar, Qt.MouseButton.LeftButton, pos=at(frame))
    assert kept(qtbot, page) == now
    assert page.player.frame == frame


def test_a_measured_swing_is_measured_again_at_the_mark_and_the_chart_follows(
    qtbot, open_lesson, sample_library, tmp_path
) -> None:
    folder = shutil.copytree(sample_library, tmp_path / "library")
    with Library.open(folder) as library:
        lesson = library.latest_lesson()
        swings = library.swings(lesson.id)
        clips = {clip.original_name: (swing.id, clip) for swing in swings for clip in swing.clips}
        swing_id, clip = clips[CLIPS["face_on"]]
        track = landmarks("face_on")
        hand = library.pupil(lesson.pupil_id).handedness
        save_landmarks(library, clip, Effort.QUICK, hand, replace(track, world_m=track.image_px / 500.0))
        assert measure_lesson(library, lesson, Effort.QUICK, only={swing_id}).n_measured == 1
    window = open_lesson(folder)

    def backswing_s() -> float:
        return window.state.lesson.measures[swing_id]["backswing_s", ""].value

    before = backswing_s()
    window.state.open_swing(swing_id)
    qtbot.waitUntil(lambda: window.swing_page is not None and window.swing_page.is_ready, timeout=PATIENCE_MS)
    page = window.swing_page
    marks = kept(qtbot, page)
    page.player.go_to(marks["top"][0] - 6)
    at_s = [page.player.playhead.clock.time_s[frame] for frame in (marks["top"][0], page.player.frame)]
    QTest.keyClick(page, Qt.Key.Key_K)
    assert kept(qtbot, page)["top"] == (marks["top"][0] - 6, "coach")
    assert backswing_s() == pytest.approx(before - (at_s[0] - at_s[1]), abs=0.02)
    window.state.undo()
    assert kept(qtbot, page) == marks
    assert backswing_s() == pytest.approx(before, abs=1e-5)


def test_marks_set_and_undone_before_the_swing_is_measured_again(qtbot, open_lesson, library, monkeypatch) -> None:
    measured, stopped = [], []

    def measure(folder, lesson_id, *, progress, only):
        with Library.open(folder) as lib:
            clip = next(clip for swing in lib.swings(lesson_id) if swing.id in only for clip in swing.clips)
            measured.append(next(key.frame for key in lib.key_frames(clip.id) if key.name == "top"))
        try:
            for n in range(9000 if len(measured) == 1 else 0):
                progress(n, 9000)
                time.sleep(0.001)
        except Cancelled:
            stopped.append(measured[-1])
            raise
        return LessonMeasured(1, {})

    monkeypatch.setattr(apart, "measure_apart", measure)
    page = open_swing(qtbot, open_lesson(library))
    before = kept(qtbot, page)
    page.player.shown = replace(
        page.player.shown, clips=tuple(replace(one, track=object()) for one in page.player.shown.clips)
    )
    QTest.keyClick(page, Qt.Key.Key_PageDown)
    for _ in range(2):  # the second before the first is kept
        QTest.keyClick(page, Qt.Key.Key_Right)
        QTest.keyClick(page, Qt.Key.Key_K)
    qtbot.waitUntil(lambda: len(measured) == 1, timeout=PATIENCE_MS)
    QTest.keyClick(page, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    first = before | {"top": (before["top"][0] + 1, "coach")}
    assert kept(qtbot, page) == first
    assert stopped == measured[:1]  # the measuring was in vain: it is not waited for
    page._state.undo()
    assert kept(qtbot, page) == before
