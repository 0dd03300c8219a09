"""Corrections of the open lesson, kept beside the window one after another; each is a step that can be undone."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from review.app.language import tr
from review.app.state import ReviewState
from review.app.undoing import Step
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
        """Correct the lesson; ``name`` is what is said of it: "Swing 7: drill".

        It is a step at once, so that an undo pressed while it is being kept is about it: the line keeps the order.
        """
        state, shown, folder = self._state, self._state.lesson, self._state.library
        if shown is None:
            return
        lesson_id = shown.lesson.id
        found: list[Correction] = []

        def work(_: Any) -> Any:
            from review.jobs.undoing import correct_in

            found.append(correct_in(folder, lambda library: correct(library, lesson_id)))
            return found[0]

        def take(done: Correction) -> None:
            if state.lesson is None or state.lesson.lesson.id != lesson_id:
                return  # another lesson is open by now: its steps are its own
            if done.is_empty:
                state.undoing.drop(step)
            state.step_told.emit(name)
            state.renew_from_library(lesson_id)

        def fail(why: str) -> None:
            state.undoing.drop(step)
            state.trouble_came.emit(why)

        def restore(is_again: bool) -> None:
            self._add(lambda _: restore_in(is_again), lambda _: state.renew_from_library(lesson_id))

        def restore_in(is_again: bool) -> None:
            from review.jobs.undoing import redo_in, undo_in

            for done in found:
                (redo_in if is_again else undo_in)(folder, done)

        step = Step(name, lambda: restore(True), lambda: restore(False))
        state.undoing.note(step)
        self._add(work, take, fail)

    def _add(
        self, work: Callable[[Any], Any], then: Callable[[Any], None], fail: Callable[[str], None] | None = None
    ) -> None:
        self._state.line.add(Task(tr("Keeping it"), work, then, fail or self._state.trouble_came.emit, keeps=True))
