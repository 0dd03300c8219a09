"""One measure along the lesson as a plot: marks of the swings, batches as bands with mean and scatter."""

import math
from collections.abc import Sequence
from typing import Any

import pyqtgraph as pg
from PyQt5.QtCore import QPointF, QRectF, Qt, QTimer, pyqtSignal
from PyQt5.QtGui import QColor, QPainterPath, QResizeEvent
from PyQt5.QtWidgets import QGraphicsRectItem, QVBoxLayout, QWidget

from review.app.lesson_chart.drawing import Drawn, Mark, MeasureDrawing
from review.app.look import Look
from review.app.look.painting import font_of, mark_path
from review.app.look.plot_pens import fine_pen
from review.lesson import SwingKind

_HOLLOW = (Drawn.LEFT_OUT, Drawn.OTHER)


class MeasurePlot(QWidget):
    """Draws a ``MeasureDrawing``; pointing at a swing tells which, a click opens it."""

    pointed_at = pyqtSignal(str)
    clicked = pyqtSignal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plot = pg.PlotWidget(self)
        self._plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._plot.setMenuEnabled(False)
        self._plot.setMouseEnabled(False, False)
        self._plot.hideButtons()
        self._ring: Any = None
        self._drawing: MeasureDrawing | None = None
        self._look: Look | None = None
        self._axis_px, self._has_numbers = 0.0, False
        self._chosen: tuple[str, ...] = ()
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._draw)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._plot)

    def show_drawing(self, drawing: MeasureDrawing, look: Look, axis_px: float, has_numbers: bool) -> None:
        """Draw anew; ``axis_px`` is left free at both sides, ``has_numbers`` whether the swings are numbered."""
        self._drawing, self._look, self._axis_px, self._has_numbers = drawing, look, axis_px, has_numbers
        self._soon.start()

    def _draw(self) -> None:
        """Draw when the window is idle: several plots in one go would hold it up; sizes are final only then."""
        drawing, look = self._drawing, self._look
        if drawing is None or look is None:
            return
        self._plot.clear()
        self._plot.setBackground(look.theme.ground)
        self._set_axes(drawing, look, self._axis_px, self._has_numbers)
        self._add_bands(drawing, look)
        self._add_marks(drawing.marks, look)
        pen = fine_pen(self, look.theme.ink, 3)
        self._ring = pg.ScatterPlotItem(pxMode=True, symbol="o", brush=None, pen=pen)
        self._ring.setZValue(20)
        self._plot.addItem(self._ring)
        self._put_ring()

    def show_chosen(self, swing_ids: Sequence[str]) -> None:
        """Put a ring around each chosen swing."""
        self._chosen = tuple(swing_ids)
        if self._ring is not None and not self._soon.isActive():
            self._put_ring()

    def _put_ring(self) -> None:
        assert self._drawing is not None
        marks = [mark for id in self._chosen if (mark := self._drawing.mark_of(id)) is not None]
        heights = [self._height_of(mark) for mark in marks]
        self._ring.setData([mark.order for mark in marks], heights, size=[2.3 * self._size(mark) for mark in marks])

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Room around the marks and the numbers of the swings follow the size."""
        super().resizeEvent(a0)
        if self._drawing is not None and self._look is not None:
            self._soon.start()

    def _height_of(self, mark: Mark) -> float:
        assert self._drawing is not None
        return mark.value if math.isfinite(mark.value) else self._foot(self._drawing)

    def _size(self, mark: Mark) -> float:
        """Size of a mark in pixels: smaller where many swings share the width."""
        assert self._drawing is not None
        assert self._look is not None
        start, end = self._drawing.ends
        room = self.width() / max(1.0, end - start)
        plain = min(0.8 * self._look.plain_px, max(6.0, 0.6 * room))
        return 0.75 * plain if mark.drawn in (Drawn.OTHER, Drawn.ABSENT) else plain

    def _pad(self, drawing: MeasureDrawing) -> float:
        """Room above the highest and below the lowest mark, so that none is cut, in the measure's unit."""
        assert self._look is not None
        room_px = 0.7 * self._look.plain_px
        plot_px = self.height() - (1.7 * self._look.quiet_px if self._has_numbers else 0.0)
        return (drawing.high - drawing.low) * room_px / max(1.0, plot_px - 2 * room_px)

    def _foot(self, drawing: MeasureDrawing) -> float:
        return drawing.low - 0.5 * self._pad(drawing)

    def _set_axes(self, drawing: MeasureDrawing, look: Look, axis_px: float, has_numbers: bool) -> None:
        item = self._plot.getPlotItem()
        pad = self._pad(drawing)
        start, end = drawing.ends
        item.setXRange(start, end, padding=0)
        item.setYRange(drawing.low - pad, drawing.high + pad, padding=0)
        left, bottom = item.getAxis("left"), item.getAxis("bottom")
        for axis in (left, bottom):
            axis.setStyle(tickLength=0, tickAlpha=0, tickFont=font_of(look.quiet_px), tickTextOffset=6)
            axis.setTextPen(look.theme.quiet_ink)
            axis.setPen(pg.mkPen(None))
            axis.setTickPen(pg.mkPen(None))
        plot_px = self.height() - (1.7 * look.quiet_px if has_numbers else 0.0)
        step_px = plot_px * (drawing.ticks[-1][0] - drawing.ticks[0][0]) / (drawing.high - drawing.low + 2 * pad)
        step_px /= max(1, len(drawing.ticks) - 1)
        left.setTicks([list(drawing.ticks[:: max(1, math.ceil(1.3 * look.quiet_px / max(1.0, step_px)))])])
        left.setWidth(axis_px)
        orders = [mark.order for mark in drawing.marks]
        every = max(1, math.ceil(len(orders) * 1.6 * look.quiet_px / max(1.0, self.width() - 2 * axis_px)))
        numbered = orders[:1] + [o for o in orders if o % every == 0 and o - orders[0] >= every]
        bottom.setTicks([[(order, str(order)) for order in numbered]])
        bottom.setStyle(tickTextOffset=2)
        bottom.setHeight(1.7 * look.quiet_px)
        item.showAxis("bottom", has_numbers)
        item.layout.setContentsMargins(0, 0, axis_px / 3, 0)

    def _add_bands(self, drawing: MeasureDrawing, look: Look) -> None:
        span = drawing.high - drawing.low
        pad = self._pad(drawing)
        low, high = drawing.low - pad, drawing.high + pad
        for n, band in enumerate(drawing.bands):
            if n % 2 == 0:
                self._add_box(band.start, low, band.end, high, look.theme.shade, 255, 0)
        for tick, _ in drawing.ticks:
            colour = look.theme.quiet_ink if abs(tick) < 1e-9 * span else look.theme.line
            self._add_line(drawing.ends, tick, colour, 1.0, 1)
        for band in drawing.bands:
            if band.batch is None or not band.n:
                continue
            colour = look.theme.colour_of(band.batch.number)
            inset = min(0.15, 0.05 * (band.end - band.start))
            ends = band.start + inset, band.end - inset
            if band.n > 1:
                self._add_box(ends[0], band.mean - band.sd, ends[1], band.mean + band.sd, colour, 45, 2)
            # an open batch is still growing: its mean is no result yet
            style = Qt.PenStyle.SolidLine if band.batch.is_closed else Qt.PenStyle.DashLine
            self._add_line(ends, band.mean, colour, 0.17 * look.plain_px, 3, style)

    def _add_box(
        self, left: float, low: float, right: float, high: float, colour: str, alpha: int, height: int
    ) -> None:
        box = QGraphicsRectItem(QRectF(left, low, right - left, high - low))
        fill = QColor(colour)
        fill.setAlpha(alpha)
        box.setBrush(fill)
        box.setPen(pg.mkPen(None))
        box.setZValue(height)
        self._plot.addItem(box, ignoreBounds=True)

    def _add_line(
        self,
        ends: Sequence[float],
        at: float,
        colour: str,
        width: float,
        height: int,
        style: Qt.PenStyle = Qt.PenStyle.SolidLine,
    ) -> None:
        line = pg.PlotCurveItem(list(ends), [at, at], pen=fine_pen(self, colour, width, style))
        line.setZValue(height)
        self._plot.addItem(line, ignoreBounds=True)

    def _add_marks(self, marks: Sequence[Mark], look: Look) -> None:
        spots = []
        for mark in marks:
            colour = look.theme.quiet_ink if mark.batch_number is None else look.theme.colour_of(mark.batch_number)
            is_filled = mark.drawn not in _HOLLOW
            spots.append(
                {
                    "pos": (mark.order, self._height_of(mark)),
                    "size": self._size(mark),
                    "symbol": _symbol(mark),
                    "brush": pg.mkBrush(colour if is_filled else look.theme.ground),
                    "pen": fine_pen(self, colour, 2),
                    "data": mark.swing_id,
                }
            )
            if mark.drawn is Drawn.SUSPECT:
                self._add_words("?", mark, look)
            if mark.away:
                self._add_words("↑" if mark.away > 0 else "↓", mark, look)
        scatter = pg.ScatterPlotItem(spots=spots, pxMode=True, hoverable=True, tip=None)
        scatter.setZValue(10)
        scatter.sigClicked.connect(lambda _, points: self.clicked.emit(points[0].data()) if len(points) else None)
        scatter.sigHovered.connect(lambda _, points: self.pointed_at.emit(points[0].data()) if len(points) else None)
        self._plot.addItem(scatter)

    def _add_words(self, text: str, mark: Mark, look: Look) -> None:
        anchor = (0.5, 0.0 if mark.away < 0 else 1.0)
        words = pg.TextItem(text, color=look.theme.ink, anchor=anchor)
        words.setFont(font_of(look.plain_px, is_bold=True))
        words.setPos(mark.order, mark.value)
        words.setZValue(11)
        self._plot.addItem(words, ignoreBounds=True)


def _symbol(mark: Mark) -> QPainterPath:
    """The outline of a mark, within 0.5 either way: a batch's own; a tick where there is no number."""
    path = QPainterPath()
    if mark.drawn is Drawn.ABSENT:
        path.addRect(QRectF(-0.08, -0.4, 0.16, 0.8))
    elif mark.kind is SwingKind.PRACTICE:
        path.addEllipse(QPointF(0, 0), 0.5, 0.5)
    elif mark.kind is SwingKind.DRILL:
        path.addRect(QRectF(-0.5, -0.25, 1.0, 0.5))
    elif mark.kind is SwingKind.DEMONSTRATION:
        path.addRect(QRectF(-0.25, -0.5, 0.5, 1.0))
    else:
        return mark_path(mark.batch_number, 0.5)
    return path
