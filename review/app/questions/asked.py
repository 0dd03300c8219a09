"""The open questions of the lesson that is open, found and answered beside the window."""

from typing import Any

from PyQt5.QtCore import QObject, pyqtSignal

from review.app.language import tr
from review.app.state import ReviewState
from review.app.worker import Task


class OpenQuestions(QObject):
    """``changed`` when there are others than before; ``answered`` tells that the lesson itself is another now."""

    changed = pyqtSignal()
    refused = pyqtSignal(str)

    def __init__(self, state: ReviewState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.found: Any = None
        self.is_answered = False
        state.comparison_changed.connect(self._look)
        state.lesson_changed.connect(self._forget)

    def __len__(self) -> int:
        """How many are open."""
        return 0 if self.found is None else len(self.found.asked)

    def answer(self, question: Any, row: int | None) -> None:
        """Keep which row a swing has, None for none."""
        lesson_id, folder = self.found.lesson_id, self._state.library

        def work(_: Any) -> Any:
            from review.jobs.pairing.asking import answer_question

            return answer_question(folder, lesson_id, question, row)

        def take(found: Any) -> None:
            self.is_answered = True
            self._take(found)

        self._state.line.add(Task(tr("Keeping your answer"), work, take, self.refused.emit, True, self))

    def renew_lesson(self) -> bool:
        """Open the lesson anew where an answer changed it; whether it did."""
        if not self.is_answered or self.found is None:
            return False
        self._state.open_lesson(self.found.lesson_id)
        return True

    def _look(self) -> None:
        shown, folder = self._state.lesson, self._state.library
        if shown is None:
            return
        lesson_id = shown.lesson.id

        def work(_: Any) -> Any:
            from review.jobs.pairing.asking import find_questions

            return find_questions(folder, lesson_id)

        self._state.line.add(Task(tr("Looking for questions"), work, self._take, self.refused.emit))

    def _take(self, found: Any) -> None:
        shown = self._state.lesson
        if shown is not None and shown.lesson.id == found.lesson_id:
            self.found = found
            self.changed.emit()

    def _forget(self) -> None:
        self.found, self.is_answered = None, False
        self.changed.emit()
