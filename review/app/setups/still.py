"""One frame of a clip to mark on: fetched in a thread of its own, pointed at by mouse, enlarged about the mark."""

import numpy as np
from numpy.typing import NDArray
from PyQt5.QtCore import QPointF, QRectF, pyqtSignal
from PyQt5.QtWidgets import QWidget

from review.app.swing_view.canvas import Canvas, Pointing
from review.app.swing_view.frame_pump import FramePump, OpenSource
from review.lesson import FloatArray
from review.media import FrameSource

_EDGE = 0.12
"""The mark is kept so far from the edge of what is seen, in parts of it."""


class Still(Canvas):
    """``came`` tells that a frame is on, ``lost`` why none is; ``pressed`` which pixel was pointed at."""

    came = pyqtSignal()
    lost = pyqtSignal(str)
    pressed = pyqtSignal(float, float)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self._pump: FramePump | None = None
        self._ending: list[FramePump] = []
        self.time_s: FloatArray | None = None
        self.pointed.connect(self._take_pointer)

    @property
    def is_open(self) -> bool:
        """Whether a clip is open, or being opened."""
        return self._pump is not None

    @property
    def size_px(self) -> tuple[float, float]:
        """Width and height of the original as displayed."""
        return self.original.width(), self.original.height()

    def open_clip(self, opener: OpenSource, frame: int) -> None:
        """Show a frame of a clip."""
        self.close_clip()
        pump = self._pump = FramePump(opener, self)
        pump.opened.connect(lambda source: self._open(pump, source, frame))
        pump.failed.connect(lambda why: self._lose(pump, why))
        pump.damaged.connect(lambda why: self._lose(pump, why))
        pump.came.connect(lambda at, picture: self._take(pump, at, picture))
        pump.start()

    def ask(self, frame: int) -> None:
        """Show another frame of the same clip."""
        if self._pump is not None:
            self._pump.ask(frame)

    def close_clip(self) -> None:
        """Let go of the clip; its thread ends by itself."""
        self._ending = [pump for pump in self._ending if pump.is_running]
        if self._pump is not None:
            self._pump.close()
            self._ending.append(self._pump)
            self._pump = None
        self.time_s = None

    def finish(self) -> None:
        """Close, and wait until nothing runs."""
        self.close_clip()
        for pump in self._ending:
            pump.wait()

    def keep_in_sight(self, pixel: tuple[float, float]) -> None:
        """Shift an enlarged picture so that a pixel is seen."""
        at = self.placing.to_canvas(self.original, QRectF(self.rect())).map(QPointF(pixel[0] + 0.5, pixel[1] + 0.5))
        x_px, y_px = _EDGE * self.width(), _EDGE * self.height()
        by_x = max(0.0, x_px - at.x()) - max(0.0, at.x() - self.width() + x_px)
        by_y = max(0.0, y_px - at.y()) - max(0.0, at.y() - self.height() + y_px)
        if self.placing.zoom > 1.0 and (by_x or by_y):
            self.pan(by_x, by_y)

    def enlarge(self, by: float, pixel: tuple[float, float]) -> None:
        """Enlarge so many times more about a pixel."""
        way = self.placing.to_canvas(self.original, QRectF(self.rect()))
        self.zoom(by, way.map(QPointF(pixel[0] + 0.5, pixel[1] + 0.5)))

    # from the thread

    def _open(self, pump: FramePump, source: FrameSource, frame: int) -> None:
        if pump is self._pump:
            self.set_size(source.width_px, source.height_px)
            self.time_s = source.time_s
            pump.ask(min(frame, source.n_frames - 1))

    def _lose(self, pump: FramePump, why: str) -> None:
        if pump is self._pump:
            self.show_message(why)
            self.lost.emit(why)

    def _take(self, pump: FramePump, frame: int, picture: NDArray[np.uint8]) -> None:
        if pump is self._pump:
            self.show_frame(frame, picture)
            self.came.emit()

    def _take_pointer(self, how: Pointing, x: float, y: float) -> None:
        if how in (Pointing.PRESSED, Pointing.HELD):
            self.pressed.emit(float(np.floor(x)), float(np.floor(y)))
