"""Lines over a picture, painted."""

from collections.abc import Iterable

from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QColor, QPainter, QPen, QPolygonF, QTransform

from review.app.look import Look
from review.app.look.painting import paint_words
from review.app.swing_view.body_lines import BodyLine


def paint_over(
    painter: QPainter, lines: Iterable[BodyLine], transform: QTransform, within: QRectF, look: Look | None
) -> None:
    """Paint lines and words; ``transform`` leads from the picture's pixels into the place ``within``."""
    for line in lines:
        points = [transform.map(QPointF(x, y)) for x, y in line.points_px]
        if not line.words:
            paint_stroke(painter, QPolygonF(points), line, within)
        elif look is not None and within.contains(points[0]):
            paint_words(painter, line.words, look.plain_px, line.colour, points[0], within)


def paint_stroke(painter: QPainter, points: QPolygonF, line: BodyLine, within: QRectF) -> None:
    """A light line in a dark one, so that it stands out on any ground."""
    style = Qt.PenStyle.DashLine if line.is_dashed else Qt.PenStyle.SolidLine
    wide = line.width * max(2.0, min(within.width(), within.height()) / 220)
    for colour, width in (("#101418", wide + 2.5), (line.colour, wide)):
        pen = QPen(QColor(colour), width, style if width == wide else Qt.PenStyle.SolidLine)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.drawPolyline(points)
