"""What is seen of the pressure live, painted for the whole screen: dot, tail, feet, the hold area, a few words."""

import math
from collections import deque
from collections.abc import Sequence

from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QColor, QPainter, QPen, QPolygonF

from review.app.ground.hold import Hold
from review.app.language import say_number, tr
from review.app.look import DARK
from review.app.look.painting import break_lines, font_of, line_px, paint_lines
from review.app.sentences import say_sentences
from review.lesson import FloatArray

_TAIL = 120
_WIDE_CM, _TALL_CM = 80.0, 45.0


class Scene:
    """The ground as seen from above from where a face-on camera stands; centimetres.

    ``middle`` of the screen is between the feet where they are known. ``side`` is on which the target is, 1 right,
    -1 left, 0 where nobody told. ``trouble`` and ``notes`` are said as they stand.
    """

    def __init__(self, feet_cm: Sequence[FloatArray] = (), side: float = 0.0) -> None:
        self.feet, self.side = feet_cm, side
        self.hold = Hold()
        self.middle = (0.0, 0.0)
        self.tail: deque[tuple[float, float]] = deque(maxlen=_TAIL)
        self.trouble = ""
        self.notes: tuple[str, ...] = ()

    def say(self) -> str:
        """How long the pressure is held, or why not."""
        if not self.tail:
            return tr("nothing has come yet")
        if math.isnan(self.tail[-1][0]):
            return tr("not on the mat")
        return tr("held {s} s", s=say_number(self.hold.held_s, 1))

    def say_all(self) -> str:
        """The same with the notes."""
        return ". ".join((self.say(), *([" ".join(self.notes)] if self.notes else ())))

    def scale(self, size: tuple[int, int]) -> float:
        """Pixels to a centimetre on a widget of that size."""
        return max(1.0, min(size[0] / _WIDE_CM, size[1] / _TALL_CM))

    def paint(self, painter: QPainter, size: tuple[int, int]) -> None:
        """Paint it all."""
        unit, scale = max(14, size[1] // 24), self.scale(size)

        def place(x_cm: float, y_cm: float) -> QPointF:
            x, y = x_cm - self.middle[0], y_cm - self.middle[1]
            return QPointF(size[0] / 2 + scale * x, size[1] / 2 - scale * y)

        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(QRectF(0, 0, *size), QColor(DARK.ground))
        painter.setPen(QPen(QColor(DARK.quiet_ink), unit / 12))
        painter.setBrush(QColor(DARK.shade))
        for foot in self.feet:
            corners = [place(float(x) + self.middle[0], float(y) + self.middle[1]) for x, y in foot]
            painter.drawPolygon(QPolygonF(corners))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        is_inside = bool(self.tail) and self.hold.is_inside(*self.tail[-1])
        line = Qt.PenStyle.SolidLine if is_inside else Qt.PenStyle.DashLine
        painter.setPen(QPen(QColor(DARK.ink), unit / (6 if is_inside else 10), line))
        radius = scale * self.hold.radius_cm
        painter.drawEllipse(place(self.hold.x_cm, self.hold.y_cm), radius, radius)
        self._paint_dot(painter, unit, [None if math.isnan(x) else place(x, y) for x, y in self.tail])
        self._paint_words(painter, unit, size)

    def _paint_dot(self, painter: QPainter, unit: int, points: Sequence[QPointF | None]) -> None:
        for n, (a, b) in enumerate(zip(points[:-1], points[1:], strict=True)):
            if a is not None and b is not None:
                colour = QColor(DARK.accent)
                colour.setAlphaF(n / len(points))
                painter.setPen(QPen(colour, unit / 4))
                painter.drawLine(a, b)
        if points and points[-1] is not None:
            painter.setPen(QPen(QColor(DARK.ground), 3))
            painter.setBrush(QColor(DARK.accent))
            painter.drawEllipse(points[-1], 0.8 * unit, 0.8 * unit)
            painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_words(self, painter: QPainter, unit: int, size: tuple[int, int]) -> None:
        font, small, wide = font_of(2 * unit, is_bold=True), font_of(unit), size[0] - 2 * unit
        if self.trouble:
            said = break_lines(self.trouble, small, wide, 3)
            painter.fillRect(QRectF(0, 0, size[0], (len(said) + 1) * line_px(small)), QColor(DARK.trouble))
            paint_lines(painter, said, small, DARK.trouble_ink, unit, unit / 2)
        else:
            below = paint_lines(painter, [self.say()], font, DARK.ink, unit, unit / 2)
            if self.tail:
                longest = tr("longest {s} s", s=say_number(self.hold.longest_s, 1))
                below = paint_lines(painter, [longest], small, DARK.quiet_ink, unit, below)
            for note in self.notes:
                below = paint_lines(painter, break_lines(note, small, wide, 2), small, DARK.quiet_ink, unit, below)
            if self.side > 0:
                paint_lines(painter, [say_sentences("target →")], small, DARK.quiet_ink, size[0] - unit, unit, 1.0)
            elif self.side < 0:
                paint_lines(painter, [say_sentences("← target")], small, DARK.quiet_ink, unit, below + unit / 2)
        without = tr("Without a club: nobody swings in this mode.")
        keys = tr("Drag the ring, + and - change it, F whole screen, Esc ends.")
        lines = break_lines(f"{without} {keys}", small, wide, 2)
        paint_lines(painter, lines, small, DARK.quiet_ink, unit, size[1] - (len(lines) + 0.4) * line_px(small))
