"""What is known of one pupil, read beside the window piece by piece: who it is, the years, lesson after lesson."""

from collections.abc import Callable
from functools import partial
from typing import Any

from PyQt5.QtCore import QObject, pyqtSignal

from review.app.language import tr
from review.app.state import ReviewState
from review.app.worker import Task
from review.jobs.history.before import BeforeLesson, show_before
from review.jobs.showing.pupil import MOST_JUDGED, LessonJudged, judge_lesson, show_pupil
from review.jobs.showing.pupils import PupilShown


class Known(QObject):
    """``came`` when the pupil that was asked for last is read, ``grew`` with what is read after that."""

    came = pyqtSignal()
    grew = pyqtSignal()

    def __init__(self, state: ReviewState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state, self._wanted = state, ""
        self.shown: PupilShown | None = None
        self.judged: tuple[LessonJudged, ...] = ()
        self.before: BeforeLesson | None = None

    def read(self, pupil_id: str) -> None:
        """Read a pupil of the library."""
        self.clear()
        folder, self._wanted = self._state.library, pupil_id
        self._do(tr("Reading the pupil"), lambda: show_pupil(folder, pupil_id), self._take)

    def read_more(self) -> None:
        """Read the years and compare the lessons of the pupil that came."""
        before = partial(show_before, self._state.library, self._wanted)
        self._do(tr("Reading the years"), before, self._take_before, lambda _: None)
        self._judge_next()

    def stop(self) -> None:
        """Read nothing more: what else is done comes first."""
        self._wanted = ""

    def clear(self) -> None:
        """Know nothing of anybody."""
        self.stop()
        self.shown, self.judged, self.before = None, (), None

    def _take(self, shown: PupilShown) -> None:
        if shown.pupil.id == self._wanted:
            self.shown = shown
            self.came.emit()

    def _take_before(self, before: BeforeLesson) -> None:
        if before.pupil.id == self._wanted:
            self.before = before
            self.grew.emit()

    def _judge_next(self) -> None:
        """Compare the next lesson; one at a time, so that what the coach does meanwhile comes first."""
        if self.shown is None or self.shown.pupil.id != self._wanted:
            return
        n, lessons, folder = len(self.judged), self.shown.lessons[:MOST_JUDGED], self._state.library
        if n < len(lessons):
            pupil_id, say = self._wanted, self._state.trouble_came.emit

            def fail(why: str) -> None:  # of a pupil who was forgotten or left meanwhile there is nothing to tell
                if pupil_id == self._wanted:
                    say(why)

            self._do(tr("Comparing lessons"), lambda: judge_lesson(folder, lessons[n].id), self._take_judged, fail)

    def _take_judged(self, judged: LessonJudged) -> None:
        if self.shown is not None and judged.lesson.pupil_id == self.shown.pupil.id == self._wanted:
            self.judged = (*self.judged, judged)
            self.grew.emit()
            self._judge_next()

    def _do(
        self, name: str, work: Callable[[], Any], take: Callable[[Any], None], fail: Callable[[str], Any] | None = None
    ) -> None:
        self._state.line.add(Task(name, lambda _: work(), take, fail or self._state.trouble_came.emit))
