"""What a pupil may be shown of the open lesson, read beside the window."""

from collections.abc import Callable

from review.app.language import tr
from review.app.state import ReviewState
from review.app.worker import Task
from review.jobs.showing.pair import ForPupil, show_to_pupil
from review.progress import Progress


class Reading:
    """Gives ``take`` what was asked for last; what is wrong is for the coach, the pupil sees the calm page."""

    def __init__(self, state: ReviewState, take: Callable[[ForPupil], None]) -> None:
        self._state, self._take = state, take
        self._asked = 0

    def ask(self, first_id: str, last_id: str) -> None:
        """Read two swings and what goes with them; without ids the typical ones."""
        if self._state.lesson is None:
            return
        self._asked += 1
        asked, folder, lesson_id = self._asked, self._state.library, self._state.lesson.lesson.id

        def work(progress: Progress) -> ForPupil:
            return show_to_pupil(folder, lesson_id, first_id, last_id, progress)

        def take(shown: ForPupil) -> None:
            if asked == self._asked:
                self._take(shown)

        self._state.line.add(Task(tr("Opening the swings"), work, take, self._state.trouble_came.emit))

    def drop(self) -> None:
        """Take nothing that was asked for so far."""
        self._asked += 1
