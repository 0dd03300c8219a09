"""The centre of pressure on the mat: all of its way, the last of it, and where it is now."""

import numpy as np
from numpy.typing import NDArray
from PyQt5.QtCore import QPointF, QRectF, QSize, Qt
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.ground.words import say_missing
from review.app.language import say_number, tr
from review.app.look import Look
from review.app.look.painting import break_lines, first_that_fits, font_of, line_px, paint_lines
from review.app.number_words import say_label, say_value
from review.app.sentences import say_sentences
from review.jobs.pressure.trail_foot import find_missing
from review.jobs.showing.beside_swing import PressureShown
from review.lesson import FloatArray, Handedness

_TRAIL_S = 0.25
_SCALE_CM = 10.0
_LEAST_PX = 100
"""The trace keeps so much height before words are shown above it."""
_PHASES = (
    ("back", Qt.PenStyle.DashLine, 1.5),
    ("down", Qt.PenStyle.SolidLine, 2.5),
    ("after", Qt.PenStyle.DotLine, 1.5),
)


_SHAPES: tuple[tuple[tuple[float, float], ...], ...] = (
    ((0.0, -1.0), (0.87, 0.5), (-0.87, 0.5)),
    ((0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)),
)
"""Of top and of impact, around the middle; y down."""


def _draw_way(painter: QPainter, points: list[QPointF], is_drawn: NDArray[np.bool_]) -> None:
    """Draw the samples chosen (n,) as lines, one for each stretch without a gap."""
    chosen = np.flatnonzero(is_drawn)
    for stretch in np.split(chosen, np.flatnonzero(np.diff(chosen) > 1) + 1):
        painter.drawPolyline(QPolygonF([points[i] for i in stretch]))


