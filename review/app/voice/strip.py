"""A strip in which a cue or feel is spoken: one key begins, the same key or ten seconds end it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt, QTimer, pyqtSignal
from PyQt5.QtGui import QHideEvent, QKeyEvent, QShowEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.state import ReviewState
from review.app.voice.kept import check_may_speak, keep_spoken, load_spoken
from review.app.voice.recorder import Recorder
from review.app.voice.sign import VoiceSign
from review.app.voice.words import say_keys, say_left, say_there, say_what
from review.app.worker import Task
from review.lesson import Batch, Voice, VoiceOf

if TYPE_CHECKING:
    from review.media import Audio

Keep = Callable[[Batch, VoiceOf, "Audio | None"], object]

LONGEST_S = 10.0
_TICK_MS = 60
_KEYS = {int(Qt.Key.Key_Q): VoiceOf.CUE, int(Qt.Key.Key_F): VoiceOf.FEEL}


class VoiceStrip(QWidget):
    """Records, plays and takes off; ``keep`` gets what is to be kept, None = taken off.

    Keys that it does not know go on by ``other_key``; ``left`` when it closes, ``turned`` when it comes or goes.
    """

    left = pyqtSignal()
    other_key = pyqtSignal(QKeyEvent)
    turned = pyqtSignal(bool)

    def __init__(self, state: ReviewState, keep: Keep, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Voice"))
        self._state, self._keep = state, keep
        self._about: tuple[str, Batch, VoiceOf] | None = None
        self._key = ""
        self.is_recording = self.is_playing = self.is_swing_on = False
        self.recorder = Recorder(self)
        self.title, self.sign, self.hint = QLabel(self), VoiceSign(self), QLabel(self)
        self.title.setObjectName("title")
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.hint.setObjectName("quiet")
        top = QHBoxLayout()
        top.addWidget(self.title)
        top.addSpacing(24)
        top.addWidget(self.sign, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 4)
        layout.setSpacing(2)
        layout.addLayout(top)
        layout.addWidget(self.hint)
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(self._tick)
        self.recorder.began.connect(self._tick)
        self.recorder.recorded.connect(lambda _: self._take_recorded())
        self.recorder.ended.connect(self._end)
        self.recorder.refused.connect(self._refuse)
        state.lesson_renewed.connect(self.refresh)
        state.lesson_changed.connect(self.close_strip)
        state.swing_chosen.connect(self._leave_batch)
        self.hide()

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self.sign.set_look(look)

    @property
    def voice(self) -> Voice | None:
        """What is spoken there already."""
        shown = self._state.lesson
        if shown is None or self._about is None:
            return None
        return shown.voices.get((self._about[1].id, self._about[2]))

    # what a key begins

    def press(self, batch: Batch, of: VoiceOf, key: str = "") -> None:
        """Speak, or end speaking; where something is spoken already the choice is shown first.

        ``key`` names the key where it is another than the letter: in a line that is written in.
        """
        shown = self._state.lesson
        if self.recorder.is_busy or shown is None:
            self.stop()
            return
        was = self._about
        is_up = not self.isHidden() and was is not None and (was[1].id, was[2]) == (batch.id, of)
        self._about, self._key = (shown.lesson.id, batch, of), key
        if self.voice is None or is_up:
            self.speak()
        self.refresh()
        self.show()

    def speak(self) -> None:
        """Begin to record; never while a swing is on."""
        if self._about is None or self._refuses():
            return
        lesson_id, _, of = self._about
        self.is_recording = True
        self.recorder.record(partial(check_may_speak, self._state.library, lesson_id, of), LONGEST_S)
        self._timer.start()
        self.refresh()

    def play(self) -> None:
        """Play what is spoken there, or be silent."""
        if self.is_playing:
            self.recorder.stop()
            return
        if self._about is None or self.voice is None or self._refuses():
            return
        lesson_id, batch, of = self._about
        self.is_playing = True
        self.recorder.play(partial(load_spoken, self._state.library, lesson_id, batch, of))
        self.refresh()

    def take_off(self) -> None:
        """Take off what is spoken there."""
        if self._about is not None and self.voice is not None and not self.recorder.is_busy:
            self._keep(self._about[1], self._about[2], None)

    def stop(self, drop: bool = False) -> None:
        """End speaking or playing; ``drop`` throws away what was spoken."""
        self.recorder.stop(drop)

    def set_swing_on(self, is_on: bool) -> None:
        """While a swing is on nothing is recorded and nothing sounds."""
        self.is_swing_on = is_on
        if is_on:
            self.stop()

    def close_strip(self) -> None:
        """End what goes on, and go."""
        self.stop()
        if not self.isHidden():
            self.hide()
            self.left.emit()

    def _leave_batch(self) -> None:
        """Another swing is chosen: what is said of the batch before it goes, unless it is being spoken."""
        if not self.recorder.is_busy and not self.isHidden():
            self.close_strip()

    def finish(self) -> None:
        """End what goes on and keep what was spoken: nothing may outlive the window."""
        if (audio := self.recorder.finish()) is not None:
            self._keep_spoken(audio)
        self._end()

    # what comes of it

    def _refuses(self) -> bool:
        if self.is_swing_on:
            self._state.step_told.emit(tr("A swing is on: nothing is recorded or played until it is over."))
        return self.is_swing_on or self.recorder.is_busy

    def _take_recorded(self) -> None:
        if (audio := self.recorder.take()) is not None:
            self._keep_spoken(audio)
        self._end()

    def _keep_spoken(self, audio: Audio) -> None:
        if self._about is None:
            return
        (lesson_id, batch, of), shown, folder = self._about, self._state.lesson, self._state.library
        if shown is not None and shown.lesson.id == lesson_id:
            self._keep(batch, of, audio)
            return

        keep, trouble = partial(keep_spoken, folder, lesson_id, batch, of, audio), self._state.trouble_came.emit
        # the lesson was left meanwhile
        self._state.line.add(Task(tr("Keeping it"), lambda _: keep(), lambda _: None, trouble, keeps=True))

    def _refuse(self, why: str) -> None:
        self._end()
        self._state.trouble_came.emit(why)

    def _end(self) -> None:
        self.is_recording = self.is_playing = False
        self._timer.stop()
        self.refresh()

    def _tick(self) -> None:
        recording = self.recorder.recording
        if recording is not None:
            self.sign.show_now(say_left(LONGEST_S, recording.seconds), recording.level)

    def refresh(self) -> None:
        """Say what is there and what the keys do."""
        if self._about is None:
            return
        _, batch, of = self._about
        voice = self.voice
        said = tr("is played") if self.is_playing else say_there(voice)
        said = tr("speak now") if self.is_recording else said
        self.title.setText(f"{say_what(batch, of)}: {said}")
        self.sign.setVisible(self.is_recording)
        if self.is_recording and self.recorder.recording is None:
            self.sign.show_now(say_left(LONGEST_S, 0), 0.0)
        is_busy = self.is_recording or self.is_playing
        self.hint.setText(
            say_keys(of, is_busy=is_busy, is_recording=self.is_recording, is_there=voice is not None, key=self._key)
        )

    def showEvent(self, a0: QShowEvent | None) -> None:
        """It came up."""
        super().showEvent(a0)
        self.turned.emit(True)

    def hideEvent(self, a0: QHideEvent | None) -> None:
        """Nobody sees that it listens: it stops, and what was spoken is kept."""
        super().hideEvent(a0)
        self.turned.emit(False)
        self.stop()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """The key that began it ends it; Space plays, Del takes off, Esc leaves."""
        if a0 is None:
            return
        key = a0.key()
        if self._about is not None and _KEYS.get(key) is self._about[2]:
            self.stop() if self.recorder.is_busy else self.speak()
        elif key == Qt.Key.Key_Space:
            self.play()
        elif key == Qt.Key.Key_Delete:
            self.take_off()
        elif key == Qt.Key.Key_Escape and self.is_recording:
            self.stop(drop=True)
        elif key == Qt.Key.Key_Escape:
            self.close_strip()
        else:
            self.other_key.emit(a0)
