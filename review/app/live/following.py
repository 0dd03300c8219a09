"""Follows a lesson in a thread of its own: the session, its measuring, and what the coach's keys do."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import QObject, pyqtSignal

from review.app.sentences import say_sentences
from review.app.worker import say_mistake
from review.errors import ReviewError

if TYPE_CHECKING:  # loaded in the thread
    from review.jobs.live import LiveRequest, LiveSession

Act = Callable[["LiveSession"], object]

_LOOK_EVERY_S = 0.2
_SHOWN_WITHIN_S = 0.5
"""Changes that come close together are shown together."""


class Following(QObject):
    """One lesson, from its begin until another begins or the window closes.

    ``began`` comes once, or ``failed`` in its place. ``happened`` brings the session's events, ``renewed`` the lesson
    whenever something in it changed, ``answered`` what a key did in words, ``refused`` why it did nothing.
    ``swing_on`` tells that a swing is being taken up (its row or file is there, its clip not yet), and that it is over.
    ``measuring`` brings ids of the clips that are being measured and of those that wait for it, whenever they change.
    ``before`` is left already; its end is waited for in the thread.
    """

    began = pyqtSignal(object)
    happened = pyqtSignal(object)
    renewed = pyqtSignal(object)
    answered = pyqtSignal(object)
    refused = pyqtSignal(str)
    failed = pyqtSignal(str)
    swing_on = pyqtSignal(bool)
    measuring = pyqtSignal(object)

    def __init__(
        self,
        library: Path,
        request: LiveRequest,
        asked_at: datetime,
        now: Callable[[], datetime] = datetime.now,
        before: Following | None = None,
    ) -> None:
        super().__init__()
        self._library, self._request, self._asked_at, self._now = library, request, asked_at, now
        self._before = before
        self._acts: queue.SimpleQueue[tuple[Act, Callable[[Any], None] | None]] = queue.SimpleQueue()
        self._is_to_leave = threading.Event()
        self._thread = threading.Thread(target=self._run, name="lesson", daemon=True)
        self._is_changed = False
        self._awaited: set[str] = set()

    def start(self) -> None:
        """Begin, once whoever wants to know is connected."""
        self._thread.start()

    @property
    def is_running(self) -> bool:
        """Whether the thread lives."""
        return self._thread.is_alive()

    def act(self, act: Act, then: Callable[[Any], None] | None = None) -> None:
        """Let a key do what it does, in the thread; ``then`` is called in the window with what came of it."""
        self._acts.put((act, then))

    def leave(self) -> None:
        """Let the thread end once it has done what was asked; the lesson stays as it is."""
        self._is_to_leave.set()

    def wait(self) -> None:
        """Wait until the thread has ended."""
        if self._thread.is_alive():
            self._thread.join()

    # in the thread

    def _run(self) -> None:
        try:
            if self._before is not None:  # one lesson at a time is followed in a library
                self._before.wait()
                self._before = None
            self._follow()
        except ReviewError as error:
            self.failed.emit(say_sentences(str(error)))
        except Exception as error:  # noqa: BLE001 - whatever it is must reach the coach, not end the program
            self.failed.emit(say_mistake(error))

    def _follow(self) -> None:
        from review.jobs.live import LiveSession, WorkQueue, begin_lesson, is_going_on, may_measure, only_run
        from review.library import Library

        with (
            Library.open(self._library) as library,
            # a second window or terminal is refused; our own lesson before has ended its thread by now
            only_run(self._library, lambda: is_going_on(library, self._now())),
        ):
            live, is_resumed = begin_lesson(library, self._request, self._asked_at, self._note)
            work = None if live.watched.body == "none" else WorkQueue()
            try:
                if work is not None and may_measure(library, live.lesson_id):
                    work.warm_up()
                is_thorough = live.watched.body == "thorough"
                session = LiveSession(library, live, self._take, work, is_resumed, is_thorough, self._now)
                self.began.emit(self._show(live.lesson_id))
                self._look_on(session, live.lesson_id)
            finally:
                if work is not None:
                    work.close()

    def _look_on(self, session: LiveSession, lesson_id: str) -> None:
        shown_at_s, was_on = time.monotonic(), False
        to_measure: object = None
        while True:
            is_leaving = self._is_to_leave.is_set()  # asked first: what was pressed before it is done all the same
            self._do_what_is_asked(session)
            session.look()
            is_on = bool(self._awaited) or session.n_arriving > 0
            if is_on != was_on:
                was_on = is_on
                self.swing_on.emit(is_on)
            if self._is_changed and time.monotonic() >= shown_at_s + _SHOWN_WITHIN_S:
                self._is_changed, shown_at_s = False, time.monotonic()
                self.renewed.emit(self._show(lesson_id))
            if session.clips_to_measure != to_measure:
                to_measure = session.clips_to_measure
                self.measuring.emit(to_measure)
            if is_leaving or (session.is_over and session.is_settled and not self._is_changed and self._acts.empty()):
                return
            if self._acts.empty():
                self._is_to_leave.wait(_LOOK_EVERY_S)

    def _do_what_is_asked(self, session: LiveSession) -> None:
        while not self._acts.empty():
            act, then = self._acts.get()
            try:
                outcome = act(session)
            except ReviewError as error:
                self.refused.emit(say_sentences(str(error)))
                continue
            self._is_changed = True
            if then is not None:
                self.answered.emit(lambda then=then, outcome=outcome: then(outcome))

    def _show(self, lesson_id: str) -> object:
        from review.jobs.showing.lesson import show_lesson

        return show_lesson(self._library, lesson_id)

    def _note(self, text: str) -> None:
        from review.jobs.live import Noted

        self.happened.emit(Noted(text))

    def _take(self, event: object) -> None:
        from review.jobs.live import ClipArrived, Paired, Progressed, RowArrived

        if isinstance(event, RowArrived):
            self._awaited = {event.swing.id}
        elif isinstance(event, ClipArrived | Paired):
            self._awaited.clear()
        if not isinstance(event, Progressed):
            self._is_changed = True
            self.happened.emit(event)
