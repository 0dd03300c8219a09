"""First batch against last, hung off the chart: two lines come down from their bands, between them what changed."""

from PyQt5.QtCore import QPointF, QSize, Qt
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.language import tr
from review.app.lesson_chart.along import Along
from review.app.lesson_chart.drawing import MeasureDrawing
from review.app.lesson_chart.first_last import FirstLast
from review.app.look import Look
from review.app.look.painting import break_lines, font_of, line_px, paint_arrow, paint_chip, paint_lines, paint_mark


class Hanging(QWidget):
    """Paints a ``FirstLast`` beneath the chart, or why there is none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._drawing: MeasureDrawing | None = None
        self._said: FirstLast | None = None
        self._look: Look | None = None
        self._side_px, self._instead = 0.0, ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("First batch against last"))

    def show_change(
        self, drawing: MeasureDrawing, said: FirstLast | None, instead: str, look: Look, side_px: float
    ) -> None:
        """Show a change, or the text ``instead`` where there is none to tell."""
        self._drawing, self._said, self._instead, self._look, self._side_px = drawing, said, instead, look, side_px
        self.setAccessibleDescription(
            instead if said is None else ". ".join(filter(None, (said.change, said.verdict, said.interval, said.why)))
        )
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        if self._look is None:
            return QSize(0, 0)
        number, quiet = font_of(self._look.number_px), font_of(self._look.quiet_px)
        return QSize(100, round(self._drop(self._look) + 2 * line_px(number) + 3.4 * line_px(quiet)))

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint the change."""
        if self._look is None or self._drawing is None:
            return
        painter, look = QPainter(self), self._look
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self._said is None:
            font = font_of(look.quiet_px)
            lines = break_lines(self._instead, font, self.width() - 2 * self._side_px, 2)
            paint_lines(painter, lines, font, look.theme.quiet_ink, self._side_px, self._drop(look))
            return
        self._paint_change(painter, self._drawing, self._said, look)

    def _paint_change(self, painter: QPainter, drawing: MeasureDrawing, said: FirstLast, look: Look) -> None:
        along = Along(*drawing.ends, self.width(), self._side_px, self._side_px / 3)
        centres = {b.batch.number: along((b.start + b.end) / 2) for b in drawing.bands if b.batch is not None}
        number = font_of(look.number_px)
        radius, gap = 0.42 * look.number_px, 0.6 * look.number_px
        metrics = QFontMetricsF(number)
        top = self._drop(look)
        inner = []
        for batch, words, side in ((said.first, said.first_words, 0), (said.last, said.last_words, 1)):
            colour = look.theme.colour_of(batch)
            hang = centres.get(batch, self._side_px)
            width = metrics.horizontalAdvance(words) + 2.6 * radius
            left = min(max(hang - width / 2, 4.0), self.width() - width - 4.0)
            painter.setPen(QPen(QColor(colour), 2, Qt.PenStyle.SolidLine))
            painter.drawLine(QPointF(hang, 0), QPointF(hang, top - 2))
            painter.drawLine(QPointF(left, top - 2), QPointF(left + width, top - 2))
            paint_mark(painter, batch, colour, left + radius, top + line_px(number) / 2, radius)
            paint_lines(painter, [words], number, look.theme.ink, left + 2.6 * radius, top)
            inner.append(left + width + gap if side == 0 else left - gap)
        self._paint_between(painter, said, look, (inner[0], inner[1]), top)

    def _paint_between(
        self, painter: QPainter, said: FirstLast, look: Look, inner: tuple[float, float], top: float
    ) -> None:
        (left, right), theme = inner, look.theme
        big, quiet = font_of(look.number_px, is_bold=True), font_of(look.quiet_px)
        middle = (left + right) / 2
        lines = break_lines(said.change, big, right - left - 2 * look.number_px, 1)
        if lines == (said.change,):
            half = QFontMetricsF(big).horizontalAdvance(said.change) / 2 + 0.5 * look.number_px
            y = top + line_px(big) / 2
            painter.setPen(QPen(QColor(theme.quiet_ink), 2))
            painter.drawLine(QPointF(left, y), QPointF(middle - half, y))
            paint_arrow(painter, QPointF(middle + half, y), right, theme.quiet_ink, 2)
            below = paint_lines(painter, lines, big, theme.ink, middle, top, 0.5)
        else:  # too long to stand between them: it has a line of its own
            y = top + line_px(big) / 2
            paint_arrow(painter, QPointF(left, y), right, theme.quiet_ink, 2)
            middle = self.width() / 2
            lines = break_lines(said.change, big, self.width() - 2 * look.number_px, 1)
            below = paint_lines(painter, lines, big, theme.ink, middle, top + line_px(big), 0.5)
        if said.verdict:
            plain = font_of(look.plain_px, is_bold=True)
            below = paint_chip(painter, said.verdict, plain, (theme.ink, theme.ground), middle, below + 2).bottom() + 2
        text = " · ".join(part for part in (said.interval, said.why) if part)
        width = self.width() - 2 * look.plain_px
        for line in break_lines(text, quiet, width, 2):
            below = paint_lines(painter, [line], quiet, theme.quiet_ink, self.width() / 2, below, 0.5)

    @staticmethod
    def _drop(look: Look) -> float:
        """How far the lines come down."""
        return 0.8 * look.plain_px
