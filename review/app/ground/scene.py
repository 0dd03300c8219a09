"""What is seen of the pressure live, painted for the whole screen: dot, tail, feet, the hold area, a few words."""

import math
from collections import deque
from collections.abc import Sequence

from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from review.app.ground.hold import Hold
from review.app.language import say_number, tr
from review.app.look import DARK, Theme
from review.app.look.painting import break_lines, font_of, line_px, paint_lines
from review.app.sentences import say_sentences
from review.lesson import FloatArray

_TAIL = 120
_WIDE_CM, _TALL_CM = 80.0, 45.0
_HEELS_CM = 9.0
"""Where heels are about, behind the middle, when no feet are drawn."""


class Scene:
    """The ground from above; places are centimetres as seen from where a face-on camera stands.

    ``middle`` of the screen is between the feet where they are known. ``side`` is on which the target is, 1 right,
    -1 left, 0 where nobody told. ``trouble`` and ``notes`` are said as they stand; ``silent_s`` is since when nothing
    has come, 0 while something comes. It is shown as the pupil stands, toes up, but for ``is_coachs_view``.
    """

    def __init__(self, feet_cm: Sequence[FloatArray] = (), side: float = 0.0) -> None:
        self.feet, self.side = feet_cm, side
        self.hold = Hold()
        self.middle = (0.0, 0.0)
        self.tail: deque[tuple[float, float]] = deque(maxlen=_TAIL)
        self.trouble = ""
        self.notes: tuple[str, ...] = ()
        self.silent_s = 0
        self.is_coachs_view = False
        self.theme: Theme = DARK

    @property
    def way(self) -> float:
        """1 as a face-on camera sees it, -1 half a turn from that, as the pupil stands."""
        return 1.0 if self.is_coachs_view else -1.0

    def say(self) -> str:
        """How long the pressure is held, or why not."""
        if not self.tail:
            return tr("nothing has come yet")
        if self.silent_s:
            return tr("nothing new for {s} s", s=self.silent_s)
        if math.isnan(self.tail[-1][0]):
            return tr("not on the mat")
        return tr("held {s} s", s=say_number(self.hold.held_s, 1))

    def say_view(self) -> str:
        """From where it is seen."""
        if self.side:
            return (
                tr("As the coach sees it: toes down.") if self.is_coachs_view else tr("As the pupil stands: toes up.")
            )
        if self.is_coachs_view:
            return tr("How the mat lies is not known: its x goes left, its y down.")
        return tr("How the mat lies is not known: its x goes right, its y up.")

    def say_all(self) -> str:
        """What is said, with the notes."""
        return ". ".join((self.say(), " ".join((*self.notes, self.say_view()))))

    def scale(self, size: tuple[int, int]) -> float:
        """Pixels to a centimetre on a widget of that size."""
        return max(1.0, min(size[0] / _WIDE_CM, size[1] / _TALL_CM))

    def place(self, x_cm: float, y_cm: float, size: tuple[int, int]) -> QPointF:
        """Where on a widget of that size a place is."""
        scale = self.way * self.scale(size)
        return QPointF(size[0] / 2 + scale * (x_cm - self.middle[0]), size[1] / 2 - scale * (y_cm - self.middle[1]))

    def ground_at(self, point: QPointF, size: tuple[int, int]) -> tuple[float, float]:
        """Which place is there on a widget of that size."""
        scale = self.way * self.scale(size)
        return self.middle[0] + (point.x() - size[0] / 2) / scale, self.middle[1] - (point.y() - size[1] / 2) / scale

    def keep_ring(self, size: tuple[int, int]) -> None:
        """Keep the ring on a widget of that size."""
        scale = self.scale(size)
        self.hold.keep_within(self.middle, (size[0] / 2 / scale, size[1] / 2 / scale))

    def paint(self, painter: QPainter, size: tuple[int, int]) -> None:
        """Paint it all."""
        unit, theme = max(14, size[1] // 24), self.theme
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(QRectF(0, 0, *size), QColor(theme.ground))
        self._paint_feet(painter, unit, size)
        is_inside = bool(self.tail) and not self.silent_s and self.hold.is_inside(*self.tail[-1])
        line = Qt.PenStyle.SolidLine if is_inside else Qt.PenStyle.DashLine
        painter.setPen(QPen(QColor(theme.ink), unit / (6 if is_inside else 10), line))
        radius = self.scale(size) * self.hold.radius_cm
        painter.drawEllipse(self.place(self.hold.x_cm, self.hold.y_cm, size), radius, radius)
        self._paint_dot(painter, unit, [None if math.isnan(x) else self.place(x, y, size) for x, y in self.tail])
        self._paint_words(painter, unit, size)

    def _paint_feet(self, painter: QPainter, unit: int, size: tuple[int, int]) -> None:
        """Paint lead and trail foot with their names behind the heels, and where the target is."""
        painter.setPen(QPen(QColor(self.theme.quiet_ink), unit / 12))
        painter.setBrush(QColor(self.theme.shade))
        x, y = self.middle
        feet = [QPolygonF([self.place(x + float(a), y + float(b), size) for a, b in foot]) for foot in self.feet]
        for foot in feet:
            painter.drawPolygon(foot)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        small, high = font_of(unit), line_px(font_of(unit))
        tops, bottoms = [f.boundingRect().top() for f in feet], [f.boundingRect().bottom() for f in feet]
        if self.is_coachs_view:
            top = min(tops, default=self.place(x, y + _HEELS_CM, size).y()) - 1.1 * high
        else:
            top = max(bottoms, default=self.place(x, y + _HEELS_CM, size).y()) + 0.1 * high
        width = QFontMetricsF(small).horizontalAdvance
        is_right = self.side * self.way > 0
        target = say_sentences("target →" if is_right else "← target")
        taken = 1.5 * unit + width(target)
        for name, foot in zip((tr("lead foot"), tr("trail foot")), feet, strict=False):
            middle = foot.boundingRect().center().x()
            paint_lines(painter, [name], small, self.theme.quiet_ink, middle, top, 0.5)
            if min(middle, size[0] - middle) - width(name) / 2 < taken:  # a wide stance: beside the name is no room
                taken, top_of_target = 0.0, top - self.way * high
            elif taken:
                top_of_target = top
        if self.side:
            paint_lines(
                *(painter, [target], small, self.theme.quiet_ink, size[0] - unit if is_right else unit),
                *(top_of_target if feet else top, float(is_right)),
            )

    def _paint_dot(self, painter: QPainter, unit: int, points: Sequence[QPointF | None]) -> None:
        ink = self.theme.quiet_ink if self.silent_s else self.theme.accent
        for n, (a, b) in enumerate(zip(points[:-1], points[1:], strict=True)):
            if a is not None and b is not None:
                colour = QColor(ink)
                colour.setAlphaF(n / len(points))
                painter.setPen(QPen(colour, unit / 4))
                painter.drawLine(a, b)
        if points and points[-1] is not None:
            painter.setPen(QPen(QColor(self.theme.ground), 3))
            painter.setBrush(QColor(ink))
            painter.drawEllipse(points[-1], 0.8 * unit, 0.8 * unit)
            painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_words(self, painter: QPainter, unit: int, size: tuple[int, int]) -> None:
        theme, small, least = self.theme, font_of(unit), font_of(max(12, round(0.8 * unit)))
        wide = size[0] - 2 * unit
        if self.trouble:
            said = break_lines(self.trouble, small, wide, 3)
            painter.fillRect(QRectF(0, 0, size[0], (len(said) + 1) * line_px(small)), QColor(theme.trouble))
            paint_lines(painter, said, small, theme.trouble_ink, unit, unit / 2)
        else:
            below = paint_lines(painter, [self.say()], font_of(2 * unit, is_bold=True), theme.ink, unit, unit / 2)
            if not self.tail:
                for note in self.notes:
                    below = paint_lines(painter, break_lines(note, small, wide, 2), small, theme.ink, unit, below)
            else:
                longest = tr("longest {s} s", s=say_number(self.hold.longest_s, 1))
                paint_lines(painter, [longest], small, theme.quiet_ink, unit, below)
        notes = [line for note in self.notes if self.tail for line in break_lines(note, small, wide, 2)]
        without = tr("Without a club: nobody swings in this mode.")
        keys = tr("Ring: drag it, arrows, + −   R turns the view   F whole screen   Esc ends   ? keys")
        quiet = [
            *break_lines(f"{self.say_view()} {without}", least, wide, 2),
            *_break_keys(keys, least, wide),
        ]
        top = size[1] - (len(quiet) + 0.4) * line_px(least) - len(notes) * line_px(small)
        top = paint_lines(painter, notes, small, theme.ink, unit, top)
        paint_lines(painter, quiet, least, theme.quiet_ink, unit, top)


def _break_keys(keys: str, font: QFont, width_px: float) -> list[str]:
    """Break a line of keys between two of them."""
    lines: list[str] = []
    for key in keys.split("   "):
        longer = f"{lines[-1]} · {key}" if lines else key
        if lines and QFontMetricsF(font).horizontalAdvance(longer) <= width_px:
            lines[-1] = longer
        else:
            lines.append(key)
    return lines
