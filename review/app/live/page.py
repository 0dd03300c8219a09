"""The lesson while it goes on: the lesson chart, beside it the newest swing, and the coach's keys."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.lesson_chart.view import LessonChart
from review.app.live.balls import say_lesson
from review.app.live.following import Act, Following
from review.app.live.newest import Newest
from review.app.live.three_numbers import choose_first, find_newest, say_numbers, step_choice
from review.app.live.told import say_told
from review.app.live.words_asked import WordsAsked
from review.app.live.words_form import WordsForm
from review.app.look import Look
from review.app.look.page_head import KeysLine
from review.app.page import Page
from review.app.pupils.words import say_consent_kept
from review.app.state import ReviewState
from review.app.voice.strip import VoiceStrip
from review.app.voice.words import say_what
from review.lesson import Batch, Swing, SwingKind, VoiceOf

if TYPE_CHECKING:
    from review.jobs.live import LiveSession
    from review.jobs.showing.lesson import LessonShown

_KINDS = {
    Qt.Key.Key_S: SwingKind.SHOT,
    Qt.Key.Key_P: SwingKind.PRACTICE,
    Qt.Key.Key_D: SwingKind.DRILL,
    Qt.Key.Key_C: SwingKind.DEMONSTRATION,
}
_NO_SHOT = "no shot yet"
"""In what a table's reading says of one without rows."""
_PLACES = (Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_3)
_OF_CHART = (
    *(Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_Up, Qt.Key.Key_Down),
    *(Qt.Key.Key_Plus, Qt.Key.Key_Minus, Qt.Key.Key_Return, Qt.Key.Key_Enter),
)


