"""Review copies of clips that are looked at, made without a place in the line: nothing else has to wait for them."""

from collections.abc import Callable, Sequence

from PyQt5.QtCore import QObject

from review.app.state import ReviewState
from review.app.swing_view.endings import Endings
from review.app.worker import Worker
from review.jobs.showing.swing import copy_swing
from review.lesson import Clip


class Copying:
    """Makes them for one page; what was given up ends by itself, kept by ``endings``."""

    def __init__(self, state: ReviewState, endings: Endings, page: QObject) -> None:
        self._state, self._endings, self._page = state, endings, page
        self._worker: Worker | None = None

    def begin(self, clips: Sequence[Clip], then: Callable[[dict[str, str]], None]) -> None:
        """Make what the clips lack, once until it is given up; ``then`` hears why not, by clip id."""
        if self._worker is not None:
            return
        folder = self._state.library
        worker = self._worker = Worker(lambda progress: copy_swing(folder, clips, progress), self._page)
        worker.succeeded.connect(then)
        worker.failed.connect(self._state.trouble_came.emit)
        worker.start()

    def give_up(self) -> None:
        """Stop making them."""
        if self._worker is not None:
            self._worker.stop()
            self._endings.add(self._worker)
            self._worker = None
