"""What is said of the chosen swing, as large as there is room for."""

from PyQt5.QtCore import QSize
from PyQt5.QtGui import QPainter, QPaintEvent
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.painting import break_lines, font_of, line_px, paint_lines


class Reading(QWidget):
    """Says one sentence on the right: in large letters where it fits, else smaller, at last in two lines."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.text = ""
        self._look: Look | None = None
        self._is_tight = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Chosen swing"))

    def set_look(self, look: Look, is_tight: bool) -> None:
        """Take on a look; ``is_tight`` keeps to plain letters."""
        self._look, self._is_tight = look, is_tight
        self.updateGeometry()

    def say(self, text: str) -> None:
        """Say another sentence."""
        self.text = text
        self.setAccessibleDescription(text)
        self.setToolTip(text)
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its largest line."""
        if self._look is None:
            return QSize(0, 0)
        if self._is_tight:
            return QSize(100, round(line_px(font_of(self._look.plain_px))))
        return QSize(100, round(max(line_px(font_of(self._look.number_px)), 2 * line_px(font_of(self._look.quiet_px)))))

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint the sentence."""
        if self._look is None or not self.text:
            return
        painter, look = QPainter(self), self._look
        sizes = (look.plain_px,) if self._is_tight else (look.number_px, look.plain_px)
        for size in (*sizes, look.quiet_px):
            font = font_of(size)
            lines = break_lines(self.text, font, self.width() - 8, 1 if size != look.quiet_px or self._is_tight else 2)
            if lines == (self.text,):
                break
        top = max(0.0, (self.height() - len(lines) * line_px(font)) / 2)
        paint_lines(painter, lines, font, look.theme.ink, self.width() - 4, top, 1.0)