class PressurePanel(QWidget):
    """Shows the pressure at a moment, both axes to the same scale, with a bar of 10 cm."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look: Look | None = None
        self._pressure: PressureShown | None = None
        self._moment_s = 0.0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumHeight(1)
        self.setAccessibleName(tr("Pressure on the mat"))

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.update()

    def show_pressure(self, pressure: PressureShown | None) -> None:
        """Show another trace; without one the panel goes."""
        self._pressure = pressure
        self.setHidden(pressure is None)

    def show_moment(self, moment_s: float) -> None:
        """Show where the pressure is at a moment."""
        self._moment_s = moment_s
        place = None if self._pressure is None else self._pressure.place_at(moment_s)
        said = tr("not on the mat") if place is None else tr("{x} cm, {y} cm", x=f"{place[0]:.0f}", y=f"{place[1]:.0f}")
        where = [words for words in (self.position_words(),) if words]
        self.setAccessibleDescription("; ".join([said, *where, *self.foot_words(), *self.missing_words()]))
        self.update()

    def position_words(self) -> str:
        """Where between the feet it is now: '64 %'; '' where that is not known."""
        position = None if self._pressure is None else self._pressure.position_at(self._moment_s)
        if self._pressure is None or position is None:
            return ""
        said = say_value("pressure_position_pct", position, self._pressure.handedness)
        return tr("about {what}", what=said) if self._pressure.is_about else said

    def time_words(self) -> str:
        """How well it is in time with the clips."""
        within_s = 0.0 if self._pressure is None else self._pressure.within_s
        return tr("The pressure may be up to {s} s early or late.", s=say_number(max(within_s, 0.01), 2))

    def foot_words(self) -> list[str]:
        """What the pictures say of the trail foot in this swing, with units and words; what they cannot is left out."""
        if self._pressure is None:
            return []
        said = [m for m in self._pressure.foot if not m.why_missing]
        side = self._pressure.handedness
        return [f"{say_label(m.name, m.key_frame)}: {say_value(m.name, m.value, side)}" for m in said]

    def missing_words(self) -> list[str]:
        """What the pictures cannot say of it, and why."""
        return [] if self._pressure is None else say_missing(find_missing([self._pressure.foot]))

    def sizeHint(self) -> QSize:
        """Some lines high."""
        return QSize(150, 150)

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint the way and the point."""
        if self._look is None or self._pressure is None:
            return
        painter, theme = QPainter(self), self._look.theme
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        font = font_of(self._look.quiet_px)
        top = self._paint_position(painter)
        lines: list[str] = []
        wanted = [self.foot_words(), [self.time_words()], self.missing_words()]
        if not self._pressure.has_impact:  # how well it is in time matters most where that is badly known
            wanted[:2] = wanted[1::-1]
        for texts in wanted:
            said = [line for text in texts for line in break_lines(text, font, self.width(), 6)]
            if self.height() > top + (len(lines) + len(said) + 2) * line_px(font) + _LEAST_PX:
                lines += said
        below = top + len(lines) * line_px(font) + 6
        field = QRectF(8, below, self.width() - 16, self.height() - below - 1.6 * line_px(font))
        if min(field.width(), field.height()) < 20:  # words without a trace would say nothing
            return
        paint_lines(painter, lines, font, theme.quiet_ink, 0, top)
        is_there: NDArray[np.bool_] = np.isfinite(self._pressure.xy_cm.sum(axis=1))
        if not is_there.any():
            return
        scale, points, feet = self._fit(field)
        painter.setPen(QPen(QColor(theme.quiet_ink), 1))
        for outline in feet:
            painter.drawPolygon(QPolygonF(outline))
        moments_s = self._pressure.moments_s
        _, down, after = _PHASES
        # where impact is not known well nothing changes there
        for part, style, width in (*_PHASES[:2], after if self._pressure.has_impact else (after[0], *down[1:])):
            painter.setPen(QPen(QColor(theme.quiet_ink), width, style))
            _draw_way(painter, points, self._pressure.is_in(part) & is_there)
        is_recent = (moments_s > self._moment_s - _TRAIL_S) & (moments_s <= self._moment_s)
        painter.setPen(
            QPen(QColor(theme.ink), self._look.quiet_px / 4.5, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap)
        )
        _draw_way(painter, points, is_recent & is_there)
        recent = np.flatnonzero(is_recent)
        if len(recent) and is_there[recent[-1]] and self._moment_s <= moments_s[-1]:
            painter.setBrush(QColor(theme.ink))
            painter.drawEllipse(points[recent[-1]], self._look.quiet_px / 3, self._look.quiet_px / 3)
        self._paint_keys(painter, points, is_there)
        foot = self.height() - 1.2 * line_px(font)
        painter.setPen(QPen(QColor(theme.quiet_ink), 2))
        painter.drawLine(QPointF(8, foot), QPointF(8 + scale * _SCALE_CM, foot))
        paint_lines(painter, ["10 cm"], font, theme.quiet_ink, 8, foot + 1)
        toward = self.target_words()
        right = self.width() - 8 - QFontMetricsF(font).horizontalAdvance(toward)
        if right > 8 + QFontMetricsF(font).horizontalAdvance("10 cm  "):
            paint_lines(painter, [toward], font, theme.quiet_ink, right, foot + 1)

    def _paint_position(self, painter: QPainter) -> float:
        """The number at this frame, as large as the other numbers; returns where it ends."""
        assert self._look is not None
        words = self.position_words()
        quiet, large = font_of(self._look.quiet_px), font_of(self._look.number_px)
        heads = [
            tr("Pressure (0 % trail foot, 100 % lead foot)"),
            tr("Pressure: 0 % trail, 100 % lead"),
            tr("Pressure"),
        ]
        high_px = line_px(quiet) + line_px(large)
        if not words or self.height() < high_px + 2 * line_px(quiet) + _LEAST_PX // 2:
            return 0.0
        head = first_that_fits(heads, quiet, self.width()) or heads[-1]
        paint_lines(painter, [head], quiet, self._look.theme.quiet_ink, 0, 0)
        paint_lines(painter, [words], large, self._look.theme.ink, 0, line_px(quiet))
        return high_px

    def _paint_keys(self, painter: QPainter, points: list[QPointF], is_there: NDArray[np.bool_]) -> None:
        """Top and impact as shapes, those of the picture of both batches; impact only where it is known well."""
        assert self._pressure is not None
        assert self._look is not None
        moments_s, radius = self._pressure.moments_s, self._look.quiet_px / 3
        painter.setPen(QPen(QColor(self._look.theme.ground), 1))
        painter.setBrush(QColor(self._look.theme.quiet_ink))
        shapes = _SHAPES if self._pressure.has_impact else _SHAPES[:1]
        for moment_s, corners in zip(self._pressure.phases_s or (), shapes, strict=False):
            nearest = int(np.argmin(np.abs(moments_s - moment_s)))
            if moments_s[0] <= moment_s <= moments_s[-1] and is_there[nearest]:
                at = points[nearest]
                painter.drawPolygon(QPolygonF([QPointF(at.x() + radius * x, at.y() + radius * y) for x, y in corners]))
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def target_words(self) -> str:
        """Where the target is; '' where nobody told how the mat lies."""
        if self._pressure is None or not self._pressure.is_placed:
            return ""
        return say_sentences("target →" if self._pressure.handedness is Handedness.RIGHT else "← target")

    def _fit(self, field: QRectF) -> tuple[float, list[QPointF], list[list[QPointF]]]:
        """Pixels for a centimetre, the way and the feet on the panel; y up."""
        assert self._pressure is not None
        xy = self._pressure.xy_cm
        everything = np.vstack([xy, *self._pressure.feet_cm])
        low, high = np.nanmin(everything, axis=0), np.nanmax(everything, axis=0)
        wide, tall = np.maximum(high - low, _SCALE_CM)
        scale = float(min(field.width() / wide, field.height() / tall))
        middle = (low + high) / 2

        def place(at: FloatArray) -> list[QPointF]:
            x = field.center().x() + scale * (at[:, 0] - middle[0])
            y = field.center().y() - scale * (at[:, 1] - middle[1])
            return [QPointF(float(a), float(b)) for a, b in zip(x, y, strict=True)]

        return scale, place(xy), [place(foot) for foot in self._pressure.feet_cm]
