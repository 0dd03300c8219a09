"""One picture seen through the other, its feet on the other's, and what is drawn on both told apart."""

import numpy as np
from numpy.typing import NDArray
from PyQt5.QtCore import QPointF, QRectF, QSizeF
from PyQt5.QtGui import QColor, QPainter, QPaintEvent, QPolygonF, QTransform
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.painting import break_lines, font_of, line_px, paint_lines
from review.app.side_by_side.feet import Overlay
from review.app.side_by_side.whose import Whose, draw_as
from review.app.swing_view.body_lines import BodyLine
from review.app.swing_view.canvas import Canvas, as_image
from review.app.swing_view.line_painting import paint_over, paint_stroke

STEP = 0.125
_SAMPLE = 3.0
"""Length of a line in the legend, in letters' heights."""


class SeenThrough(QWidget):
    """Shows what two canvases show, the second over the first, ``strength`` 0 (only the first) to 1 (the second)."""

    def __init__(self, under: Canvas, over: Canvas, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._under, self._over = under, over
        self._look: Look | None = None
        self.placing: Overlay | None = None
        self.strength, self.note = 0.5, ""
        self.whose: tuple[Whose, Whose] | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(tr("One swing seen through the other"))

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.update()

    def tell_whose(self, whose: tuple[Whose, Whose], note: str) -> None:
        """Say whose swings they are, and what else is to be known."""
        self.whose, self.note = whose, note
        said = [tr("{what}: {words}", what=one.place, words=one.words) for one in whose]
        self.setAccessibleDescription("; ".join(filter(None, (*said, note))))
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
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.whose is not None:
            for canvas, whose, way, seen in zip(
                (self._under, self._over), self.whose, (under, over), (1.0 - self.strength, self.strength), strict=True
            ):
                painter.setOpacity(min(1.0, 2 * seen))
                paint_over(painter, draw_as(canvas.lines, whose), way, QRectF(self.rect()), self._look)
        painter.setOpacity(1.0)
        self._paint_legend(painter)

    def _paint_legend(self, painter: QPainter) -> None:
        """A line of each as it is drawn, then which swing it is."""
        if self._look is None or self.whose is None:
            return
        font = font_of(self._look.quiet_px)
        row, left = line_px(font), _SAMPLE * self._look.quiet_px
        said = [tr("{what}: {words}", what=one.place, words=one.words) for one in self.whose]
        said += [self.note] if self.note else []
        whole = QRectF(0, 0, self.width(), (len(said) + 0.6) * row)
        painter.fillRect(whole, QColor(0, 0, 0, 170))
        for n, words in enumerate(said):
            top = (n + 0.3) * row
            if n < len(self.whose):
                one = self.whose[n]
                ends = QPolygonF([QPointF(0.5 * row, top + row / 2), QPointF(0.5 * row + left, top + row / 2)])
                paint_stroke(painter, ends, BodyLine((), one.colour, is_dashed=one.is_dashed), QRectF(self.rect()))
            at = 1.2 * row + left
            shown = break_lines(words, font, self.width() - at - row / 2, 1)
            paint_lines(painter, shown, font, "#F2F1EC", at, top)


def _paint(
    painter: QPainter, picture: NDArray[np.uint8] | None, size: QSizeF, transform: QTransform, opacity: float
) -> None:
    if picture is not None:
        painter.setTransform(transform)
        painter.setOpacity(opacity)
        painter.drawImage(QRectF(QPointF(0, 0), size), as_image(picture))
