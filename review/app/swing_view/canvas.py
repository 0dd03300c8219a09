"""The picture of one clip, with what is drawn over it."""

from collections.abc import Sequence
from enum import Enum

import numpy as np
from numpy.typing import NDArray
from PyQt5.QtCore import QPointF, QRectF, QSizeF, Qt, pyqtSignal
from PyQt5.QtGui import QColor, QImage, QMouseEvent, QPainter, QPaintEvent, QPen, QWheelEvent
from PyQt5.QtWidgets import QSizePolicy, QWidget
from PyQt5.sip import voidptr

from review.app.language import tr
from review.app.look import Look
from review.app.look.painting import break_lines, font_of, line_px, paint_lines
from review.app.swing_view.body_lines import BodyLine
from review.app.swing_view.line_painting import paint_over
from review.app.swing_view.placing import Placing

_GHOST = 0.35


class Pointing(Enum):
    """What the pointer does."""

    PRESSED = "pressed"
    HELD = "moved, its button held"
    MOVED = "moved"
    RELEASED = "released"


class Canvas(QWidget):
    """Shows one frame. Points of everything drawn over it are counted in pixels of the original as displayed.

    ``looked_at`` tells that the coach wants this clip to lead. While ``is_drawn_on`` the pointer does not shift the
    picture, ``pointed`` tells how (``Pointing``) and where it points.
    """

    looked_at = pyqtSignal()
    pointed = pyqtSignal(object, float, float)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name = name
        self.frame: int | None = None
        self.placing = Placing()
        self.is_leading, self.is_smooth = False, True
        self.message, self.note = tr("Opening the clip"), ""
        self._look: Look | None = None
        self._image: QImage | None = None
        self._ghost: QImage | None = None
        self._pixels: NDArray[np.uint8] | None = None
        self._original = QSizeF(1, 1)
        self._lines: tuple[BodyLine, ...] = ()
        self._sketch: tuple[BodyLine, ...] = ()
        self._dragged_from: QPointF | None = None
        self.is_drawn_on = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(120, 90)
        self.setAccessibleName(name)

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.update()

    @property
    def aspect(self) -> float:
        """Width by height of the original as displayed."""
        return self._original.width() / self._original.height()

    @property
    def original(self) -> QSizeF:
        """Size of the original as displayed, in pixels."""
        return QSizeF(self._original)

    @property
    def picture(self) -> NDArray[np.uint8] | None:
        """The picture that is on, (h, w, 4); None where there is none."""
        return self._pixels

    @property
    def lines(self) -> tuple[BodyLine, ...]:
        """What is drawn over the frame that is on."""
        return self._lines

    def set_size(self, width_px: int, height_px: int) -> None:
        """Say how large the original is as displayed."""
        self._original = QSizeF(width_px, height_px)

    def show_frame(self, frame: int, picture: NDArray[np.uint8], lines: Sequence[BodyLine] = ()) -> None:
        """Show a frame, (h, w, 4) as ``FrameSource.screen_frame`` gives it, with lines over it."""
        # the image does not copy: its pixels are kept with it
        self._pixels, self._image = picture, as_image(picture)
        self.frame, self._lines, self.message = frame, tuple(lines), ""
        self.update()

    def show_lines(self, lines: Sequence[BodyLine]) -> None:
        """Draw other lines over the frame that is on."""
        self._lines = tuple(lines)
        self.update()

    def show_sketch(self, lines: Sequence[BodyLine]) -> None:
        """Draw over every frame what the coach has in hand."""
        self._sketch = tuple(lines)
        self.update()

    def show_ghost(self, picture: NDArray[np.uint8] | None) -> None:
        """Lay a picture faintly over every frame; None takes it away."""
        self._ghost = None if picture is None else as_image(picture).copy()
        self.update()

    @property
    def has_ghost(self) -> bool:
        """Whether a picture lies faintly over the frame."""
        return self._ghost is not None

    def show_message(self, text: str) -> None:
        """Say something in the place of the picture."""
        self.message, self._image, self._pixels, self.frame = text, None, None, None
        self.update()

    # the coach's hand

    def zoom(self, by: float, about: QPointF | None = None) -> None:
        """Enlarge so many times more."""
        self._place(self.placing.zoomed(by, self._original, QRectF(self.rect()), about))

    def pan(self, x_px: float, y_px: float) -> None:
        """Shift the picture."""
        self._place(self.placing.panned(QPointF(x_px, y_px), self._original, QRectF(self.rect())))

    def straighten(self, by_deg: float) -> None:
        """Turn the picture clockwise."""
        self._place(self.placing.turned(by_deg))

    def reset(self) -> None:
        """Show the whole picture as it was filmed."""
        self._place(Placing())

    def _place(self, placing: Placing) -> None:
        self.placing = placing
        self.update()

    def wheelEvent(self, a0: QWheelEvent | None) -> None:
        """Enlarge about the pointer."""
        if a0 is not None:
            self.zoom(1.25 ** (a0.angleDelta().y() / 120), a0.position())

    def mousePressEvent(self, a0: QMouseEvent | None) -> None:
        """Take hold of the picture."""
        if a0 is not None:
            self._dragged_from = a0.localPos()
            self.looked_at.emit()
            self._point(Pointing.PRESSED, a0)

    def mouseMoveEvent(self, a0: QMouseEvent | None) -> None:
        """Shift the picture with the pointer."""
        if a0 is not None and self.is_drawn_on:
            self._point(Pointing.HELD if self._dragged_from is not None else Pointing.MOVED, a0)
        elif a0 is not None and self._dragged_from is not None:
            by = a0.localPos() - self._dragged_from
            self._dragged_from = a0.localPos()
            self.pan(by.x(), by.y())

    def mouseReleaseEvent(self, a0: QMouseEvent | None) -> None:
        """Let go of it."""
        self._dragged_from = None
        if a0 is not None:
            self._point(Pointing.RELEASED, a0)

    def draw_on(self, is_drawn_on: bool) -> None:
        """Tell where the pointer points instead of shifting the picture, or shift it again."""
        self.is_drawn_on = is_drawn_on
        self.setMouseTracking(is_drawn_on)
        self.setCursor(Qt.CursorShape.CrossCursor if is_drawn_on else Qt.CursorShape.ArrowCursor)

    def _point(self, how: Pointing, event: QMouseEvent) -> None:
        if self.is_drawn_on:
            back, _ = self.placing.to_canvas(self._original, QRectF(self.rect())).inverted()
            at = back.map(event.localPos())
            self.pointed.emit(how, at.x(), at.y())

    # painting

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint the frame and what lies over it."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor("#000000" if self._look is None else self._look.theme.shade))
        if self._image is None:
            self._paint_message(painter)
            return
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, self.is_smooth)
        transform = self.placing.to_canvas(self._original, QRectF(self.rect()))
        painter.setTransform(transform)
        whole = QRectF(QPointF(0, 0), self._original)
        painter.drawImage(whole, self._image)
        if self._ghost is not None:
            painter.setOpacity(_GHOST)
            painter.drawImage(whole, self._ghost)
            painter.setOpacity(1.0)
        painter.resetTransform()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        paint_over(painter, (*self._lines, *self._sketch), transform, QRectF(self.rect()), self._look)
        self._paint_frame(painter)

    def _paint_frame(self, painter: QPainter) -> None:
        if self._look is None:
            return
        if self.note:
            font = font_of(self._look.quiet_px)
            lines = break_lines(self.note, font, self.width() - 2 * self._look.quiet_px, 2)
            painter.fillRect(QRectF(0, 0, self.width(), (len(lines) + 0.6) * line_px(font)), QColor(0, 0, 0, 170))
            paint_lines(painter, lines, font, "#F2F1EC", self.width() / 2, 0.3 * line_px(font), 0.5)
        if self.is_leading:
            painter.setPen(QPen(QColor(self._look.theme.quiet_ink), 2))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))

    def _paint_message(self, painter: QPainter) -> None:
        if self._look is None or not self.message:
            return
        font = font_of(self._look.plain_px)
        lines = break_lines(self.message, font, self.width() - 2 * self._look.plain_px, 4)
        top = (self.height() - len(lines) * line_px(font)) / 2
        paint_lines(painter, lines, font, self._look.theme.ink, self.width() / 2, top, 0.5)


def as_image(picture: NDArray[np.uint8]) -> QImage:
    """Look at a picture (h, w, 4) as an image without copying it; the array must outlive the image."""
    if picture.ndim != 3 or picture.shape[2] != 4 or picture.dtype != np.uint8 or not picture.flags.c_contiguous:
        raise ValueError(f"a picture must be contiguous uint8 of shape (h, w, 4), got {picture.dtype} {picture.shape}")
    height, width, _ = picture.shape
    return QImage(voidptr(picture.ctypes.data), width, height, picture.strides[0], QImage.Format.Format_RGB32)
