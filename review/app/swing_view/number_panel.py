"""The numbers of the frame as large text, and where in the swing it is."""

from collections.abc import Sequence
from fractions import Fraction

from PyQt5.QtCore import QSize
from PyQt5.QtGui import QFont, QFontMetricsF, QPainter, QPaintEvent
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.language import say_number, tr
from review.app.look import Look
from review.app.look.painting import break_lines, first_that_fits, font_of, line_px, paint_lines
from review.app.number_words import SaidNumber
from review.app.swing_view.playhead import Playhead

_MOST = 4
_PART = " · "


class NumberPanel(QWidget):
    """Paints up to four numbers, each with its label, and a line on where it is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look: Look | None = None
        self.numbers: tuple[SaidNumber, ...] = ()
        self.place_words, self.instead = "", ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Numbers of this frame"))

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.updateGeometry()
        self.update()

    def show_numbers(self, numbers: Sequence[SaidNumber], instead: str, moment_s: float, playhead: Playhead) -> None:
        """Show the numbers of a moment, or the text ``instead``."""
        if len(numbers) != len(self.numbers):
            self.updateGeometry()
        self.numbers, self.instead = tuple(numbers)[:_MOST], instead
        self.place_words = say_place(moment_s, playhead)
        said = [f"{number.label}: {number.words}" for number in self.numbers] or [instead]
        self.setAccessibleDescription(". ".join((self.place_words, *said)))
        self.update()

    def show_plain(self, numbers: Sequence[SaidNumber], title: str) -> None:
        """Show numbers that belong to no moment below a line of words."""
        self.numbers, self.instead, self.place_words = tuple(numbers)[:_MOST], "", title
        self.setAccessibleDescription(". ".join((title, *(f"{one.label}: {one.words}" for one in self.numbers))))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        if self._look is None:
            return QSize(200, 0)
        quiet, number = line_px(font_of(self._look.quiet_px)), line_px(font_of(self._look.number_px))
        lines = len(self.numbers) * (quiet + number) if self.numbers else 3 * quiet
        return QSize(200, round(lines + 1.4 * quiet))

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint label and number below each other."""
        if self._look is None:
            return
        painter, theme, top = QPainter(self), self._look.theme, 0.0
        quiet, large = font_of(self._look.quiet_px), font_of(self._look.number_px)
        place = self.place_words.split(_PART)
        shorter = [_PART.join(place[:n]) for n in range(len(place), 0, -1)]
        where = first_that_fits(shorter, quiet, self.width()) or shorter[-1]
        top = paint_lines(painter, [where], quiet, theme.quiet_ink, 0, top) + 0.4 * line_px(quiet)
        if not self.numbers:
            paint_lines(painter, break_lines(self.instead, quiet, self.width(), 3), quiet, theme.quiet_ink, 0, top)
        for number in self.numbers:
            paint_lines(painter, break_lines(number.label, quiet, self.width(), 1), quiet, theme.quiet_ink, 0, top)
            top += line_px(quiet)
            words = first_that_fits((number.words, number.least), large, self.width()) or number.least
            font = self._font_for(words)
            paint_lines(painter, break_lines(words, font, self.width(), 1), font, theme.ink, 0, top)
            top += line_px(large)

    def _font_for(self, words: str) -> QFont:
        """The large font, or as much smaller as makes long words fit."""
        assert self._look is not None
        width = QFontMetricsF(font_of(self._look.number_px)).horizontalAdvance(words)
        size = self._look.number_px * min(1.0, max(self.width(), 1) / max(width, 1.0))
        return font_of(max(int(size), self._look.quiet_px))


def say_place(moment_s: float, playhead: Playhead) -> str:
    """Say the frame, how far it is from impact and how fast it plays."""
    speed = Fraction(playhead.speed)
    return tr(
        "frame {frame} of {n} · {when} · speed {speed}",
        frame=playhead.frame + 1,
        n=playhead.n_frames,
        when=tr("{s} s before impact" if moment_s < 0 else "{s} s after", s=say_number(abs(moment_s), 3)),
        speed=str(speed),
    )
