"""The newest swing: its clip over and over for a while, and three numbers that can be read at two metres."""

from __future__ import annotations

import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PyQt5.QtCore import QTimer
from PyQt5.QtWidgets import QVBoxLayout, QWidget

from review.app.language import tr
from review.app.live.number_lines import NumberLines
from review.app.look import Look
from review.app.number_words import SaidNumber
from review.app.swing_view.canvas import Canvas
from review.app.swing_view.frame_pump import FramePump
from review.jobs.showing.swing import open_clip
from review.lesson import Clip, FloatArray
from review.media import FrameSource

_LOOPS_FOR_S = 12.0
"""A player is over the next ball some 20 s after the last one, and no file tells when: the loop stops well before."""
_TICK_MS = 33
_BEFORE_S, _AFTER_S = 1.6, 0.9
"""What is shown around the strike, in true seconds."""


class Newest(QWidget):
    """Loops one clip, never while a swing is being taken up; ``hold`` stops it by hand and lets it go on."""

    def __init__(self, library: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("Newest swing"))
        self._library = library
        self.clip: Clip | None = None
        self.is_held = self.is_swing_on = False
        self._loops_until_s = self._phase_from_s = 0.0
        self._time_s: FloatArray | None = None
        self._span = (0, 0)
        self._asked = -1
        self._pump: FramePump | None = None
        self._closed: list[FramePump] = []
        self._look: Look | None = None
        self.canvas, self.numbers = Canvas(tr("Newest swing"), self), NumberLines(self)
        self.canvas.show_message(tr("The first ball"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(6)
        layout.addWidget(self.canvas, 1)
        layout.addWidget(self.numbers)
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(self._tick)

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.canvas.set_look(look)
        self.numbers.set_look(look)

    @property
    def is_moving(self) -> bool:
        """Whether the picture moves."""
        return self._timer.isActive()

    def show_clip(self, clip: Clip | None) -> None:
        """Loop another clip; what was held is let go."""
        if clip is not None and self.clip is not None and clip.id == self.clip.id and clip.sha256 == self.clip.sha256:
            return
        self._timer.stop()
        self._close_pump()
        self.clip, self._time_s, self._asked, self.is_held = clip, None, -1, False
        if clip is None:
            self.canvas.show_message(tr("The first ball"))
            return
        library = self._library
        pump = self._pump = FramePump(lambda: open_clip(library, clip), self)
        pump.opened.connect(lambda source, pump=pump: self._open(pump, source))
        pump.came.connect(lambda frame, picture, pump=pump: self._take(pump, frame, picture))
        pump.failed.connect(self.canvas.show_message)
        pump.damaged.connect(self.canvas.show_message)
        pump.start()

    def show_numbers(self, title: str, numbers: Sequence[SaidNumber]) -> None:
        """Say which swing it is, and its numbers."""
        self.numbers.say(title, numbers)

    def hold(self) -> bool:
        """Hold the picture still, or let it go on; return whether it is held."""
        self.is_held = self._timer.isActive()
        self._loops_until_s = time.monotonic() + _LOOPS_FOR_S
        self._go_or_stand()
        return self.is_held

    def set_swing_on(self, is_on: bool) -> None:
        """Stand still while a swing is being taken up; the loop begins again only with a clip that is whole."""
        self.is_swing_on = is_on
        self._go_or_stand()

    def finish(self) -> None:
        """Let go of everything, and wait for the threads."""
        self._timer.stop()
        self._close_pump()
        for pump in self._closed:
            pump.wait()
        self._closed.clear()

    def _close_pump(self) -> None:
        if self._pump is not None:
            self._pump.close()
            self._closed = [pump for pump in (*self._closed, self._pump) if pump.is_running]
            self._pump = None

    def _open(self, pump: FramePump, source: FrameSource) -> None:
        if pump is not self._pump or self.clip is None:
            return
        self.canvas.set_size(source.width_px, source.height_px)
        self._time_s = source.time_s * self.clip.time_scale
        self._span = find_span(self._time_s, self.clip)
        self._phase_from_s = time.monotonic()
        self._loops_until_s = self._phase_from_s + _LOOPS_FOR_S
        self._ask(self._span[0])
        self._go_or_stand()

    def _go_or_stand(self) -> None:
        is_to_go = self._time_s is not None and not self.is_held and not self.is_swing_on
        if is_to_go and time.monotonic() < self._loops_until_s and not self._timer.isActive():
            self._timer.start()
        elif not is_to_go:
            self._timer.stop()

    def _tick(self) -> None:
        if self._time_s is None:
            return
        now_s, (first, last) = time.monotonic(), self._span
        if now_s >= self._loops_until_s:
            self._timer.stop()
            return
        length_s = float(self._time_s[last] - self._time_s[first]) + 0.4  # stands a moment at the end
        moment_s = float(self._time_s[first]) + (now_s - self._phase_from_s) % max(length_s, 0.5)
        self._ask(min(int(np.searchsorted(self._time_s, moment_s, side="right")) - 1, last))

    def _ask(self, frame: int) -> None:
        if self._pump is not None and frame != self._asked:
            self._asked = frame
            self._pump.ask(frame)

    def _take(self, pump: FramePump, frame: int, picture: NDArray[np.uint8]) -> None:
        if pump is self._pump:
            self.canvas.show_frame(frame, picture)


def find_span(true_time_s: FloatArray, clip: Clip) -> tuple[int, int]:
    """First and last frame of what is looped: around the strike where it was heard, else the whole clip."""
    last = len(true_time_s) - 1
    if clip.strike_s is None:
        return 0, last
    strike_s = clip.strike_s * clip.time_scale
    first, end = np.searchsorted(true_time_s, (strike_s - _BEFORE_S, strike_s + _AFTER_S))
    return min(int(first), last), min(int(end), last)
