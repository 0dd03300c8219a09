"""Work beside the window, in a thread: of a line one piece runs at a time, the others wait.

What must not wait in a line has a thread of its own elsewhere: frames of clips, a live lesson, the microphone.
"""

import sys
import traceback
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from PyQt5 import sip
from PyQt5.QtCore import QObject, QThread, pyqtSignal

from review.app.language import tr
from review.app.sentences import say_sentences
from review.errors import Cancelled, ReviewError
from review.progress import Progress, silent

Work = Callable[[Progress], Any]


class Worker(QThread):
    """Does one piece of work; exactly one of ``succeeded``, ``failed`` and ``cancelled`` comes of it."""

    progressed = pyqtSignal(int, int)
    succeeded = pyqtSignal(object)
    failed = pyqtSignal(str)
    cancelled = pyqtSignal()

    def __init__(self, work: Work, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._work = work
        self._is_to_stop = False

    def stop(self) -> None:
        """Ask it to stop: it does so where it next reports progress."""
        self._is_to_stop = True

    def run(self) -> None:
        """Do the work; called by Qt in the other thread."""
        try:
            result = self._work(self._report)
        except Cancelled:
            self.cancelled.emit()
        except ReviewError as error:
            self.failed.emit(say_sentences(str(error)))
        except Exception as error:  # noqa: BLE001 - whatever it is must reach the coach, not end the program
            self.failed.emit(say_mistake(error))
        else:
            self.succeeded.emit(result)

    def _report(self, done: int, total: int) -> None:
        if self._is_to_stop:
            raise Cancelled("Stopped.")
        self.progressed.emit(done, total)


@dataclass(frozen=True, eq=False)
class Task:
    """A piece of work that waits or runs: its name for the coach, and what is done with its outcome.

    What ``keeps`` something the coach wrote is short, and done whatever else is stopped. ``owner`` is whose outcome it
    is, by default the object ``on_done`` is a method of: once that is gone nothing is done with a result.
    """

    name: str
    work: Work
    on_done: Callable[[Any], None]
    on_failed: Callable[[str], None]
    keeps: bool = False
    owner: QObject | None = None
    on_stopped: Callable[[], None] | None = None

    @property
    def whose(self) -> QObject | None:
        """Whose outcome it is; None where it is nobody's."""
        owner = self.owner or getattr(self.on_done, "__self__", None)
        return owner if isinstance(owner, QObject) else None

    @property
    def is_orphan(self) -> bool:
        """Whether its page is gone."""
        owner = self.whose
        return owner is not None and sip.isdeleted(owner)


class Line(QObject):
    """Pieces of work one after another; ``changed`` tells that the line or the progress of what runs is another.

    ``unheard`` says why a piece failed whose page is gone.
    """

    changed = pyqtSignal()
    unheard = pyqtSignal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: list[Task] = []
        self._worker: Worker | None = None
        self.running: Task | None = None
        self.progress = (0, 0)
        self._is_closed = self._has_come = False

    def __len__(self) -> int:
        """Pieces that run or wait."""
        return len(self._waiting) + (self.running is not None)

    @property
    def expected(self) -> tuple[Task, ...]:
        """Pieces whose outcome has not come yet."""
        running = () if self.running is None or self._has_come else (self.running,)
        return (*running, *self._waiting)

    def holds(self, task: Task) -> bool:
        """Whether it runs or waits here."""
        return task is self.running or task in self._waiting

    def add(self, task: Task) -> None:
        """Put a piece of work at the end of the line."""
        self._waiting.append(task)
        if self._is_closed:
            self._do_what_keeps()
        else:
            self._go_on()

    def stop(self, task: Task) -> None:
        """Forget a piece that waits, ask it to stop where it runs; ``on_stopped`` tells that it did."""
        if task.keeps:
            return
        if task is self.running and self._worker is not None:
            self._worker.stop()
        elif task in self._waiting:
            self._waiting.remove(task)
            self._say_stopped(task)
            self.changed.emit()

    def close(self) -> None:
        """Stop all but what keeps something, and wait: nothing may outlive the window, or begin after it."""
        self._is_closed = True
        self._waiting = [task for task in self._waiting if task.keeps]
        if self.running is not None:
            self.stop(self.running)
        if self._worker is not None:
            self._worker.wait()
        self._do_what_keeps()
        self.changed.emit()

    def _do_what_keeps(self) -> None:
        waiting, self._waiting = self._waiting, []
        for task in waiting:
            # nobody is there to tell; what is wrong with the library is told at the next start
            with suppress(ReviewError):
                if task.keeps:
                    task.work(silent)

    def _go_on(self) -> None:
        if self._worker is None and self._waiting and not self._is_closed:
            task = self.running = self._waiting.pop(0)
            self.progress, self._has_come = (0, 0), False
            worker = self._worker = Worker(task.work, self)
            worker.progressed.connect(self._note)
            worker.succeeded.connect(self._give)
            worker.failed.connect(self._refuse)
            worker.cancelled.connect(self._stopped)
            worker.finished.connect(self._finish)
            worker.start()
        self.changed.emit()

    # what comes of the piece that runs

    def _give(self, result: object) -> None:
        self._has_come = True
        if self.running is not None and not self.running.is_orphan:
            self.running.on_done(result)

    def _refuse(self, why: str) -> None:
        self._has_come = True
        if self.running is not None and self.running.is_orphan:
            self.unheard.emit(why)
        elif self.running is not None:
            self.running.on_failed(why)

    def _stopped(self) -> None:
        if self.running is not None:
            self._say_stopped(self.running)

    def _say_stopped(self, task: Task) -> None:
        if task.on_stopped is not None and not task.is_orphan:
            task.on_stopped()

    def _note(self, done: int, total: int) -> None:
        self.progress = (done, total)
        self.changed.emit()

    def _finish(self) -> None:
        if self._worker is not None:
            self._worker.deleteLater()
        self._worker = self.running = None
        self._go_on()


def say_mistake(error: BaseException) -> str:
    """Say an error that nobody foresaw; where it came from goes to the terminal."""
    traceback.print_exception(error, file=sys.stderr)
    return tr(
        "The program made a mistake ({what}). What the library holds is safe. "
        "Go on; if something looks wrong, close the window and open it again.",
        what=f"{type(error).__name__}: {error}",
    )
