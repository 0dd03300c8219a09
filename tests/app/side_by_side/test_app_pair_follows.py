"""Two swings on the screen, on the coach's page and before the pupil, follow corrections and their undoing at once."""

import shutil
from pathlib import Path

import pytest
from keyed_lessons import give_key_frames
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from waiting import PATIENCE_MS

from review.app.batches.corrections import Corrections
from review.app.drawings.keeping import change_drawing
from review.jobs.correcting import leave_out, move_to_batch
from review.jobs.marks import set_mark
from review.lesson import Drawing, DrawingKind, KeyFrame

ROUND = Drawing("round", DrawingKind.CIRCLE, ((0.5, 0.5), (0.6, 0.5)), 0.0, 100.0)


@pytest.fixture
def library(sample_library, tmp_path) -> Path:
    folder = shutil.copytree(sample_library, tmp_path / "library")
    give_key_frames(folder)
    return folder


def open_pair(qtbot, window):
    QTest.keyClick(window.pages.currentWidget(), Qt.Key.Key_S)
    page = window.two_swings.page
    qtbot.waitUntil(lambda: page.is_ready, timeout=PATIENCE_MS)
    return page


def settle(qtbot, window) -> None:
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)


def test_batch_and_undo_are_followed_frame_lock_and_player_stay(qtbot, open_lesson, library) -> None:
    window = open_lesson(library)
    page = open_pair(qtbot, window)
    QTest.keyClick(page, Qt.Key.Key_K)
    for _ in range(3):
        QTest.keyClick(page, Qt.Key.Key_Right)
    player, frames, lock = page.player, page.player.frames, page.player.lock.at
    last = page.pair.last.swing
    before = player.screens.all[1].canvas.note
    Corrections(window.state).do("moved", lambda opened, lesson: move_to_batch(opened, lesson, last.id, 2))
    qtbot.waitUntil(lambda: "Batch 2" in player.screens.all[1].canvas.note, timeout=PATIENCE_MS)
    assert page.player is player
    assert (player.frames, player.lock.at) == (frames, lock)
    assert "last: Batch 2" in player.through.accessibleDescription()
    window.state.undo()
    qtbot.waitUntil(lambda: player.screens.all[1].canvas.note == before, timeout=PATIENCE_MS)
    assert (page.player, player.frames) == (player, frames)


def test_another_key_frame_is_followed_by_the_lock_and_a_drawing_shown_and_undone(qtbot, open_lesson, library) -> None:
    window = open_lesson(library)
    page = open_pair(qtbot, window)
    player, clip = page.player, page.player.clips[1].clip
    finer, other = player.lock.finer, 1 - player.lock.finer
    impact = [next(k.frame for k in one.key_frames if k.name == "impact") for one in player.clips]
    at, time_s = impact[other] + 4, player.screens.all[other].time_s
    mark = KeyFrame("impact", float(time_s[at]), at, 1.0, "coach")
    set_mark(library, page.pair.lesson.id, player.clips[other].clip.id, "impact", mark)
    window.state.renew_from_library(page.pair.lesson.id)
    qtbot.waitUntil(lambda: player.frames[other] == impact[other] + 4, timeout=PATIENCE_MS)
    assert player.frames[finer] == impact[finer]
    settle(qtbot, window)

    without = len(player.screens.all[1].canvas.lines)
    change_drawing(window.state, "drawn", clip.id, None, ROUND)
    assert len(player.screens.all[1].canvas.lines) > without
    window.state.undo()
    assert len(player.screens.all[1].canvas.lines) == without
    settle(qtbot, window)


def test_the_pupil_view_follows_but_not_while_a_swing_is_on(qtbot, open_lesson, library) -> None:
    window = open_lesson(library)
    QTest.keyClick(window.pages.currentWidget(), Qt.Key.Key_F5)
    view = window.two_swings.view
    qtbot.waitUntil(lambda: bool(view.content.steps) and view.is_ready, timeout=PATIENCE_MS)
    settle(qtbot, window)
    player, last = view.player, view.player.pair.last.swing
    view.hold_still(True)
    Corrections(window.state).do("out", lambda opened, lesson: leave_out(opened, lesson, last.id, "mishit"))
    qtbot.waitUntil(lambda: window.state.lesson.swing(last.id).left_out == "mishit", timeout=PATIENCE_MS)
    settle(qtbot, window)
    assert not player.pair.last.swing.left_out
    view.hold_still(False)
    qtbot.waitUntil(lambda: player.pair.last.swing.left_out == "mishit", timeout=PATIENCE_MS)
    assert view.player is player
    window.state.undo()
    qtbot.waitUntil(lambda: not player.pair.last.swing.left_out, timeout=PATIENCE_MS)
    view.leave()
