"""Corrections of the open lesson, kept beside the window one after another; each is a step that can be undone."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from review.app.history import Step
from review.app.language import tr
from review.app.state import ReviewState
from review.app.worker import Task

if TYPE_CHECKING:  # loaded beside the window
    from review.jobs.undoing import Correction
    from review.library import Library

Correct = Callable[["Library", str], "Correction"]
"""A function of ``review.jobs.correcting`` for a library and a lesson's id."""


class Corrections:
    """Corrects the lesson that is open; chart and comparison follow."""

    def __init__(self, state: ReviewState) -> None:
        self._state = state

    def do(self, name: str, correct: Correct) -> None:
        """Correct the lesson; ``name`` is what is said of it: "Swing 7: drill"."""
        state, shown, folder = self._state, self._state.lesson, self._state.library
        if shown is None:
            return
        lesson_id = shown.lesson.id

        def work(_: Any) -> Any:
            from review.jobs.undoing import correct_in

            return correct_in(folder, lambda library: correct(library, lesson_id))

        def take(done: Correction) -> None:
            if state.lesson is None or state.lesson.lesson.id != lesson_id:
                return  # another lesson is open by now: its steps are its own
            if not done.is_empty:
                step = Step(name, lambda: self._restore(done, is_again=True), lambda: self._restore(done))
                state.history.note(step)
            state.step_told.emit(name)
            state.renew_from_library(lesson_id)

        self._add(work, take)

    def _restore(self, done: Correction, is_again: bool = False) -> None:
        folder = self._state.library

        def work(_: Any) -> Any:
            from review.jobs.undoing import redo_in, undo_in

            (redo_in if is_again else undo_in)(folder, done)

        self._add(work, lambda _: self._state.renew_from_library(done.lesson_id))

    def _add(self, work: Callable[[Any], Any], then: Callable[[Any], None]) -> None:
        self._state.line.add(Task(tr("Keeping it"), work, then, self._state.trouble_came.emit, keeps=True))
