"""The pressure live, for the whole screen: dot, tail, feet and the hold area, which the coach drags."""

import math
from collections import deque
from collections.abc import Iterable, Sequence

from PyQt5.QtCore import QPointF, QRectF, Qt, QTimer, pyqtSignal
from PyQt5.QtGui import (
    QColor,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QWheelEvent,
)
from PyQt5.QtWidgets import QWidget

from review.app.ground.hold import Hold
from review.app.language import say_number, tr
from review.app.look import DARK
from review.app.look.painting import break_lines, font_of, line_px, paint_lines
from review.app.sentences import say_sentences
from review.errors import BadInputError
from review.jobs.pressure.live_trace import LiveTrace
from review.lesson import FloatArray

_EVERY_MS = 15
_TAIL = 120
_WIDE_CM, _TALL_CM = 80.0, 45.0
_STEP_CM = 1.0
_LARGER = 1.15
_MOVES: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}


class GroundView(QWidget):
    """Draws where the pressure is, ``side`` 1 for a right-hander (target on the right), -1 for a left-hander."""

    ended = pyqtSignal()

    def __init__(self, trace: LiveTrace, feet_cm: Sequence[FloatArray] = (), side: float = 1.0) -> None:
        super().__init__()
        self._trace, self._feet, self._side = trace, feet_cm, side
        self.hold = Hold()
        self._middle = (0.0, 0.0)  # between the feet, where they are known
        self._is_first = not feet_cm
        self._tail: deque[tuple[float, float]] = deque(maxlen=_TAIL)
        self._trouble = ""
        self._dragged_from: QPointF | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setWindowTitle(tr("Pressure, live"))
        self.setAccessibleName(tr("Pressure, live"))
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.go_on)
        self._timer.start(_EVERY_MS)

    def go_on(self) -> None:
        """Take in what came and show it."""
        try:
            new = self._trace.read_new()
        except (BadInputError, OSError) as error:
            self._trouble = say_sentences(str(error))
            self._timer.stop()
            self.update()
            return
        if not new:
            return
        for x, y in new:
            self._tail.append((self._side * x, -y))  # as seen from where a face-on camera stands
        if self._is_first:
            self._begin_at(self._tail)
        self.hold.take(*self._tail[-1])
        where = self._tail[-1]
        said = tr("not on the mat") if math.isnan(where[0]) else tr("held {s} s", s=say_number(self.hold.held_s, 1))
        self.setAccessibleDescription(said)
        self.update()

    def _begin_at(self, tail: Iterable[tuple[float, float]]) -> None:
        """Where nobody told how the mat lies its middle may be anywhere: the ring goes where the pupil first stands."""
        for x, y in tail:
            if not math.isnan(x):
                self._middle, self._is_first = (x, y), False
                self.hold.move(x - self.hold.x_cm, y - self.hold.y_cm)
                return

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Arrows move the hold area, + and - change it, F fills the screen, Esc ends."""
        if a0 is None:
            return
        key = a0.key()
        if key in _MOVES:
            dx, dy = _MOVES[key]
            self.hold.move(dx * _STEP_CM, dy * _STEP_CM)
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.hold.grow(_LARGER)
        elif key == Qt.Key.Key_Minus:
            self.hold.grow(1 / _LARGER)
        elif key == Qt.Key.Key_F:
            window = self.window() or self
            window.setWindowState(window.windowState() ^ Qt.WindowState.WindowFullScreen)
        elif key == Qt.Key.Key_Escape:
            self.ended.emit()
            self.close()
        else:
            super().keyPressEvent(a0)
        self.update()

    def finish(self) -> None:
        """Read no more."""
        self._timer.stop()

    def wheelEvent(self, a0: QWheelEvent | None) -> None:
        """Change the size of the hold area."""
        if a0 is not None:
            self.hold.grow(_LARGER if a0.angleDelta().y() > 0 else 1 / _LARGER)
            self.update()

    def mousePressEvent(self, a0: QMouseEvent | None) -> None:
        """Take hold of the area."""
        self._dragged_from = None if a0 is None else a0.localPos()

    def mouseMoveEvent(self, a0: QMouseEvent | None) -> None:
        """Drag the area."""
        if a0 is None or self._dragged_from is None:
            return
        moved, scale = a0.localPos() - self._dragged_from, self._scale()
        self._dragged_from = a0.localPos()
        self.hold.move(moved.x() / scale, -moved.y() / scale)
        self.update()

    def mouseReleaseEvent(self, a0: QMouseEvent | None) -> None:
        """Let go of the area."""
        self._dragged_from = None

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint it all."""
        painter, theme = QPainter(self), DARK
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(theme.ground))
        scale, unit = self._scale(), max(14, self.height() // 24)
        painter.setPen(QPen(QColor(theme.quiet_ink), unit / 12))
        painter.setBrush(QColor(theme.shade))
        for foot in self._feet:
            painter.drawPolygon(QPolygonF([self._place(float(x), float(y)) for x, y in foot]))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        place = self._tail[-1] if self._tail else (math.nan, math.nan)
        is_inside = self.hold.is_inside(*place)
        painter.setPen(
            QPen(
                QColor(theme.ink),
                unit / (6 if is_inside else 10),
                Qt.PenStyle.SolidLine if is_inside else Qt.PenStyle.DashLine,
            )
        )
        painter.drawEllipse(self._place(self.hold.x_cm, self.hold.y_cm), *(2 * [scale * self.hold.radius_cm]))
        self._paint_dot(painter, unit)
        font, small = font_of(2 * unit, is_bold=True), font_of(unit)
        if self._trouble:
            lines, ink = break_lines(self._trouble, small, self.width() - 2 * unit, 3), theme.trouble_ink
            box = QRectF(0, 0, self.width(), (len(lines) + 1) * line_px(small))
            painter.fillRect(box, QColor(theme.trouble))
            paint_lines(painter, lines, small, ink, unit, unit / 2)
        else:
            held = tr("held {s} s", s=say_number(self.hold.held_s, 1))
            if self._tail and math.isnan(place[0]):
                held = tr("not on the mat")
            longest = tr("longest {s} s", s=say_number(self.hold.longest_s, 1))
            paint_lines(painter, [held], font, theme.ink, unit, unit / 2)
            paint_lines(painter, [longest], small, theme.quiet_ink, unit, unit / 2 + line_px(font))
            if self._feet:
                toward = say_sentences("target →" if self._side > 0 else "← target")
                left = self.width() - unit - QFontMetricsF(small).horizontalAdvance(toward) if self._side > 0 else unit
                paint_lines(painter, [toward], small, theme.quiet_ink, left, unit)
        without = tr("Without a club: nobody swings in this mode.")
        keys = tr("Drag the ring, + and - change it, F whole screen, Esc ends.")
        lines = break_lines(f"{without} {keys}", small, self.width() - 2 * unit, 2)
        top = self.height() - (len(lines) + 0.4) * line_px(small)
        paint_lines(painter, lines, small, theme.quiet_ink, unit, top)

    def _paint_dot(self, painter: QPainter, unit: int) -> None:
        points = [None if math.isnan(x) else self._place(x, y) for x, y in self._tail]
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

    def _scale(self) -> float:
        return max(1.0, min(self.width() / _WIDE_CM, self.height() / _TALL_CM))

    def _place(self, x_cm: float, y_cm: float) -> QPointF:
        scale = self._scale()
        x, y = x_cm - self._middle[0], y_cm - self._middle[1]
        return QPointF(self.width() / 2 + scale * x, self.height() / 2 - scale * y)
