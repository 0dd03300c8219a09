"""Batches and swings of a lesson put right in the chart by keyboard; all undone and done again."""

import shutil

import pytest
from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.lesson import SwingKind
from review.library import Library


@pytest.fixture
def put(qtbot, open_lesson, sample_library, tmp_path):
    """A window on a lesson of its own, its strip open; a call presses keys, types texts, and waits for what comes."""
    library = tmp_path / "library"
    shutil.copytree(sample_library, library)
    window = open_lesson(library)

    def press(*keys):
        for key in keys:
            target = window.focusWidget()
            if isinstance(key, str):
                qtbot.keyClicks(target, key)
            else:
                qtbot.keyClick(target, key)
        qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)

    def extend(key):
        qtbot.keyClick(window.focusWidget(), key, Qt.KeyboardModifier.ShiftModifier)

    press.window, press.library, press.extend = window, library, extend
    press(Qt.Key.Key_Right, Qt.Key.Key_E)
    return press


def kept(put):
    with Library.open(put.library) as library:
        lesson = library.latest_lesson()
        return lesson.batches, [(s.kind, s.batch_id, s.left_out) for s in library.swings(lesson.id)]


def test_home_and_end_with_nothing_chosen(put):
    state = put.window.state
    for key, place in ((Qt.Key.Key_Home, 0), (Qt.Key.Key_End, -1), (Qt.Key.Key_Right, 0), (Qt.Key.Key_Left, -1)):
        state.choose_swing(None)
        put(key)
        assert state.swing_id == state.lesson.swings[place].id


def test_words_club_target_and_ball_of_any_batch(put):
    before = kept(put)
    put(Qt.Key.Key_W)
    put.window.focusWidget().clear()
    put("tall at the top", Qt.Key.Key_Tab)
    put.window.focusWidget().clear()
    put("slow", Qt.Key.Key_Return)
    first = kept(put)[0][0]
    assert (first.cue, first.feel) == ("tall at the top", "slow")
    assert put.window.chart.drawings[0].bands[0].batch.cue == "tall at the top"
    put(Qt.Key.Key_K)
    for field, text in zip(put.window.chart.strip.form.fields, ("wedge", "net", "foam ball"), strict=True):
        assert put.window.focusWidget() is field
        field.clear()
        put(text, Qt.Key.Key_Tab if text != "foam ball" else Qt.Key.Key_Return)
    first = kept(put)[0][0]
    assert (first.club, first.target, first.ball) == ("wedge", "net", "foam ball")
    assert "foam ball" in put.window.chart.strip.about.text()
    put(Qt.Key.Key_U, Qt.Key.Key_U)
    assert kept(put) == before
    put(Qt.Key.Key_R)
    assert kept(put)[0][0].cue == "tall at the top"


def test_words_are_picked_from_earlier_ones(put):
    cues = [batch.cue for batch in kept(put)[0]]
    put(Qt.Key.Key_W)
    put.window.focusWidget().clear()
    put.window.focusWidget()._begin("")
    put(Qt.Key.Key_Down, Qt.Key.Key_Return)
    assert kept(put)[0][0].cue == next(cue for cue in reversed(cues) if cue)


def test_kinds_batches_and_swings_left_out(put):
    before = kept(put)
    batches = before[0]
    put(Qt.Key.Key_D)
    assert kept(put)[1][0][0] is SwingKind.DRILL
    put(Qt.Key.Key_X, "phone rang", Qt.Key.Key_Return)
    assert kept(put)[1][0][2] == "phone rang"
    put(Qt.Key.Key_X)
    assert kept(put)[1][0][2] == ""
    put(Qt.Key.Key_2)
    assert kept(put)[1][0][1] == batches[1].id
    put(Qt.Key.Key_L, "1", Qt.Key.Key_Return)
    assert kept(put)[1][0][1] == batches[0].id
    put(Qt.Key.Key_O)
    assert kept(put)[0][0].is_closed is not batches[0].is_closed
    put(Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_B)
    assert len(kept(put)[0]) == len(batches) + 1
    assert len(put.window.chart.drawings[0].bands) == len(batches) + 1
    for _ in range(7):
        put(Qt.Key.Key_U)
    assert kept(put) == before
    assert put.window.state.undoing.undo() == ""
    for _ in range(7):
        put(Qt.Key.Key_R)
    assert len(kept(put)[0]) == len(batches) + 1


