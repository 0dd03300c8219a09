"""Undo and redo against a plain list that the steps change."""

import pytest
from PyQt5.QtCore import Qt

from review.app.undoing import Step, Undoing


def put(there: list[str], word: str) -> Step:
    return Step(f"{word} put", lambda: there.append(word), lambda: there.remove(word))


def test_steps_are_undone_last_first_and_done_again_in_order() -> None:
    there: list[str] = []
    undoing = Undoing()
    for word in ("a", "b", "c"):
        undoing.do(put(there, word))
    assert [undoing.undo(), undoing.undo()] == ["c put", "b put"]
    assert there == ["a"]
    assert [undoing.redo(), undoing.redo(), undoing.redo()] == ["b put", "c put", ""]
    assert there == ["a", "b", "c"]


def test_a_new_step_ends_what_could_be_done_again() -> None:
    there: list[str] = []
    undoing = Undoing()
    undoing.do(put(there, "a"))
    undoing.undo()
    undoing.do(put(there, "b"))
    assert undoing.redo() == ""
    assert there == ["b"]


def test_a_step_that_fails_stays_undone_or_done() -> None:
    def fail() -> None:
        raise OSError("no room")

    there: list[str] = []
    undoing = Undoing()
    undoing.do(put(there, "a"))
    with pytest.raises(OSError, match="no room"):
        undoing.do(Step("b put", fail, fail))
    there.clear()  # taken away behind its back: undoing a fails
    with pytest.raises(ValueError, match="not in list"):
        undoing.undo()
    assert undoing.redo() == ""
    there.append("a")
    assert undoing.undo() == "a put"


def test_another_lesson_begins_with_nothing() -> None:
    there: list[str] = []
    undoing = Undoing()
    undoing.do(put(there, "a"))
    undoing.clear()
    assert undoing.undo() == ""
    assert there == ["a"]


def test_by_key_in_the_window_and_told_at_its_foot(qtbot, open_lesson, sample_library) -> None:
    window = open_lesson(sample_library)
    control = Qt.KeyboardModifier.ControlModifier
    there: list[str] = []
    window.state.do(put(there, "a"))
    assert window.status.accessibleDescription() == "a put. Ctrl+Z undoes it."
    assert window.status.isVisible()
    for key, left, said in (
        (Qt.Key.Key_Z, [], "Undone. No longer: a put."),
        (Qt.Key.Key_Z, [], "Nothing to undo."),
        (Qt.Key.Key_Y, ["a"], "Done again: a put."),
        (Qt.Key.Key_Y, ["a"], "Nothing to do again."),
    ):
        qtbot.keyClick(window.pages.currentWidget(), key, control)
        assert there == left
        assert window.status.accessibleDescription() == said
    window.state.close_lesson()
    window.state.undo()
    assert there == ["a"]  # of a lesson that is no longer open
