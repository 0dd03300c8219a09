"""Talking over the swing that is open: one key begins and ends it; notes can be written beside the voice or instead."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import Qt, QTimer
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.state import ReviewState
from review.app.swing_view.player import SwingPlayer
from review.app.talk.log import TalkLog
from review.app.talk.seen import find_moment
from review.app.undoing import Step
from review.app.voice.recorder import Recorder
from review.app.voice.sign import VoiceSign
from review.app.worker import Task
from review.lesson import TalkOver

if TYPE_CHECKING:
    from review.media import Audio

LONGEST_S = 300.0
_TICK_MS = 12
_NOTES_HZ = 1000
"""Without a voice the computer's clock counts, in milliseconds."""
_READ_S = 3.0
"""So long the last picture stays where only notes were written, so that the last can be read."""


class TalkDesk(QWidget):
    """A strip that shows how long and how loud; what is on the player is noted while it is on."""

    def __init__(self, state: ReviewState, page: QWidget) -> None:
        super().__init__(page)
        self.setAccessibleName(tr("Talk over the swing"))
        self._state, self._page = state, page
        self._player: SwingPlayer | None = None
        self._lesson_id, self._note, self._began_s = "", "", 0.0
        self._is_without_voice = self.is_swing_on = False
        self.log = TalkLog()
        self.recorder = Recorder(self)
        self.title, self.sign, self.line, self.hint = QLabel(self), VoiceSign(self), _NoteLine(self), QLabel(self)
        self.title.setObjectName("title")
        self.hint.setObjectName("quiet")
        self.line.setAccessibleName(tr("Note"))
        self.line.hide()
        layout = QHBoxLayout(self)
        layout.setContentsMargins(10, 2, 10, 2)
        layout.setSpacing(14)
        for part, stretch in ((self.title, 0), (self.sign, 2), (self.line, 4), (self.hint, 0)):
            layout.addWidget(part, stretch)
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(self._tick)
        self.recorder.recorded.connect(lambda _: self._take_recorded())
        self.recorder.refused.connect(self._go_on_without)
        self.hide()

    @property
    def is_on(self) -> bool:
        """Whether the coach talks."""
        return self._player is not None

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self.sign.set_look(look)

    def press(self, event: QKeyEvent, player: SwingPlayer | None) -> bool:
        """Do what a key says; False where it says nothing here."""
        key = event.key()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            return False
        if key == Qt.Key.Key_Escape and not self.line.isHidden():
            self._leave_line()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not self.line.isHidden():
            self._take_note()
        elif key == Qt.Key.Key_T and self.is_on:
            self.end()
        elif key == Qt.Key.Key_T and player is not None:
            self.begin(player)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.is_on:
            self.write_note(self._note)
        else:
            return False
        return True

    def begin(self, player: SwingPlayer) -> None:
        """Begin to talk; never while a swing is on."""
        lesson = self._state.lesson
        if lesson is None or player.playhead is None or self.recorder.is_busy:
            return
        if self.is_swing_on:
            self._state.step_told.emit(tr("A swing is on: nothing is recorded or played until it is over."))
            return
        self._player, self._lesson_id, self.log, self._note = player, lesson.lesson.id, TalkLog(), ""
        self._is_without_voice, self._began_s = False, time.monotonic()
        self.recorder.record(lambda: None, LONGEST_S)
        self._say()
        self.show()
        self._timer.start()

    def end(self) -> None:
        """End the talk, and keep it."""
        if self._player is None:
            return
        self._tick()
        if self._is_without_voice:
            self._keep(None, time.monotonic() - self._began_s + _READ_S)
        else:
            self.recorder.stop()  # what was recorded comes by itself
        self._close()

    def drop(self) -> None:
        """End the talk, and keep nothing of it."""
        self.recorder.stop(drop=True)
        self._close()

    def write_note(self, words: str) -> None:
        """Let a note be written, beginning with some words."""
        self.line.setText(words)
        self.line.show()
        self.line.setFocus()

    def set_swing_on(self, is_on: bool) -> None:
        """While a swing is on nothing is recorded."""
        self.is_swing_on = is_on
        if is_on:
            self.end()

    def finish(self) -> None:
        """End the talk and keep it now: nothing may outlive the window."""
        self.end()
        if (audio := self.recorder.finish()) is not None:
            self._keep(audio, 0.0)

    # what is noted

    def _tick(self) -> None:
        player, recording = self._player, self.recorder.recording
        if player is None or player.playhead is None:
            return
        if player.leading.frame is not None:
            if self._is_without_voice:
                at = round((time.monotonic() - self._began_s) * _NOTES_HZ)
            else:
                at = 0 if recording is None else recording.position()
            self.log.note(find_moment(player, player.playhead, at, self._note))
        seconds = time.monotonic() - self._began_s if recording is None else recording.seconds
        self.sign.show_now(
            f"{int(seconds) // 60}:{int(seconds) % 60:02d}", 0.0 if recording is None else recording.level
        )
        if self._is_without_voice and seconds >= LONGEST_S:
            self.end()

    def _take_note(self) -> None:
        self._note = self.line.text().strip()
        self._tick()
        self._leave_line()

    def _leave_line(self) -> None:
        self.line.hide()
        self._page.setFocus()

    def _say(self) -> None:
        self.title.setText(tr("Notes are taken") if self._is_without_voice else tr("Talk now"))
        self.hint.setText(tr("T ends   Enter note"))

    # what comes of it

    def _go_on_without(self, why: str) -> None:
        if self.is_on:
            self._is_without_voice, self._began_s, self.log = True, time.monotonic(), TalkLog()
            self._say()
        self._state.trouble_came.emit(f"{why} {tr('Notes can be written: Enter.')}")

    def _take_recorded(self) -> None:
        audio = self.recorder.take()
        if audio is not None:
            self._keep(audio, 0.0)
        self._close()

    def _close(self) -> None:
        self._player = None
        self._timer.stop()
        self.line.hide()
        self.hide()
        self._page.setFocus()

    def _keep(self, audio: Audio | None, seconds: float) -> None:
        state, folder, lesson_id, moments = self._state, self._state.library, self._lesson_id, self.log.moments
        if not moments:
            return

        talks: list[TalkOver] = []

        def work(_: Any) -> None:
            from review.jobs.talking_over import Spoken, keep_talk_over

            talks.append(keep_talk_over(folder, lesson_id, Spoken(moments, audio, seconds)))

        def fail(why: str) -> None:
            state.undoing.drop(step)
            state.trouble_came.emit(why)

        def put(is_there: bool) -> None:
            self._add(lambda _: put_in(is_there), lambda _: None)

        def put_in(is_there: bool) -> None:
            from review.jobs.talking_over import remove_talk_over, restore_talk_over

            for talk in talks:
                if is_there:
                    restore_talk_over(folder, lesson_id, talk)
                else:
                    remove_talk_over(folder, talk)

        lasted_s = seconds if audio is None else len(audio.samples) / audio.rate_hz
        name = tr("Talk of {n} s kept; the take-home takes it along", n=round(lasted_s))
        step = Step(name, lambda: put(True), lambda: put(False))
        if state.lesson is not None and state.lesson.lesson.id == lesson_id:
            state.undoing.note(step)  # at once: an undo that is pressed while it is being kept is about it
        self._add(work, lambda _: state.step_told.emit(name), fail)

    def _add(self, work: Any, take: Any, fail: Any = None) -> None:
        self._state.line.add(Task(tr("Keeping it"), work, take, fail or self._state.trouble_came.emit, keeps=True))


class _NoteLine(QLineEdit):
    """Leaves Enter to the page."""

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        if a0 is not None and a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            a0.ignore()
        else:
            super().keyPressEvent(a0)
