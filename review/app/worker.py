"""Work beside the window: the only thread. One piece runs at a time, the others wait in a line."""

import sys
import traceback
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

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


@dataclass(frozen=True)
class Task:
    """A piece of work that waits or runs: its name for the coach, and what is done with its outcome.

    What ``keeps`` something the coach wrote is short, and done whatever else is stopped.
    """

    name: str
    work: Work
    on_done: Callable[[Any], None]
    on_failed: Callable[[str], None]
    keeps: bool = False


class Line(QObject):
    """Pieces of work one after another; ``changed`` tells that the line or the progress of what runs is another."""

    changed = pyqtSignal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: list[Task] = []
        self._worker: Worker | None = None
        self.running: Task | None = None
        self.progress = (0, 0)
        self._is_closed = False

    def __len__(self) -> int:
        """Pieces that run or wait."""
        return len(self._waiting) + (self.running is not None)

    def add(self, task: Task) -> None:
        """Put a piece of work at the end of the line."""
        self._waiting.append(task)
        if self._is_closed:
            self._do_what_keeps()
        else:
            self._go_on()

    def stop(self) -> None:
        """Forget what waits, but for what keeps something, and ask what runs to stop."""
        self._waiting = [task for task in self._waiting if task.keeps]
        if self._worker is not None and not (self.running is not None and self.running.keeps):
            self._worker.stop()
        self.changed.emit()

    def close(self) -> None:
        """Stop, and wait until nothing runs: nothing may outlive the window, or begin after it."""
        self._is_closed = True
        self.stop()
        if self._worker is not None:
            self._worker.wait()
        self._do_what_keeps()

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
            self.progress = (0, 0)
            worker = self._worker = Worker(task.work, self)
            worker.progressed.connect(self._note)
            worker.succeeded.connect(task.on_done)
            worker.failed.connect(task.on_failed)
            worker.finished.connect(self._finish)
            worker.start()
        self.changed.emit()

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
