"""A piece of the picture about the mark, many times larger."""

import numpy as np
from numpy.typing import NDArray
from PyQt5.QtCore import QPointF, QRectF, QSize, Qt
from PyQt5.QtGui import QColor, QPainter, QPaintEvent, QPen
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.swing_view.canvas import as_image

_TIMES = 8
"""How many pixels of the window one of the original takes, at the smallest window."""


class Magnifier(QWidget):
    """Shows the pixel that is marked in the middle, framed."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("The mark, magnified"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._look: Look | None = None
        self._picture: NDArray[np.uint8] | None = None
        self._width_px, self._mark = 1.0, (0.0, 0.0)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._look = look
        self.setMinimumHeight(4 * look.plain_px)  # what is asked for and the buttons come first
        self.setMaximumHeight(11 * look.plain_px)
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """As high as it may be."""
        return QSize(100, self.maximumHeight())

    def show_mark(self, picture: NDArray[np.uint8] | None, width_px: float, mark: tuple[float, float]) -> None:
        """Show a pixel of a picture (h, w, 4) of an original ``width_px`` wide."""
        self._picture, self._width_px, self._mark = picture, width_px, mark
        self.setAccessibleDescription(tr("{x} to the right, {y} down", x=round(mark[0]), y=round(mark[1])))
        self.update()

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint the piece and the frame about the pixel."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor("#000000"))
        if self._picture is None or self._look is None:
            return
        times = _TIMES * self._look.plain_px / 22
        small = self._picture.shape[1] / self._width_px  # a copy may be smaller than the original
        wide, high = self.width() / times * small, self.height() / times * small
        x, y = ((self._mark[0] + 0.5) * small, (self._mark[1] + 0.5) * small)
        painter.drawImage(QRectF(self.rect()), as_image(self._picture), QRectF(x - wide / 2, y - high / 2, wide, high))
        middle, half = QPointF(self.width() / 2, self.height() / 2), times / 2
        pixel = QRectF(middle.x() - half, middle.y() - half, times, times)
        for colour, width in (("#101418", 3.0), ("#F0C94A", 1.5)):
            painter.setPen(QPen(QColor(colour), width, Qt.PenStyle.SolidLine))
            painter.drawRect(pixel)
            for across, down in ((1, 0), (-1, 0), (0, 1), (0, -1)):
                begin = middle + QPointF(2.5 * half * across, 2.5 * half * down)
                painter.drawLine(begin, middle + QPointF(self.width() * across, self.height() * down))
