"""Records and plays in a thread of its own, so that no microphone, however slow, holds up the window."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt5.QtCore import QObject, pyqtSignal

from review.app.sentences import say_sentences
from review.app.worker import say_mistake
from review.errors import ReviewError

if TYPE_CHECKING:  # loaded in the thread
    from review.media import Audio, Playing, Recording, SoundDevices

_LOOK_EVERY_S = 0.03
_PATIENCE_S = 3.0
"""A microphone that is pulled out gives no more samples: so long after the longest recording it is over."""


def open_devices() -> SoundDevices:
    """The computer's microphone and loudspeaker; tests put others in their place."""
    from review.media import open_sound_devices

    return open_sound_devices()


class Recorder(QObject):
    """One thing at a time: a recording or a voice that is played.

    ``began`` tells that the microphone listens, or the voice sounds; then comes exactly one of ``recorded`` (with the
    ``Audio``), ``ended`` (played to its end, stopped, or dropped) and ``refused`` (why not, in words).
    """

    began = pyqtSignal()
    recorded = pyqtSignal(object)
    ended = pyqtSignal()
    refused = pyqtSignal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._is_to_end, self._is_dropped = threading.Event(), False
        self._thread: threading.Thread | None = None
        self._told: Audio | None = None
        self.recording: Recording | None = None
        self.devices: SoundDevices | None = None
        """Others than the computer's own, where nothing is to be heard: for pictures."""

    @property
    def is_busy(self) -> bool:
        """Whether it records or plays, or is about to."""
        return self._thread is not None and self._thread.is_alive()

    def record(self, check: Callable[[], None], longest_s: float) -> None:
        """Record until ``stop`` or so long, once ``check`` (called in the thread) lets it."""
        self._begin(lambda: self._record(check, longest_s))

    def play(self, load: Callable[[], Audio]) -> None:
        """Play what ``load`` (called in the thread) gives."""
        self._begin(lambda: self._play(load))

    def stop(self, drop: bool = False) -> None:
        """End what goes on; ``drop`` throws a recording away."""
        self._is_dropped = drop
        self._is_to_end.set()

    def finish(self) -> Audio | None:
        """End what goes on and wait for it; return a recording that nobody was told of yet."""
        self.stop()
        if self._thread is not None:
            self._thread.join()
        told, self._told = self._told, None
        return told

    def take(self) -> Audio | None:
        """Return what was recorded, once."""
        told, self._told = self._told, None
        return told

    # in the thread

    def _begin(self, do: Callable[[], None]) -> None:
        if self.is_busy:
            return
        self._is_to_end.clear()
        self._is_dropped, self._told = False, None
        self._thread = threading.Thread(target=lambda: self._run(do), name="voice", daemon=True)
        self._thread.start()

    def _run(self, do: Callable[[], None]) -> None:
        try:
            do()
        except ReviewError as error:
            self.refused.emit(say_sentences(str(error)))
        except Exception as error:  # noqa: BLE001 - whatever it is must reach the coach, not end the program
            self.refused.emit(say_mistake(error))

    def _record(self, check: Callable[[], None], longest_s: float) -> None:
        from review.media import Recording

        check()
        recording = self.recording = Recording(self.devices or open_devices(), longest_s)
        try:
            self.began.emit()
            until_s = time.monotonic() + longest_s + _PATIENCE_S
            while not self._is_to_end.wait(_LOOK_EVERY_S) and not recording.is_full and time.monotonic() < until_s:
                pass
        finally:
            self.recording = None
            audio = recording.stop()
        if self._is_dropped:
            self.ended.emit()
        else:
            self._told = audio
            self.recorded.emit(audio)

    def _play(self, load: Callable[[], Audio]) -> None:
        audio = load()
        if self._is_to_end.is_set():
            self.ended.emit()
            return
        playing: Playing = (self.devices or open_devices()).play(audio)
        try:
            self.began.emit()
            until_s = time.monotonic() + audio.duration_s + _PATIENCE_S
            while not self._is_to_end.wait(_LOOK_EVERY_S) and playing.is_on() and time.monotonic() < until_s:
                pass
        finally:
            playing.stop()
        self.ended.emit()
