"""The lesson while it goes on: the lesson chart, beside it the newest swing, and the coach's keys."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.lesson_chart.view import LessonChart
from review.app.live.balls import say_lesson
from review.app.live.deeds import Deeds
from review.app.live.following import Following
from review.app.live.newest import Newest
from review.app.live.three_numbers import choose_first, find_newest, say_numbers, step_choice
from review.app.live.told import say_asked, say_told
from review.app.live.words_asked import WordsAsked
from review.app.live.words_form import WordsForm
from review.app.look import Look
from review.app.look.page_head import KeysLine
from review.app.page import Page
from review.app.pupils.words import say_consent_kept
from review.app.state import ReviewState
from review.app.voice.strip import VoiceStrip
from review.lesson import Pupil, SwingKind, VoiceOf

if TYPE_CHECKING:  # loaded with the lesson
    from review.jobs.live import Noted

_KINDS = {
    Qt.Key.Key_S: SwingKind.SHOT,
    Qt.Key.Key_P: SwingKind.PRACTICE,
    Qt.Key.Key_D: SwingKind.DRILL,
    Qt.Key.Key_C: SwingKind.DEMONSTRATION,
}
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
        self.deeds = Deeds(state, self)
        self.chosen: tuple[tuple[str, str], ...] = ()
        self._is_until_shot = False
        self._to_measure: tuple[frozenset[str], frozenset[str]] = frozenset(), frozenset()
        self.chart, self.newest = LessonChart(state, self, is_part=True), Newest(state.library, self)
        self.chart.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.form = WordsForm(self)
        self.asks = WordsAsked(state, self.form, self.deeds.act, lambda: self.deeds.meant, self.say)
        self.voice = VoiceStrip(state, self.deeds.keep_voice, self)
        self.asks.speak = self.voice.press
        for back in (self.form.kept, self.form.left, self.voice.left):
            back.connect(self.take_focus)
        aside = tr("Not kept yet; what was typed is there when it is asked for again.")
        self.form.put_aside.connect(lambda: self.say(aside))
        self.voice.other_key.connect(self.keyPressEvent)
        self.deeds.told.connect(self.say)
        self.deeds.empty.connect(self.asks.ask_before_first)
        self.deeds.without_feel.connect(self.asks.ask_feel)
        self.deeds.ended.connect(self.ended)
        self.deeds.before_end = self.asks.ask_last_feel
        self.said, self._hint = QLabel(self), KeysLine(parent=self)
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setAccessibleName(tr("What happened last"))
        self._hint.setObjectName("quiet")
        self._hint.setText(
            tr(
                "B new batch   E end   A consent   W words   K club   U undo   X leave out   Q F speak   Space hold   "
                "F10 next"
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
        state.consent_noted.connect(self._hear_consent)
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
        self.deeds.following, self.deeds.is_end_asked, self.chosen = following, False, ()
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
        self._is_until_shot = False
        self.said.setText(text)

    def say_notes(self, notes: Sequence[Noted]) -> None:
        """Say what the lesson tells; what only holds before the first shot goes with that."""
        self.say(" ".join(say_told(note.text) for note in notes))
        self._is_until_shot = any(note.is_until_shot for note in notes)

    def _hear_consent(self, pupil: Pupil) -> None:
        self.say(say_consent_kept(pupil, date.today()))

    def finish(self) -> None:
        """Let go of microphone and clip; what is being spoken is kept."""
        self.voice.finish()
        self.newest.finish()

    # what comes from the lesson

    def _hear(self, event: Any) -> None:
        from review.jobs.live import Asked, Noted

        if isinstance(event, Noted):
            self.say_notes([event])
        elif isinstance(event, Asked):
            self.say(say_asked(event.swing.order, event.shot.row_number, event.text))

    def refresh(self) -> None:
        """Show the lesson as it stands."""
        shown = self._state.lesson
        if shown is None or self.deeds.following is None:
            return
        self.chosen = self.chosen or choose_first(shown)
        newest = find_newest(shown)
        if self._is_until_shot and any(swing.shot for swing in shown.swings):
            self.say("")
        if newest is not None:
            filmed = next((swing for swing in reversed(shown.swings) if swing.clips), None)
            self.newest.show_clip(None if filmed is None else filmed.clips[0])
            if filmed is None:  # rows come before their clips, or alone
                self.newest.canvas.show_message(tr("No clip yet"))
            self.newest.show_numbers(
                say_lesson(shown, newest), say_numbers(shown, newest, self.chosen, *self._to_measure)
            )
        else:
            self.newest.show_numbers(say_lesson(shown, None), ())

    def show_measuring(self, clips: tuple[frozenset[str], frozenset[str]]) -> None:
        """Take in which clips are being measured and which wait for it."""
        self._to_measure = clips
        self.refresh()

    # keys

    def _speak(self, of: VoiceOf) -> None:
        """Speak cue or feel of the chosen swing's batch, else of the last."""
        shown, meant = self._state.lesson, self.deeds.meant if self._state.swing_id else None
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

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Every step by keyboard."""
        if a0 is None:
            return
        key = a0.key()
        action = None if a0.modifiers() & Qt.KeyboardModifier.ControlModifier else self._actions(a0).get(key)
        if key != Qt.Key.Key_E or action is None:
            self.deeds.go_on()
        if action is None:
            super().keyPressEvent(a0)
        else:
            action()

    def _actions(self, pressed: QKeyEvent) -> dict[int, Callable[[], object]]:
        keys, deeds, asks = Qt.Key, self.deeds, self.asks
        return {
            **{key: partial(deeds.set_kind, kind) for key, kind in _KINDS.items()},
            **{key: partial(self._step_number, place) for place, key in enumerate(_PLACES)},
            **dict.fromkeys(_OF_CHART, lambda: self.chart.keyPressEvent(pressed)),
            keys.Key_B: lambda: deeds.start_batch(self.newest.is_swing_on),
            keys.Key_L: deeds.move_swing,
            keys.Key_U: deeds.undo,
            keys.Key_Y: lambda: deeds.answer(True),
            keys.Key_N: lambda: deeds.answer(False),
            keys.Key_W: asks.ask_words,
            keys.Key_K: asks.ask_club,
            keys.Key_X: asks.ask_why_left_out,
            keys.Key_Q: lambda: self._speak(VoiceOf.CUE),
            keys.Key_F: lambda: self._speak(VoiceOf.FEEL),
            keys.Key_A: self.ask_consent,
            keys.Key_E: deeds.end,
            keys.Key_Space: self.newest.hold,
            keys.Key_Escape: self._leave_choice,
        }

    def _step_number(self, place: int) -> None:
        """Show another number in one of the three places."""
        if self._state.lesson is not None:
            self.chosen = step_choice(self.chosen, place, self._state.lesson)
            self.refresh()


def _call(outcome: Callable[[], object]) -> None:
    """Do in the window what follows from a key."""
    outcome()
