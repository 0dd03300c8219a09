"""One measure of the chart: its name, what is said of the chosen swing, the means, the plot."""

from collections.abc import Sequence

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QFontMetricsF, QResizeEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from review.app.lesson_chart.drawing import MeasureDrawing
from review.app.lesson_chart.heads import MeansRow
from review.app.lesson_chart.plot import MeasurePlot
from review.app.lesson_chart.reading import Reading
from review.app.look import Look
from review.app.look.painting import font_of


class MeasureRow(QWidget):
    """One measure along the lesson."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.drawing: MeasureDrawing | None = None
        self._look: Look | None = None
        self._name_px = 0
        self._name, self._reading = QLabel(self), Reading(self)
        self._name.setTextFormat(Qt.TextFormat.RichText)
        self._means, self.plot = MeansRow(self), MeasurePlot(self)
        top = QHBoxLayout()
        top.addWidget(self._name)
        top.addWidget(self._reading, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(top)
        layout.addWidget(self._means)
        layout.addWidget(self.plot, 1)

    def _say_name(self) -> None:
        """Say the measure, and which way is up where the chosen swing's number leaves room."""
        drawing, look = self.drawing, self._look
        if drawing is None or look is None:
            return
        name = f"<span style='font-size:{self._name_px}px; font-weight:bold'>{drawing.heading}</span>"
        ways = f"&nbsp;&nbsp; ↑ {drawing.up} &nbsp; ↓ {drawing.down}" if drawing.up else ""
        self._name.setText(
            f"{name}<span style='color:{look.theme.quiet_ink}; font-size:{look.quiet_px}px'>{ways}</span>"
        )
        # a plain space more: the reading keeps away from it
        reading_px = QFontMetricsF(font_of(look.quiet_px)).horizontalAdvance(self._reading.text + " ")
        if self._reading.text and self._name.sizeHint().width() + reading_px + look.quiet_px > self.width():
            self._name.setText(name)

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """What there is room for follows the width."""
        super().resizeEvent(a0)
        self._say_name()

    @property
    def reading(self) -> str:
        """What is said of the chosen swing."""
        return self._reading.text

    def show_measure(self, drawing: MeasureDrawing, look: Look, side_px: float, is_last: bool, n_stacked: int) -> None:
        """Show a measure; the last of several has the numbers of the swings."""
        self.drawing, self._look = drawing, look
        self._name_px = look.number_px if n_stacked == 1 else look.plain_px
        self._say_name()
        for part in (self, self.plot):
            part.setAccessibleName(drawing.heading)
        self._reading.set_look(look, is_tight=n_stacked > 1)
        self._means.show_means(drawing, look, side_px, is_tight=n_stacked > 1)
        self.plot.show_drawing(drawing, look, side_px, is_last)

    def show_chosen(self, swing_id: str | None, together: Sequence[str] = (), noted: str = "") -> None:
        """Ring the chosen swing and those chosen with it, and say it; ``noted`` is said after its number."""
        mark = self.drawing.mark_of(swing_id) if self.drawing is not None else None
        number = "" if mark is None else mark.words + (f" ({mark.why})" if mark.why else "")
        self._reading.say(" · ".join(filter(None, (number, noted))))
        self._say_name()
        self.plot.show_chosen(together or ((swing_id,) if swing_id else ()))
