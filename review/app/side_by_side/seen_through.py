"""One picture seen through the other, its feet on the other's."""

import numpy as np
from numpy.typing import NDArray
from PyQt5.QtCore import QPointF, QRectF, QSizeF
from PyQt5.QtGui import QColor, QPainter, QPaintEvent, QTransform
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.painting import break_lines, font_of, line_px, paint_lines
from review.app.side_by_side.feet import Overlay
from review.app.swing_view.canvas import Canvas, as_image

STEP = 0.125


class SeenThrough(QWidget):
    """Shows what two canvases show, the second over the first, ``strength`` 0 (only the first) to 1 (the second)."""

    def __init__(self, under: Canvas, over: Canvas, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._under, self._over = under, over
        self._look: Look | None = None
        self.placing: Overlay | None = None
        self.strength, self.note = 0.5, ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(tr("One swing seen through the other"))

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.update()

    def strengthen(self, by: float) -> None:
        """Let the second be seen more, or less."""
        self.strength = min(max(self.strength + by, 0.0), 1.0)
        self.update()

    def to_widget(self) -> tuple[QTransform, QTransform]:
        """The ways from pixels of the first and of the second picture to those of the widget."""
        under = self._under.placing.to_canvas(self._under.original, QRectF(self.rect()))
        if self.placing is None:
            return under, under
        p = self.placing
        # Qt multiplies row vectors from the left: (x', y') = (m11 x + m21 y + dx, m12 x + m22 y + dy)
        return under, QTransform(p.a, p.b, -p.b, p.a, p.shift_x, p.shift_y) * under

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint both."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor("#000000" if self._look is None else self._look.theme.shade))
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, self._under.is_smooth)
        under, over = self.to_widget()
        _paint(painter, self._under.picture, self._under.original, under, 1.0)
        _paint(painter, self._over.picture, self._over.original, over, self.strength)
        painter.resetTransform()
        painter.setOpacity(1.0)
        if self._look is not None and self.note:
            font = font_of(self._look.quiet_px)
            lines = break_lines(self.note, font, self.width() - 2 * self._look.quiet_px, 2)
            painter.fillRect(QRectF(0, 0, self.width(), (len(lines) + 0.6) * line_px(font)), QColor(0, 0, 0, 170))
            paint_lines(painter, lines, font, "#F2F1EC", self.width() / 2, 0.3 * line_px(font), 0.5)


def _paint(
    painter: QPainter, picture: NDArray[np.uint8] | None, size: QSizeF, transform: QTransform, opacity: float
) -> None:
    if picture is not None:
        painter.setTransform(transform)
        painter.setOpacity(opacity)
        painter.drawImage(QRectF(QPointF(0, 0), size), as_image(picture))
