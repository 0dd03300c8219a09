"""What stands beside the clips of a swing: the numbers of the frame, the curves, the pressure."""

from PyQt5.QtGui import QResizeEvent
from PyQt5.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from review.app.look import Look
from review.app.sentences import say_sentences
from review.app.swing_view.curves import Curves
from review.app.swing_view.number_panel import NumberPanel
from review.app.swing_view.numbers import say_frame
from review.app.swing_view.playhead import Playhead
from review.app.swing_view.pressure_panel import PressurePanel
from review.jobs.showing.swing import SwingShown
from review.lesson import KeyFrameName

_WIDE_PX = 560


class Beside(QWidget):
    """Follows a ``SwingShown`` through its moments."""

    def __init__(self, shown: SwingShown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.shown = shown
        self.numbers, self.curves, self.pressure = NumberPanel(self), Curves(self), PressurePanel(self)
        self.pressure.show_pressure(shown.pressure)
        self._below = below = QHBoxLayout()
        below.addWidget(self.curves, 3)
        below.addWidget(self.pressure, 2)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.numbers)
        layout.addLayout(below, 1)

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        for part in (self.numbers, self.curves, self.pressure):
            part.set_look(look)

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Half of the width for the pressure, where what is left is enough for the curves."""
        super().resizeEvent(a0)
        self._below.setStretch(1, 3 if self.width() > _WIDE_PX else 2)

    def begin(self) -> None:
        """Draw the curves."""
        keys = self.shown.clips[self.shown.measured].key_frames
        self.curves.show_curves(self.shown.curves, self.shown.curve_moments(), keys)

    def show_moment(self, playhead: Playhead) -> None:
        """Say and mark where it is; slow."""
        shown, moment_s = self.shown, playhead.clock.moment_of(playhead.frame)
        self.curves.show_moment(moment_s)
        address_s = shown.clips[shown.measured].time_of(KeyFrameName.ADDRESS)
        numbers = say_frame(shown.curves, shown.curve_time(moment_s), shown.pupil.handedness, address_s)
        self.numbers.show_numbers(numbers, say_sentences(shown.why_no_curves), moment_s, playhead)