class LivePage(Page):
    """Keys about a swing are about the one that is chosen, else about the last."""

    ended = pyqtSignal()
    consent_asked = pyqtSignal(str)

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("The lesson that goes on"), parent)
        self._state = state
        self.following: Following | None = None
        self.chosen: tuple[tuple[str, str], ...] = ()
        self._is_end_asked, self._told_empty = False, ""
        self.chart, self.newest = LessonChart(state, self, is_part=True), Newest(state.library, self)
        self.chart.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.form = WordsForm(self)
        self.asks = WordsAsked(state, self.form, self._act, lambda: self._meant, self.say)
        self.voice = VoiceStrip(state, self._keep_voice, self)
        self.asks.speak = self.voice.press
        for back in (self.form.kept, self.form.left, self.voice.left):
            back.connect(self.take_focus)
        aside = tr("Not kept yet; what was typed is there when it is asked for again.")
        self.form.put_aside.connect(lambda: self.say(aside))
        self.voice.other_key.connect(self.keyPressEvent)
        self.said, self._hint = QLabel(self), KeysLine(parent=self)
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setAccessibleName(tr("What happened last"))
        self._hint.setObjectName("quiet")
        self._hint.setText(
            tr(
                "B new batch   W words   Q F speak   K club   X leave out   U undo   Space hold   A consent   "
                "E end   F10 next"
            )
        )
        beside = QHBoxLayout()
        beside.setSpacing(10)
        beside.addWidget(self.chart, 5)
        beside.addWidget(self.newest, 3)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(10, 6, 20, 8)
        layout.addLayout(beside, 1)
        layout.addWidget(self.form)
        layout.addWidget(self.voice)
        layout.addWidget(self.said)
        layout.addWidget(self._hint)
        state.consent_noted.connect(lambda pupil: self.say(say_consent_kept(pupil, date.today())))
        state.lesson_changed.connect(self.refresh)
        state.lesson_renewed.connect(self.refresh)
        state.swing_chosen.connect(self.refresh)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self.chart.set_look(look)
        self.newest.set_look(look)
        self.voice.set_look(look)

    def follow(self, following: Following) -> None:
        """Drive another lesson with the keys."""
        self.following, self.chosen, self._is_end_asked = following, (), False
        following.swing_on.connect(self.newest.set_swing_on)
        following.swing_on.connect(self.voice.set_swing_on)
        following.happened.connect(self._hear)
        following.refused.connect(self.say)
        following.answered.connect(_call)
        self.newest.show_clip(None)
        self.newest.set_swing_on(False)
        self.voice.set_swing_on(False)
        self.form.hide()
        self.form.forget_drafts()
        self.say("")

    def take_focus(self) -> None:
        """Let the keyboard go to what is asked, to what is spoken, else to the page."""
        behind = self if self.voice.isHidden() else self.voice
        (self.form.fields[0] if not self.form.isHidden() else behind).setFocus()

    def say(self, text: str) -> None:
        """Say what happened."""
        self.said.setText(text)

    def finish(self) -> None:
        """Let go of microphone and clip; what is being spoken is kept."""
        self.voice.finish()
        self.newest.finish()

    # what comes from the lesson

    def _hear(self, event: Any) -> None:
        from review.jobs.live import Asked, Noted

        if isinstance(event, Noted):
            self.say(say_told(event.text))
        elif isinstance(event, Asked):
            words = tr(
                "Does row {row} of the table belong to swing {n}?", row=event.shot.row_number, n=event.swing.order
            )
            self.say(f"{words} {event.text} {tr('Y yes, N that swing has no row')}")

    def refresh(self) -> None:
        """Show the lesson as it stands."""
        shown = self._state.lesson
        if shown is None or self.following is None:
            return
        self.chosen = self.chosen or choose_first(shown)
        newest = find_newest(shown)
        if any(swing.shot for swing in shown.swings) and _NO_SHOT in self.said.text():
            self.say("")  # that was before the first ball
        if newest is not None:
            filmed = next((swing for swing in reversed(shown.swings) if swing.clips), None)
            self.newest.show_clip(None if filmed is None else filmed.clips[0])
            if filmed is None:  # rows come before their clips, or alone
                self.newest.canvas.show_message(tr("No clip yet"))
            self.newest.show_numbers(say_lesson(shown, newest), say_numbers(shown, newest, self.chosen))
        else:
            self.newest.show_numbers(say_lesson(shown, None), ())

    # keys

    def _act(self, act: Act, then: Callable[[Any], None] | None = None) -> None:
        if self.following is not None:
            self.following.act(act, then)

    @property
    def _meant(self) -> Swing | None:
        """The swing a key is about."""
        shown = self._state.lesson
        if shown is None:
            return None
        return (shown.swing(self._state.swing_id) if self._state.swing_id else None) or find_newest(shown)

    def _act_on_swing(self, act: Callable[[LiveSession, int], Swing], say: Callable[[Swing], str]) -> None:
        swing = self._meant
        if swing is None:
            self.say(tr("There is no swing yet."))
            return
        order = swing.order
        self._act(lambda session: act(session, order), lambda done: self.say(say(done)))

    def start_batch(self) -> None:
        """Begin a new batch, and ask for the feel of the one that closes."""
        shown = self._state.lesson
        closing = shown.lesson.batches[-1] if shown is not None and shown.lesson.batches else None
        if shown is not None and closing is not None and self._is_empty(shown, closing):
            self._told_empty = closing.id
            self.say(
                tr("Batch {n} is open and has no swing yet. B once more begins another all the same.", n=closing.number)
            )
            self.asks.ask_before_first(closing)
            return

        def begun(batch: Batch) -> None:
            self.say(tr("Batch {n} begins.", n=batch.number))
            if closing is not None and not closing.feel:
                self.asks.ask_feel(closing)

        self._act(lambda session: session.coach.start_batch(), begun)

    def _is_empty(self, shown: LessonShown, batch: Batch) -> bool:
        """Whether nothing was struck in a batch as far as is known; clips may come late, so the coach's word wins."""
        is_struck = any(swing.batch_id == batch.id for swing in shown.swings) or self.newest.is_swing_on
        return not batch.is_closed and not is_struck and self._told_empty != batch.id

    def _keep_voice(self, batch: Batch, of: VoiceOf, audio: Any) -> None:
        said = say_what(batch, of) + ": " + (tr("taken off") if audio is None else tr("spoken"))
        self._act(lambda session: session.coach.put_voice(batch.id, of, audio), lambda _: self.say(said))

    def _speak(self, of: VoiceOf) -> None:
        """Speak cue or feel of the chosen swing's batch, else of the last."""
        shown, meant = self._state.lesson, self._meant if self._state.swing_id else None
        batches = () if shown is None else shown.lesson.batches
        own = [one for one in batches if meant is not None and one.id == meant.batch_id] or batches[-1:]
        if own:
            self.voice.press(own[0], of)
            self.take_focus()

    def _leave_choice(self) -> None:
        """Esc: keys are about the last swing again; with none chosen it says that the lesson goes on."""
        if self._state.swing_id is None:
            self.say(tr("The lesson goes on. E ends it, F10 begins the next pupil's."))
        self._state.choose_swing(None)

    def ask_consent(self) -> None:
        """Ask what the pupil agrees to."""
        if self._state.lesson is not None:
            self.consent_asked.emit(self._state.lesson.pupil.id)

    def end(self) -> None:
        """End the lesson; asked once, since a slip of the finger must not."""
        if not self._is_end_asked:
            self._is_end_asked = True
            self.say(tr("E again ends the lesson; any other key goes on with it."))
            return
        self._is_end_asked = False
        self._act(lambda session: session.end(), lambda _: self.ended.emit())

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Every step by keyboard."""
        if a0 is None:
            return
        is_plain = not a0.modifiers() & Qt.KeyboardModifier.ControlModifier
        key = Qt.Key(a0.key()) if is_plain and a0.key() in _KNOWN else None
        if key != Qt.Key.Key_E and self._is_end_asked:
            self._is_end_asked = False
            self.say("")
        if key in _KINDS:
            kind = _KINDS[key]
            self._act_on_swing(
                lambda session, order: session.coach.set_kind(kind, order),
                lambda swing: tr("Swing {n}: {kind}.", n=swing.order, kind=tr(swing.kind.value)),
            )
        elif key in _PLACES and self._state.lesson is not None:
            self.chosen = step_choice(self.chosen, _PLACES.index(key), self._state.lesson)
            self.refresh()
        elif key in _OF_CHART:
            self.chart.keyPressEvent(a0)
        elif key is not None:
            self._press(key)
        else:
            super().keyPressEvent(a0)

    def _press(self, key: Qt.Key) -> None:
        if key == Qt.Key.Key_B:
            self.start_batch()
        elif key == Qt.Key.Key_L:
            self._act_on_swing(
                lambda session, order: session.coach.move_last_swing(order),
                lambda swing: tr("Swing {n} is in another batch now.", n=swing.order),
            )
        elif key == Qt.Key.Key_U:
            self._act(lambda s: s.coach.undo(), lambda what: self.say(tr("Taken back: {what}.", what=say_told(what))))
        elif key in (Qt.Key.Key_Y, Qt.Key.Key_N):
            self._act(lambda session: session.coach.answer(key == Qt.Key.Key_Y), lambda a: self.say(say_told(a)))
        elif key == Qt.Key.Key_Escape:
            self._leave_choice()
        else:
            {
                Qt.Key.Key_W: self.asks.ask_words,
                Qt.Key.Key_K: self.asks.ask_club,
                Qt.Key.Key_Q: lambda: self._speak(VoiceOf.CUE),
                Qt.Key.Key_F: lambda: self._speak(VoiceOf.FEEL),
                Qt.Key.Key_X: self.asks.ask_why_left_out,
                Qt.Key.Key_E: self.end,
                Qt.Key.Key_Space: self.newest.hold,
                Qt.Key.Key_A: self.ask_consent,
            }[key]()


_KEYS = (
    *(Qt.Key.Key_B, Qt.Key.Key_L, Qt.Key.Key_U, Qt.Key.Key_Y, Qt.Key.Key_N, Qt.Key.Key_Escape, Qt.Key.Key_W),
    *(Qt.Key.Key_K, Qt.Key.Key_X, Qt.Key.Key_E, Qt.Key.Key_Space, Qt.Key.Key_A, Qt.Key.Key_Q, Qt.Key.Key_F),
)
_KNOWN = {int(key) for key in (*_KINDS, *_PLACES, *_OF_CHART, *_KEYS)}


def _call(outcome: Callable[[], object]) -> None:
    """Do in the window what follows from a key."""
    outcome()
