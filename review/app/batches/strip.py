"""A strip beneath the lesson chart in which batches and swings are put right, by the keys of a lesson that goes on."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QLabel, QVBoxLayout, QWidget

from review.app.batches.asked import Asked
from review.app.batches.corrections import Corrections
from review.app.batches.words import say_swing
from review.app.language import tr
from review.app.live.words_form import WordsForm
from review.app.look.page_head import keep_together
from review.app.state import ReviewState
from review.app.voice.strip import VoiceStrip
from review.app.voice.words import say_what
from review.lesson import Batch, Swing, SwingKind, VoiceOf

_KINDS: dict[int, SwingKind] = {
    Qt.Key.Key_S: SwingKind.SHOT,
    Qt.Key.Key_P: SwingKind.PRACTICE,
    Qt.Key.Key_D: SwingKind.DRILL,
    Qt.Key.Key_C: SwingKind.DEMONSTRATION,
}

_STEPS: dict[int, int] = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Home: -10_000,
    Qt.Key.Key_End: 10_000,
}


class BatchesStrip(QWidget):
    """Keys are about the chosen swing and its batch; those that it does not know go to the chart by ``other_key``."""

    left = pyqtSignal()
    together_changed = pyqtSignal()
    other_key = pyqtSignal(QKeyEvent)

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Put right"))
        self._state, self.corrections = state, Corrections(state)
        self.about, self._hint, self.form = QLabel(self), QLabel(self), WordsForm(self)
        self.asked = Asked(state, self.form, self.corrections)
        self.about.setTextFormat(Qt.TextFormat.PlainText)
        self.about.setWordWrap(True)
        self.about.setAccessibleName(tr("What is put right"))
        self._hint.setObjectName("quiet")
        self._hint.setWordWrap(True)
        self._hint.setText(
            keep_together(
                tr(
                    "W cue, feel   Q F speak them   K club, target, ball   O close, open   B new batch from here   "
                    "L 1 2 3 … to batch   Shift ← → several   S P D C shot, practice, drill, demonstration   "
                    "X leave out   G keep for good   U undo   R again   Esc done"
                )
            )
        )
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 4)
        layout.setSpacing(4)
        self.voice = VoiceStrip(state, self._keep_voice, self)
        self.asked.speak = self.voice.press
        for part in (self.about, self.form, self.voice, self._hint):
            layout.addWidget(part)
        self.form.turned.connect(self._make_room)
        self.form.kept.connect(self.take_focus)
        self.form.left.connect(self.take_focus)
        aside = tr("Not kept yet; what was typed is there when it is asked for again.")
        self.form.put_aside.connect(lambda: state.step_told.emit(aside))
        state.lesson_changed.connect(self.form.forget_drafts)
        self.voice.left.connect(self.take_focus)
        self.voice.other_key.connect(self.keyPressEvent)
        self.voice.turned.connect(lambda is_up: self._hint.setVisible(not is_up))  # the chart needs the room
        self._anchor, self._is_extending = "", False
        state.swing_chosen.connect(self._take_chosen)
        state.lesson_renewed.connect(self.refresh)
        state.lesson_changed.connect(self.close_strip)
        self.hide()

    def _make_room(self, is_asking: bool) -> None:
        """While something is asked, nothing else is said."""
        self.about.setVisible(not is_asking)
        self._hint.setVisible(not is_asking)

    def open_strip(self) -> None:
        """Show the strip about the chosen swing, else the last."""
        if self._swing is None:
            self._state.step_swing(-1)
        self.asked.load_words()
        self.refresh()
        self.show()
        self.take_focus()

    def close_strip(self) -> None:
        """Leave it."""
        self.form.hide()
        self.voice.close_strip()
        self._take_chosen()
        if not self.isHidden():
            self.hide()
            self.left.emit()

    def take_focus(self) -> None:
        """Let the keyboard go to what is asked, to what is spoken, else to the strip."""
        behind = self if self.voice.isHidden() else self.voice
        (self.form.fields[0] if not self.form.isHidden() else behind).setFocus()

    def _keep_voice(self, batch: Batch, of: VoiceOf, audio: Any) -> None:
        from review.jobs.correcting import put_voice

        self.corrections.do(
            say_what(batch, of) + ": " + (tr("taken off") if audio is None else tr("spoken")),
            lambda library, lesson_id: put_voice(library, lesson_id, batch.id, of, audio),
        )

    def _speak(self, batch: Batch, of: VoiceOf) -> None:
        self.voice.press(batch, of)
        self.take_focus()

    @property
    def _swing(self) -> Swing | None:
        shown, chosen = self._state.lesson, self._state.swing_id
        return shown.swing(chosen) if shown is not None and chosen else None

    @property
    def together(self) -> tuple[Swing, ...]:
        """The swings that are moved or left out in one step: from where Shift was held to the chosen one."""
        shown, swing = self._state.lesson, self._swing
        if shown is None or swing is None:
            return ()
        ids = [one.id for one in shown.swings]
        start, end = sorted((ids.index(self._anchor if self._anchor in ids else swing.id), ids.index(swing.id)))
        return tuple(shown.swings[start : end + 1])

    def _extend(self, by: int) -> None:
        self._anchor = self._anchor or self._state.swing_id or ""
        self._is_extending = True
        self._state.step_swing(by)
        self._is_extending = False

    def _take_chosen(self) -> None:
        if not self._is_extending:
            self._anchor = ""  # one that was pointed at never stretches what is moved
        self.refresh()
        self.together_changed.emit()

    @property
    def _batch(self) -> Batch | None:
        """The chosen swing's batch."""
        shown, swing = self._state.lesson, self._swing
        if shown is None or swing is None:
            return None
        return next((batch for batch in shown.lesson.batches if batch.id == swing.batch_id), None)

    def refresh(self) -> None:
        """Say what the keys are about."""
        swing, together = self._swing, self.together
        shown = self._state.lesson
        is_kept = shown is not None and swing is not None and swing.id in shown.kept
        words = tr("Choose a swing: ← →") if swing is None else say_swing(swing, self._batch, is_kept)
        if len(together) > 1:
            words = tr(
                "{n} swings together, {a} to {b}: L 1 2 3 … to a batch, X leave out, G keep · ← → one alone",
                **{"n": len(together), "a": together[0].order, "b": together[-1].order},
            )
        self.about.setText(words)

    # keys

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """The keys of a lesson that goes on, as far as they make sense afterwards."""
        if a0 is None:
            return
        held = a0.modifiers() & ~(Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier)
        key = a0.key()
        if held:
            super().keyPressEvent(a0)
        elif key in _STEPS and a0.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self._extend(_STEPS[key])
        elif key in (Qt.Key.Key_Escape, Qt.Key.Key_E):
            self.close_strip()
        elif key == Qt.Key.Key_U:
            self._state.undo()
        elif key == Qt.Key.Key_R:
            self._state.redo()
        elif Qt.Key.Key_A <= key <= Qt.Key.Key_Z or Qt.Key.Key_0 <= key <= Qt.Key.Key_9:
            if self._swing is not None:  # letters of the chart mean nothing here, so that none is pressed by mistake
                self._press(key, self._swing, self._batch)
        else:
            self.other_key.emit(a0)

    def _press(self, key: int, swing: Swing, batch: Batch | None) -> None:
        of_batch: dict[int, Callable[[Batch], Any]] = {
            Qt.Key.Key_W: self.asked.ask_words,
            Qt.Key.Key_K: self.asked.ask_conditions,
            Qt.Key.Key_O: self._turn,
            Qt.Key.Key_Q: lambda batch: self._speak(batch, VoiceOf.CUE),
            Qt.Key.Key_F: lambda batch: self._speak(batch, VoiceOf.FEEL),
        }
        of_swing: dict[int, Callable[[Swing], Any]] = {
            Qt.Key.Key_B: self._begin,
            Qt.Key.Key_L: lambda _: self.asked.ask_batch(self.together),
            Qt.Key.Key_X: lambda _: self.asked.ask_why_left_out(self.together),
            Qt.Key.Key_G: lambda _: self.asked.keep_for_good(self.together),
        }
        if key in _KINDS:
            self._set_kind(swing, _KINDS[key])
        elif Qt.Key.Key_1 <= key <= Qt.Key.Key_9:
            self.asked.move(self.together, int(key - Qt.Key.Key_0))
        elif key in of_swing:
            of_swing[key](swing)
        elif key in of_batch and batch is not None:
            of_batch[key](batch)
        elif key in of_batch:
            self._state.step_told.emit(tr("Swing {n} is in no batch; B begins one, L puts it into one.", n=swing.order))

    def _set_kind(self, swing: Swing, kind: SwingKind) -> None:
        from review.jobs.correcting import set_kind

        name = tr("Swing {n}: {kind}", n=swing.order, kind=tr(kind.value))
        self.corrections.do(name, lambda library, lesson_id: set_kind(library, lesson_id, swing.id, kind))

    def _begin(self, swing: Swing) -> None:
        from review.jobs.correcting import begin_batch

        name = tr("A batch begins with swing {n}", n=swing.order)
        self.corrections.do(name, lambda library, lesson_id: begin_batch(library, lesson_id, swing.id))

    def _turn(self, batch: Batch) -> None:
        from review.jobs.correcting import close_batch

        is_closed = not batch.is_closed
        name = tr("Batch {n} is closed", n=batch.number) if is_closed else tr("Batch {n} is open", n=batch.number)
        self.corrections.do(name, lambda library, lesson_id: close_batch(library, lesson_id, batch.id, is_closed))
