"""One measure of the chart: its name, what is said of the chosen swing, the means, the plot."""

from collections.abc import Sequence

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from review.app.lesson_chart.drawing import MeasureDrawing
from review.app.lesson_chart.heads import MeansRow
from review.app.lesson_chart.plot import MeasurePlot
from review.app.lesson_chart.reading import Reading
from review.app.look import Look


class MeasureRow(QWidget):
    """One measure along the lesson."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.drawing: MeasureDrawing | None = None
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

    @property
    def reading(self) -> str:
        """What is said of the chosen swing."""
        return self._reading.text

    def show_measure(self, drawing: MeasureDrawing, look: Look, side_px: float, is_last: bool, n_stacked: int) -> None:
        """Show a measure; the last of several has the numbers of the swings."""
        self.drawing = drawing
        quiet = f"color:{look.theme.quiet_ink}; font-size:{look.quiet_px}px"
        size = look.number_px if n_stacked == 1 else look.plain_px
        self._name.setText(
            f"<span style='font-size:{size}px; font-weight:bold'>{drawing.heading}</span>"
            f"<span style='{quiet}'>&nbsp;&nbsp; ↑ {drawing.up} &nbsp; ↓ {drawing.down}</span>"
        )
        for part in (self, self.plot):
            part.setAccessibleName(drawing.heading)
        self._reading.set_look(look, is_tight=n_stacked > 1)
        self._means.show_means(drawing, look, side_px, is_tight=n_stacked > 1)
        self.plot.show_drawing(drawing, look, side_px, is_last)

    def show_chosen(self, swing_id: str | None, together: Sequence[str] = ()) -> None:
        """Ring the chosen swing and those chosen with it, and say it."""
        mark = self.drawing.mark_of(swing_id) if self.drawing is not None else None
        self._reading.say("" if mark is None else mark.words + (f" ({mark.why})" if mark.why else ""))
        self.plot.show_chosen(together or ((swing_id,) if swing_id else ()))
