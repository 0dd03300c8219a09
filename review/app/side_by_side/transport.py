"""Steps and plays what a playhead points at; the clock of the window ticks only while it plays."""

import time

from PyQt5.QtCore import QObject, Qt, QTimer, pyqtSignal

from review.app.swing_view.playhead import Playhead

_TICK_MS = 8


class Transport(QObject):
    """``moved`` when other frames are to be shown or something about them is another, ``stood_still`` when it stops."""

    moved = pyqtSignal()
    stood_still = pyqtSignal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.head: Playhead | None = None
        self._ticked_s = 0.0
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._tick)

    @property
    def is_playing(self) -> bool:
        """Whether it plays."""
        return self._timer.isActive()

    def take(self, head: Playhead) -> None:
        """Go on with another playhead, as fast as before."""
        self.pause()
        if self.head is not None:
            head.speed = self.head.speed
        self.head = head
        self.moved.emit()

    def go_to(self, frame: int) -> None:
        """Stop at a frame of the leading clip."""
        if self.head is not None:
            self.pause()
            self.head.go_to(frame)
            self.moved.emit()

    def step(self, by: int) -> None:
        """Stop at the frame so many later."""
        if self.head is not None:
            self.go_to(self.head.frame + by)

    def toggle_playing(self) -> None:
        """Play, or stand still."""
        if self.head is None:
            return
        if self.is_playing:
            self.pause()
            return
        self.head.play()
        self._ticked_s = time.perf_counter()
        self._timer.start(_TICK_MS)
        self.moved.emit()

    def pause(self) -> None:
        """Stand still."""
        if self.head is not None and self.is_playing:
            self.head.pause()
            self._stand_still()

    def set_speed(self, speed: float) -> None:
        """Play at a part of true time."""
        if self.head is not None:
            self.head.speed = speed
            self.moved.emit()

    def set_loop(self, ends: tuple[int, int] | None) -> None:
        """Play between two frames of the leading clip over and over; None = once."""
        if self.head is None:
            return
        if ends is None:
            self.head.loop = None
        else:
            self.head.set_loop(*ends)
        self.moved.emit()

    def _tick(self) -> None:
        now_s = time.perf_counter()
        elapsed_s, self._ticked_s = now_s - self._ticked_s, now_s
        if self.head is None:
            return
        if self.head.advance(elapsed_s):
            self.moved.emit()
        if not self.head.is_playing:
            self._stand_still()

    def _stand_still(self) -> None:
        self._timer.stop()
        self.stood_still.emit()
        self.moved.emit()
