"""What the body did over time: one plot a unit, with intervals, key frames, and a line at the frame that is on."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pyqtgraph as pg
from PyQt5.QtCore import Qt, QTimer, pyqtSignal
from PyQt5.QtGui import QColor, QFontMetricsF, QResizeEvent
from PyQt5.QtWidgets import QLabel, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.number_axis import NumberAxis
from review.app.look.painting import font_of
from review.app.look.plot_pens import fine_pen
from review.app.number_words import say_label
from review.app.sentences import say_in_words
from review.body.series import Series
from review.lesson import KINDS, FloatArray, KeyFrame
from review.palette import look_of

_STROKES = (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine)
_PIECES = ("——", "– –")
_ROW_LINES, _FOOT_LINES = 5.8, 3.0
"""So many lines of quiet letters a plot is high at least, its names among them, and what stands beneath the last."""


class Curves(QWidget):
    """Curves over true seconds after impact; ``asked`` tells at which moment the coach points."""

    asked = pyqtSignal(float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plots = pg.GraphicsLayoutWidget(self)
        self._look: Look | None = None
        self._curves: dict[str, Series] = {}
        self._moments_s: FloatArray = np.zeros(0)
        self._key_moments_s: tuple[float, ...] = ()
        self._cursors: list[pg.InfiniteLine] = []
        self._moment_s = 0.0
        self._to_draw: list[tuple[int, tuple[str, list[str]]]] = []
        self._first, self._n_rows = 0, -1
        self._no_room = QLabel(self)
        self._no_room.setObjectName("quiet")
        self._no_room.setWordWrap(True)
        self._no_room.hide()
        self._next = QTimer(self)
        self._next.setSingleShot(True)
        self._next.timeout.connect(self._draw_next)
        self._plots.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        for part in (self, self._plots):
            part.setMinimumHeight(1)  # the numbers above come first
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._plots)
        self.setAccessibleName(tr("Curves over time"))
        self._plots.scene().sigMouseClicked.connect(self._point)

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        if look != self._look:
            self._look = look
            self._draw()

    def show_curves(self, curves: Mapping[str, Series], moments_s: FloatArray, keys: Sequence[KeyFrame]) -> None:
        """Show curves on the moments (n_frames,) of their clip."""
        self._curves, self._moments_s = dict(curves), moments_s
        self._key_moments_s = tuple(float(moments_s[key.frame]) for key in keys if key.frame < len(moments_s))
        self._draw()

    @property
    def n_rows(self) -> int:
        """How many plots have room, each of a unit of its own."""
        if self._look is None:
            return 0
        fitting = (self.height() / self._look.quiet_px - _FOOT_LINES) / _ROW_LINES
        return min(len(self._units), max(0, int(fitting)))

    def turn_over(self) -> None:
        """Show the curves there was no room for, after the last none; where none are shown, the first again."""
        if self.isHidden() or self.n_rows < 1 or self._first + self.n_rows >= len(self._units):
            self._first = 0
            self.setVisible(self.isHidden())
        else:
            self._first += self.n_rows
        self._draw()

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """As many plots as there is room for."""
        super().resizeEvent(a0)
        self._no_room.setGeometry(self.rect())
        self._say_no_room()
        if self.n_rows != self._n_rows:
            self._draw()

    @property
    def cursors_s(self) -> tuple[float, ...]:
        """Where the line stands in each plot that is drawn."""
        return tuple(float(cursor.value()) for cursor in self._cursors)

    def show_moment(self, moment_s: float) -> None:
        """Put the line at a moment."""
        self._moment_s = moment_s
        for cursor in self._cursors:
            cursor.setValue(moment_s)

    def _draw(self) -> None:
        self._plots.clear()
        self._cursors = []
        if self._look is None:
            return
        self._plots.setBackground(self._look.theme.ground)
        self._n_rows = self.n_rows
        has_room = self._n_rows > 0 or not self._curves
        self._plots.setVisible(has_room)
        self._no_room.setText(tr("The curves need a larger window or smaller letters (F3)."))
        self._say_no_room()
        first = min(self._first, max(0, len(self._units) - self._n_rows))
        self._to_draw = list(enumerate(self._units[first : first + self._n_rows]))
        self._next.start(0)

    def _say_no_room(self) -> None:
        """Say why there is no curve, where at least that has room."""
        needs_px = self._no_room.heightForWidth(max(1, self.width()))
        self._no_room.setVisible(bool(self._curves) and self._n_rows == 0 and needs_px <= self.height())

    @property
    def _units(self) -> list[tuple[str, list[str]]]:
        """Units, with the names of their curves."""
        units: dict[str, list[str]] = {}
        for name in self._curves:
            units.setdefault(KINDS[name].unit, []).append(name)
        return list(units.items())

    def _draw_next(self) -> None:
        """Draw one plot: all at once would hold the window up."""
        if not self._to_draw or self._look is None:
            return
        row, (unit, names) = self._to_draw.pop(0)
        axes = {side: NumberAxis(side) for side in ("left", "bottom")}
        plot = self._plots.addPlot(row=row, col=0, axisItems=axes)
        self._dress(plot, unit)
        for place, name in enumerate(names):
            self._draw_curve(plot, name, place)
        self._write_names(plot, names)
        pen = fine_pen(self, self._look.theme.accent, self._look.quiet_px / 8)
        if self._to_draw:
            plot.getAxis("bottom").setStyle(showValues=False)
        else:
            style = {"color": self._look.theme.quiet_ink, "font-size": f"{self._look.quiet_px}px"}
            label = tr("seconds from impact")
            if self._n_rows < len(self._units):
                both = f"{label} · {tr('C other curves')}"
                room = self.width() - plot.getAxis("left").width()
                label = both if QFontMetricsF(font_of(self._look.quiet_px)).horizontalAdvance(both) <= room else label
            plot.setLabel("bottom", label, **style)
        cursor = pg.InfiniteLine(self._moment_s, pen=pen)
        plot.addItem(cursor)
        self._cursors.append(cursor)
        if self._to_draw:
            self._next.start(0)

    def _dress(self, plot: pg.PlotItem, unit: str) -> None:
        assert self._look is not None
        theme, font = self._look.theme, font_of(self._look.quiet_px)
        plot.setMenuEnabled(False)
        plot.setMouseEnabled(False, False)
        plot.hideButtons()
        for side in ("left", "bottom"):
            axis = plot.getAxis(side)
            axis.setPen(theme.line)
            axis.setTextPen(theme.quiet_ink)
            axis.setTickFont(font)
        plot.getAxis("left").setWidth(round(3.4 * self._look.quiet_px))
        style = {"color": theme.quiet_ink, "font-size": f"{self._look.quiet_px}px"}
        plot.setLabel("left", unit.strip(), **style)
        plot.addItem(pg.InfiniteLine(0.0, angle=0, pen=pg.mkPen(theme.line)))
        for moment_s in self._key_moments_s:
            plot.addItem(pg.InfiniteLine(moment_s, pen=pg.mkPen(theme.line, style=Qt.PenStyle.DotLine)))
        if len(self._moments_s):
            plot.setXRange(float(self._moments_s[0]), float(self._moments_s[-1]), padding=0.01)

    def _draw_curve(self, plot: pg.PlotItem, name: str, place: int) -> None:
        assert self._look is not None
        series, colour = self._curves[name], self._colour(place)
        pen = fine_pen(self, colour, self._look.quiet_px / 6, _STROKES[place % len(_STROKES)])
        seen = np.isfinite(series.value)
        shade = QColor(colour)
        shade.setAlpha(50)
        x = self._moments_s
        ends = [pg.PlotCurveItem(x[seen], values[seen]) for values in (series.low, series.high)]
        plot.addItem(pg.FillBetweenItem(*ends, brush=shade))
        plot.plot(x, series.value, pen=pen, connect="finite")

    def _write_names(self, plot: pg.PlotItem, names: Sequence[str]) -> None:
        """Write the names with a piece of their lines above a plot: in it they would lie over curves."""
        assert self._look is not None
        quiet_px = self._look.quiet_px
        metrics, room = QFontMetricsF(font_of(quiet_px)), self.width() - 5 * quiet_px
        for label in (_label, say_label):
            written = [f"{_PIECES[place % len(_PIECES)]} {label(name)}" for place, name in enumerate(names)]
            if max(map(metrics.horizontalAdvance, written)) < room:
                break
        is_one_line = metrics.horizontalAdvance("   ".join(written)) < room
        coloured = [f'<span style="color: {self._colour(place)}">{text}</span>' for place, text in enumerate(written)]
        plot.setTitle(("&nbsp;&nbsp; " if is_one_line else "<br>").join(coloured), size=f"{quiet_px}px")
        plot.titleLabel.setMinimumWidth(0)
        height = (1.6 if is_one_line else 2.7) * quiet_px
        plot.titleLabel.setMaximumHeight(height)
        plot.layout.setRowFixedHeight(0, height)

    def _colour(self, place: int) -> str:
        assert self._look is not None
        look = look_of(1 if place == 0 else 2)
        return look.on_dark if self._look.theme.is_dark else look.on_light

    def _point(self, event: Any) -> None:
        place = event.scenePos()
        for item in self._plots.ci.items:
            if isinstance(item, pg.PlotItem) and item.sceneBoundingRect().contains(place):
                self.asked.emit(float(item.vb.mapSceneToView(place).x()))


def _label(name: str) -> str:
    """Say a curve and what its upward side means: 'hip turn (+ open)'."""
    kind = KINDS[name]
    return tr("{measure} (+ {way})", measure=say_label(name), way=say_in_words(kind.positive))
