"""Fetches frames in a thread of its own, so that the window never waits for a picture."""

import threading
from collections.abc import Callable
from contextlib import AbstractContextManager

from PyQt5.QtCore import QObject, pyqtSignal

from review.app.sentences import say_sentences
from review.app.worker import say_mistake
from review.errors import ReviewError
from review.media import FrameSource

OpenSource = Callable[[], AbstractContextManager[FrameSource]]


class FramePump(QObject):
    """Gives the frames of one clip as they are asked for; of several asked for while one is fetched, the last.

    ``opened`` comes once, before the first frame, or ``failed`` in its place. ``came`` brings the number of a frame and
    its picture as ``FrameSource.screen_frame`` gives it; ``came_aside`` one that was asked for beside them.
    ``damaged`` comes in the place of a frame that does not decode.

    Parameters
    ----------
    open_source
        Opens the clip, and closes it; called and used in the thread.
    """

    opened = pyqtSignal(object)
    came = pyqtSignal(int, object)
    came_aside = pyqtSignal(int, object)
    failed = pyqtSignal(str)
    damaged = pyqtSignal(str)

    def __init__(self, open_source: OpenSource, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._open_source = open_source
        self._changed = threading.Condition()
        self._wanted: int | None = None
        self._aside: int | None = None
        self._is_closed = False
        self._thread = threading.Thread(target=self._run, name="frames", daemon=True)

    def start(self) -> None:
        """Open the clip; once whoever wants to know is connected, so that nothing is missed."""
        self._thread.start()

    def ask(self, frame: int) -> None:
        """Ask for a frame."""
        with self._changed:
            self._wanted = frame
            self._changed.notify()

    def ask_aside(self, frame: int) -> None:
        """Ask for a frame that is not the one looked at; those come first."""
        with self._changed:
            self._aside = frame
            self._changed.notify()

    @property
    def is_running(self) -> bool:
        """Whether the thread lives."""
        return self._thread.is_alive()

    @property
    def has_taken_all(self) -> bool:
        """Whether nothing that was asked for still waits; the last of it may be on its way."""
        with self._changed:
            return self._wanted is None and self._aside is None

    def close(self) -> None:
        """Let the thread end, and let go of the file, once the picture being fetched is there; nothing waits for it."""
        with self._changed:
            self._is_closed = True
            self._changed.notify()

    def wait(self) -> None:
        """Wait until the thread has ended."""
        if self._thread.is_alive():
            self._thread.join()

    def _run(self) -> None:
        try:
            with self._open_source() as source:
                self._tell("opened", source)
                while (asked := self._next(source)) is not None:
                    signal, frame = asked
                    try:
                        self._tell(signal, frame, source.screen_frame(frame))
                    except ReviewError as error:  # a damaged place: other frames may still be shown
                        self._tell("damaged", say_sentences(str(error)))
        except ReviewError as error:
            self._tell("failed", say_sentences(str(error)))
        except Exception as error:  # noqa: BLE001 - whatever it is must reach the coach, not end the program
            self._tell("failed", say_mistake(error))

    def _tell(self, signal: str, *what: object) -> None:
        # under the lock: ``close`` must not return while something is on its way to a window that goes away; by name,
        # since Qt's part of a closed one may be gone
        with self._changed:
            if not self._is_closed:
                getattr(self, signal).emit(*what)

    def _next(self, source: FrameSource) -> tuple[str, int] | None:
        """The next frame that is asked for; until then what comes after the last one is read ahead."""
        while True:
            with self._changed:
                if self._is_closed:
                    return None
                if self._wanted is not None:
                    wanted, self._wanted = self._wanted, None
                    return "came", wanted
                if self._aside is not None:
                    aside, self._aside = self._aside, None
                    return "came_aside", aside
            if source.read_ahead():
                continue
            with self._changed:
                while self._wanted is None and self._aside is None and not self._is_closed:
                    self._changed.wait()
