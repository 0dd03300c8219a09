"""What panels paint with: marks of batches and lines of text broken to their place."""

from collections.abc import Sequence

from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen

from review.lettering import clean, wrap
from review.palette import look_of

FAMILY = "DejaVu Sans"


def font_of(size_px: int, is_bold: bool = False, is_slanted: bool = False) -> QFont:
    """A font of the window."""
    font = QFont(FAMILY)
    font.setPixelSize(max(1, size_px))
    font.setBold(is_bold)
    font.setItalic(is_slanted)
    return font


def break_lines(text: str, font: QFont, width_px: float, n_lines: int) -> tuple[str, ...]:
    """Break a text to its place, the last line cut with an ellipsis where it is too long."""
    metrics = QFontMetricsF(font)
    return wrap(clean(text), width_px, n_lines, metrics.horizontalAdvance) if text and width_px > 1 else ()


def first_that_fits(options: Sequence[str], font: QFont, width_px: float) -> str:
    """The first of the texts that fits on one line, '' when none does."""
    metrics = QFontMetricsF(font)
    return next((text for text in options if metrics.horizontalAdvance(text) <= width_px), "")


def line_px(font: QFont) -> float:
    """Distance of two lines."""
    return QFontMetricsF(font).height()


def paint_lines(
    painter: QPainter, lines: Sequence[str], font: QFont, colour: str, x: float, top: float, align: float = 0.0
) -> float:
    """Paint lines below each other and return where the next one would begin.

    ``align`` is the part of each line that lies left of ``x``: 0, 0.5 or 1.
    """
    metrics = QFontMetricsF(font)
    painter.setFont(font)
    painter.setPen(QColor(colour))
    for line in lines:
        painter.drawText(QPointF(x - align * metrics.horizontalAdvance(line), top + metrics.ascent()), line)
        top += metrics.height()
    return top


def paint_words(painter: QPainter, words: str, size_px: int, colour: str, at: QPointF, within: QRectF) -> None:
    """Write beside a point, light on a dark ground of its own, kept within a place."""
    font = font_of(size_px, is_bold=True)
    metrics = QFontMetricsF(font)
    pad = 0.25 * size_px
    (shown,) = break_lines(words, font, within.width() - 4 * pad, 1) or ("",)
    ground = QRectF(0, 0, metrics.horizontalAdvance(shown) + 2 * pad, metrics.height() + pad)
    left = min(at.x() + 2 * pad, within.right() - ground.width())
    top = min(at.y() + 2 * pad, within.bottom() - ground.height())
    ground.moveTo(max(left, within.left()), max(top, within.top()))
    painter.fillRect(ground, QColor(16, 20, 24, 190))
    paint_lines(painter, [shown], font, colour, ground.left() + pad, ground.top() + pad / 2)


def mark_path(batch_number: int | None, size: float = 1.0) -> QPainterPath:
    """The outline of a batch's mark about 0, 0, within ``size`` either way; a plain ring for swings in no batch."""
    path = QPainterPath()
    if batch_number is None:
        path.addEllipse(QPointF(0, 0), 0.8 * size, 0.8 * size)
        return path
    corners = [QPointF(x * size, y * size) for x, y in look_of(batch_number).corners]
    path.moveTo(corners[0])
    for corner in corners[1:]:
        path.lineTo(corner)
    path.closeSubpath()
    return path


def paint_mark(painter: QPainter, batch_number: int, colour: str, x: float, y: float, radius: float) -> None:
    """Paint a batch's mark, filled."""
    painter.save()
    painter.translate(x, y)
    painter.fillPath(mark_path(batch_number, radius), QBrush(QColor(colour)))
    painter.restore()


def paint_arrow(painter: QPainter, start: QPointF, end_x: float, colour: str, width_px: float) -> None:
    """Paint a level arrow to the right."""
    end, barb = QPointF(end_x, start.y()), 4 * width_px
    painter.setPen(QPen(QColor(colour), width_px, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    painter.drawLine(start, end)
    painter.drawLine(end, QPointF(end_x - barb, end.y() - barb))
    painter.drawLine(end, QPointF(end_x - barb, end.y() + barb))


def paint_chip(painter: QPainter, text: str, font: QFont, colours: tuple[str, str], x: float, top: float) -> QRectF:
    """Paint a word on a ground of its own, centred on ``x``; ``colours`` are ground and ink. Return its place."""
    metrics = QFontMetricsF(font)
    pad = 0.45 * metrics.height()
    width = metrics.horizontalAdvance(text) + 2 * pad
    place = QRectF(x - width / 2, top, width, 1.25 * metrics.height())
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colours[0]))
    painter.drawRoundedRect(place, 4, 4)
    painter.setFont(font)
    painter.setPen(QColor(colours[1]))
    painter.drawText(place, int(Qt.AlignmentFlag.AlignCenter), text)
    return place
