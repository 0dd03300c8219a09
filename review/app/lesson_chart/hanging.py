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
        self._side_px, self._instead, self._is_tight, self._is_brief = 0.0, "", False, False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("First batch against last"))

    def show_change(
        self,
        drawing: MeasureDrawing,
        said: FirstLast | None,
        instead: str,
        look: Look,
        side_px: float,
        is_tight: bool = False,
    ) -> None:
        """Show a change, or the text ``instead`` where there is none to tell; ``is_tight`` leaves out the reasons."""
        self._drawing, self._said, self._instead, self._look, self._side_px = drawing, said, instead, look, side_px
        self._is_tight = is_tight
        self.setAccessibleDescription(
            instead
            if said is None
            else ". ".join(
                filter(None, (said.change, said.verdict, said.noted, said.interval, said.left_out, said.why))
            )
        )
        self.updateGeometry()
        self.update()

    def be_brief(self, is_brief: bool) -> None:
        """Leave out interval and reasons, or say them again."""
        if is_brief != self._is_brief:
            self._is_brief = is_brief
            self.updateGeometry()
            self.update()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        if self._look is None:
            return QSize(0, 0)
        number, plain = font_of(self._look.number_px), font_of(self._look.plain_px, is_bold=True)
        quiet = line_px(font_of(self._look.quiet_px))
        if self._said is None:
            return QSize(100, round(self._drop(self._look) + 2 * quiet))
        chip = 1.25 * line_px(plain) + 4 if self._said.verdict else 0.0
        reasons = len(self._reasons(self._said, self._look)) * quiet
        lines = 1 if self._fits_between() else 2
        return QSize(100, round(self._drop(self._look) + lines * line_px(number) + chip + reasons + 2))

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
        self._paint_change(painter, self._said, look)

    def _sides(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Of first and last: where the line comes down, and from where to where its words go, in pixels.

        The first stands on the left, wherever its band lies: a batch taken up again may end after the last one began.
        """
        assert self._drawing is not None
        assert self._said is not None
        assert self._look is not None
        along = Along(*self._drawing.ends, self.width(), self._side_px, self._side_px / 3)
        bands = [band for band in self._drawing.bands if band.batch is not None and band.has_words]
        centres = {band.batch.number: along((band.start + band.end) / 2) for band in bands if band.batch is not None}
        metrics, sides = QFontMetricsF(font_of(self._look.number_px)), []
        for batch, words in ((self._said.first, self._said.first_words), (self._said.last, self._said.last_words)):
            hang = centres.get(batch, self._side_px)
            width = metrics.horizontalAdvance(words) + 1.1 * self._look.number_px
            left = min(max(hang - width / 2, 4.0), self.width() - width - 4.0)
            sides.append((hang, left, left + width))
        first, last = sides
        if first[2] + 4 * self._look.number_px > last[1]:
            first_px, last_px, end = first[2] - first[1], last[2] - last[1], self.width() - self._side_px / 3
            first = first[0], self._side_px, self._side_px + first_px
            last = last[0], end - last_px, end
        return first, last

    def _fits_between(self) -> bool:
        """Whether the change has room between the two; else it has a line of its own."""
        assert self._said is not None
        assert self._look is not None
        first, last = self._sides()
        change = QFontMetricsF(font_of(self._look.number_px, is_bold=True)).horizontalAdvance(self._said.change)
        return change < last[1] - first[2] - 4 * self._look.number_px

    def _reasons(self, said: FirstLast, look: Look) -> tuple[str, ...]:
        is_short = self._is_tight or self._is_brief
        parts = (said.noted,) if is_short else (said.noted, said.interval, said.left_out, said.why)
        text, n_lines = " · ".join(part for part in parts if part), bool(said.noted) + (0 if is_short else 2)
        return break_lines(text, font_of(look.quiet_px), self.width() - 2 * look.plain_px, n_lines)

    def _paint_change(self, painter: QPainter, said: FirstLast, look: Look) -> None:
        number, top, radius = font_of(look.number_px), self._drop(look), 0.42 * look.number_px
        sides = self._sides()
        is_crossed = sides[0][0] >= sides[1][0]  # lines would run across each other; the marks tell whose words
        for batch, words, (hang, left, right) in zip(
            (said.first, said.last), (said.first_words, said.last_words), sides, strict=True
        ):
            colour = look.theme.colour_of(batch)
            painter.setPen(QPen(QColor(colour), 2, Qt.PenStyle.SolidLine))
            if not is_crossed:
                painter.drawLine(QPointF(hang, 0), QPointF(hang, top - 2))
                painter.drawLine(QPointF(min(left, hang), top - 2), QPointF(max(right, hang), top - 2))
            paint_mark(painter, batch, colour, left + radius, top + line_px(number) / 2, radius)
            paint_lines(painter, [words], number, look.theme.ink, left + 2.6 * radius, top)
        gap = 0.6 * look.number_px
        self._paint_between(painter, said, look, sides[0][2] + gap, sides[1][1] - gap)

    def _paint_between(self, painter: QPainter, said: FirstLast, look: Look, left: float, right: float) -> None:
        theme, top = look.theme, self._drop(look)
        big, quiet = font_of(look.number_px, is_bold=True), font_of(look.quiet_px)
        level, middle = top + line_px(big) / 2, (left + right) / 2
        if self._fits_between():
            half = QFontMetricsF(big).horizontalAdvance(said.change) / 2 + 0.5 * look.number_px
            painter.setPen(QPen(QColor(theme.quiet_ink), 2))
            painter.drawLine(QPointF(left, level), QPointF(middle - half, level))
            paint_arrow(painter, QPointF(middle + half, level), right, theme.quiet_ink, 2)
            below = paint_lines(painter, [said.change], big, theme.ink, middle, top, 0.5)
        else:
            paint_arrow(painter, QPointF(left, level), right, theme.quiet_ink, 2)
            middle = self.width() / 2
            lines = break_lines(said.change, big, self.width() - 2 * look.number_px, 1)
            below = paint_lines(painter, lines, big, theme.ink, middle, top + line_px(big), 0.5)
        if said.verdict:
            plain = font_of(look.plain_px, is_bold=True)
            below = paint_chip(painter, said.verdict, plain, (theme.ink, theme.ground), middle, below + 2).bottom() + 2
        paint_lines(painter, self._reasons(said, look), quiet, theme.quiet_ink, self.width() / 2, below, 0.5)

    @staticmethod
    def _drop(look: Look) -> float:
        """How far the lines come down."""
        return 0.8 * look.plain_px