def test_chart_and_comparison_follow_and_the_swing_stays_chosen(put):
    state = put.window.state
    chosen, before = state.swing_id, state.comparison.comparisons[0]
    counted = next(n for n, s in enumerate(state.lesson.swings) if s.kind is SwingKind.SHOT and s.shot and s.batch_id)
    for _ in range(counted):
        put(Qt.Key.Key_Right)
    chosen = state.swing_id
    put(Qt.Key.Key_X, "mishit", Qt.Key.Key_Return)
    assert state.swing_id == chosen
    assert state.comparison.comparisons[0].n_first == before.n_first - 1
    put(Qt.Key.Key_Escape)
    assert put.window.chart.strip.isHidden()
    assert put.window.focusWidget() is put.window.chart
    put(Qt.Key.Key_Z)  # without Ctrl it means nothing
    assert state.lesson.swing(chosen).left_out == "mishit"


def test_what_cannot_be_is_said_and_changes_nothing(put):
    before = kept(put)
    put(Qt.Key.Key_9)
    assert "no batch 9" in put.window.bar.text
    put(Qt.Key.Key_B)
    assert "begins with swing" in put.window.bar.text
    put(Qt.Key.Key_M, Qt.Key.Key_T)  # keys of the chart mean nothing in the strip
    assert put.window.pages.currentWidget() is put.window.chart
    assert kept(put) == before


def test_several_swings_are_moved_and_left_out_in_one_step_undone_in_one(put):
    strip, state, before = put.window.chart.strip, put.window.state, kept(put)
    swings = state.lesson.swings
    put(Qt.Key.Key_Home)
    for _ in range(2):
        put.extend(Qt.Key.Key_Right)
    assert [one.id for one in strip.together] == [one.id for one in swings[:3]]
    assert "3 swings together, 1 to 3" in strip.about.text()
    put(Qt.Key.Key_3)
    third = before[0][2].id
    assert [batch for _, batch, _ in kept(put)[1]][:4] == [third] * 3 + [before[1][3][1]]
    put(Qt.Key.Key_U)
    assert kept(put) == before
    put(Qt.Key.Key_X, "interrupted", Qt.Key.Key_Return)
    assert [why for _, _, why in kept(put)[1]][:4] == ["interrupted"] * 3 + [""]
    put(Qt.Key.Key_U)
    assert kept(put) == before
    state.choose_swing(swings[4].id)  # pointed at with the mouse
    assert [one.id for one in strip.together] == [swings[4].id]
    put.extend(Qt.Key.Key_Left)
    put(Qt.Key.Key_Right)  # without Shift: one alone
    assert len(strip.together) == 1


def test_undo_pressed_at_once_takes_back_the_correction_just_pressed_and_no_older_one(qtbot, put):
    before = kept(put)
    put(Qt.Key.Key_O)
    put(Qt.Key.Key_R)  # nothing to do again: the older step stays
    older = kept(put)
    put.extend(Qt.Key.Key_Right)
    for key in (Qt.Key.Key_2, Qt.Key.Key_U, Qt.Key.Key_D, Qt.Key.Key_U, Qt.Key.Key_R):  # none waited for
        qtbot.keyClick(put.window.focusWidget(), key)
    qtbot.waitUntil(lambda: not len(put.window.state.line), timeout=PATIENCE_MS)
    assert kept(put)[0] == older[0]
    kinds = [kind for kind, _, _ in kept(put)[1]]
    assert kinds == [SwingKind.SHOT, SwingKind.DRILL, *kinds[2:]]
    assert [batch for _, batch, _ in kept(put)[1]] == [batch for _, batch, _ in before[1]]
    drilled = kept(put)
    put(Qt.Key.Key_9)  # what is refused is no step
    assert kept(put) == drilled
    put(Qt.Key.Key_U)
    assert kept(put) == older
    put(Qt.Key.Key_U)
    assert kept(put) == before
