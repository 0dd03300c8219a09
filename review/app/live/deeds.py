"""What the coach does to a lesson that goes on, each deed by one key; what was done is told in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import QObject, pyqtSignal

from review.app.language import tr
from review.app.live.following import Act, Following
from review.app.live.three_numbers import find_newest
from review.app.live.told import say_told
from review.app.state import ReviewState
from review.app.voice.words import say_what
from review.lesson import Batch, Swing, SwingKind, VoiceOf

if TYPE_CHECKING:
    from review.jobs.live import LiveSession
    from review.jobs.showing.lesson import LessonShown


class Deeds(QObject):
    """Does them in the lesson that is followed; those about a swing are about the one that is chosen, else the last.

    ``without_feel`` comes with a batch that was closed before its feel was written, ``empty`` with the open one where
    another was to begin before its first swing. ``before_end`` asks what is to be known yet, then ends the lesson.
    """

    told = pyqtSignal(str)
    without_feel = pyqtSignal(object)
    empty = pyqtSignal(object)
    ended = pyqtSignal()

    def __init__(self, state: ReviewState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.following: Following | None = None
        self.is_end_asked, self._told_empty = False, ""
        self.before_end: Callable[[Callable[[], None]], object] = lambda end: end()

    def act(self, act: Act, then: Callable[[Any], None] | None = None) -> None:
        """Do something in the lesson's own thread, then something in the window's."""
        if self.following is not None:
            self.following.act(act, then)

    @property
    def meant(self) -> Swing | None:
        """The swing a key is about."""
        shown = self._state.lesson
        if shown is None:
            return None
        return (shown.swing(self._state.swing_id) if self._state.swing_id else None) or find_newest(shown)

    # swings

    def set_kind(self, kind: SwingKind) -> None:
        """Say what the swing was."""
        self._act_on_swing(
            lambda session, order: session.coach.set_kind(kind, order),
            lambda swing: tr("Swing {n}: {kind}.", n=swing.order, kind=tr(swing.kind.value)),
        )

    def move_swing(self) -> None:
        """Put the swing into the newest batch, or out of it again."""
        self._act_on_swing(
            lambda session, order: session.coach.move_last_swing(order),
            lambda swing: tr("Swing {n} is in another batch now.", n=swing.order),
        )

    def _act_on_swing(self, act: Callable[[LiveSession, int], Swing], say: Callable[[Swing], str]) -> None:
        swing = self.meant
        if swing is None:
            self.told.emit(tr("There is no swing yet."))
            return
        order = swing.order
        self.act(lambda session: act(session, order), lambda done: self.told.emit(say(done)))

    # batches

    def start_batch(self, is_swing_on: bool = False) -> None:
        """Begin a new batch; one that has no swing yet, and none that is on, is told first."""
        shown = self._state.lesson
        closing = shown.lesson.batches[-1] if shown is not None and shown.lesson.batches else None
        if shown is not None and closing is not None and not is_swing_on and self._is_empty(shown, closing):
            self._told_empty = closing.id
            self.told.emit(
                tr("Batch {n} is open and has no swing yet. B once more begins another all the same.", n=closing.number)
            )
            self.empty.emit(closing)
            return

        def begun(batch: Batch) -> None:
            self.told.emit(tr("Batch {n} begins.", n=batch.number))
            if closing is not None and not closing.feel:
                self.without_feel.emit(closing)

        self.act(lambda session: session.coach.start_batch(), begun)

    def _is_empty(self, shown: LessonShown, batch: Batch) -> bool:
        """Whether nothing was struck in a batch as far as is known; clips may come late, so the coach's word wins."""
        is_struck = any(swing.batch_id == batch.id for swing in shown.swings)
        return not batch.is_closed and not is_struck and self._told_empty != batch.id

    def keep_voice(self, batch: Batch, of: VoiceOf, audio: Any) -> None:
        """Keep what was spoken of a batch, None = take it off."""
        said = say_what(batch, of) + ": " + (tr("taken off") if audio is None else tr("spoken"))
        self.act(lambda session: session.coach.put_voice(batch.id, of, audio), lambda _: self.told.emit(said))

    # the lesson

    def undo(self) -> None:
        """Take the last deed back."""
        self.act(
            lambda session: session.coach.undo(),
            lambda what: self.told.emit(tr("Taken back: {what}.", what=say_told(what))),
        )

    def answer(self, is_yes: bool) -> None:
        """Answer what is asked."""
        self.act(lambda session: session.coach.answer(is_yes), lambda answer: self.told.emit(say_told(answer)))

    def end(self) -> None:
        """End the lesson; asked once, since a slip of the finger must not."""
        if not self.is_end_asked:
            self.is_end_asked = True
            self.told.emit(tr("E again ends the lesson; any other key goes on with it."))
            return
        self.is_end_asked = False
        self.told.emit("")
        self.before_end(self._end)

    def _end(self) -> None:
        self.act(lambda session: session.end(), lambda _: self.ended.emit())

    def go_on(self) -> None:
        """Another key than that for the end was pressed: it is no longer asked for."""
        if self.is_end_asked:
            self.is_end_asked = False
            self.told.emit("")
