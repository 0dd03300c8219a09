"""Three numbers as large text below each other."""

from collections.abc import Sequence

from PyQt5.QtCore import QSize
from PyQt5.QtGui import QPainter, QPaintEvent
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.language import tr
from review.app.live.three_numbers import N_NUMBERS
from review.app.look import Look
from review.app.look.painting import break_lines, first_that_fits, font_of, line_px, paint_lines
from review.app.number_words import SaidNumber


class NumberLines(QWidget):
    """Paints a title and up to three numbers; the interval is left out where it has no room."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look: Look | None = None
        self.title, self.numbers = "", tuple[SaidNumber, ...]()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Numbers of the newest swing"))

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.updateGeometry()
        self.update()

    def say(self, title: str, numbers: Sequence[SaidNumber]) -> None:
        """Say other numbers."""
        self.title, self.numbers = title, tuple(numbers)
        self.setAccessibleDescription(". ".join((title, *(f"{n.label}: {n.words}" for n in self.numbers))))
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        if self._look is None:
            return QSize(200, 0)
        quiet, number = line_px(font_of(self._look.quiet_px)), line_px(font_of(self._look.number_px))
        return QSize(200, round(1.3 * quiet + N_NUMBERS * (quiet + number)))

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint label and number below each other."""
        if self._look is None:
            return
        painter, theme = QPainter(self), self._look.theme
        quiet, large = font_of(self._look.quiet_px), font_of(self._look.number_px)
        title = break_lines(self.title, quiet, self.width(), 1)
        top = paint_lines(painter, title, quiet, theme.quiet_ink, 0, 0.0) + 0.3 * line_px(quiet)
        for number in self.numbers:
            top = paint_lines(painter, [number.label], quiet, theme.quiet_ink, 0, top)
            words = first_that_fits((number.words, number.least), large, self.width())
            if words:
                top = paint_lines(painter, [words], large, theme.ink, 0, top)
            else:
                lines = break_lines(number.least, quiet, self.width(), 2)
                paint_lines(painter, lines, quiet, theme.ink, 0, top)
                top += line_px(large)
