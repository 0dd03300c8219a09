"""How loud it is and how much time is left, to be read at two metres."""

from PyQt5.QtCore import QRectF, QSize
from PyQt5.QtGui import QColor, QPainter, QPaintEvent
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.painting import font_of, line_px, paint_lines

_PARTS = 24
_WIDE = 4.0
"""So many large letters the seconds take."""


class VoiceSign(QWidget):
    """The seconds large, beside them the level as a row of strokes that fill and grow."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.seconds, self.level = "", 0.0
        self._look: Look | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Seconds left and how loud it is"))

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.updateGeometry()
        self.update()

    def show_now(self, seconds: str, level: float) -> None:
        """Show the seconds that are left and the level, 0 to 1."""
        self.seconds, self.level = seconds, level
        self.setAccessibleDescription(seconds)
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its number."""
        return QSize(200, 0 if self._look is None else round(1.6 * line_px(font_of(self._look.number_px))))

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint it."""
        if self._look is None:
            return
        painter, look = QPainter(self), self._look
        large = font_of(round(1.35 * look.number_px), is_bold=True)
        paint_lines(painter, [self.seconds], large, look.theme.ink, 0, (self.height() - line_px(large)) / 2)
        left = _WIDE * look.number_px
        step = max(1.0, min(self.width() - left, 16 * look.number_px) / _PARTS)
        for n in range(_PARTS):
            is_on = self.level * _PARTS > n
            high = self.height() * (0.2 + 0.7 * n / _PARTS if is_on else 0.08)
            colour = look.theme.ink if is_on else look.theme.line
            bar = QRectF(left + n * step, (self.height() - high) / 2, 0.6 * step, high)
            painter.fillRect(bar, QColor(colour))
