"""A picture that is drawn beside the window, as large as its place, and again when that or the look is another."""

from collections.abc import Callable

from PyQt5.QtCore import Qt, QTimer
from PyQt5.QtGui import QPixmap, QResizeEvent, QShowEvent
from PyQt5.QtWidgets import QLabel, QSizePolicy, QWidget

from review.app.look import Look
from review.app.state import ReviewState
from review.app.worker import Task
from review.progress import Progress

_LETTERS = 27
"""It is at least so many letters wide and high."""

Draw = Callable[[tuple[float, float | None], float, bool, float], bytes]
"""From place in pixels, letter size, whether dark, and fineness to a PNG."""


class DrawnPicture(QLabel):
    """Shows what ``draw`` makes; nothing where that is None."""

    def __init__(self, state: ReviewState, task_name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state, self._task_name = state, task_name
        self._look: Look | None = None
        self._draw: Draw | None = None
        self._asked: tuple[object, ...] = ()
        self.setAlignment(Qt.Alignment(Qt.AlignmentFlag.AlignLeft) | Qt.AlignmentFlag.AlignTop)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self.setMinimumSize(1, 1)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._ask)

    def show_drawn(self, draw: Draw | None) -> None:
        """Show another picture, or none."""
        self._draw, self._asked = draw, ()
        self.clear()
        self._soon.start()

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._look = look
        self._soon.start()

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Follow the window."""
        super().resizeEvent(a0)
        self._soon.start()

    def showEvent(self, a0: QShowEvent | None) -> None:
        """Draw what has changed since."""
        super().showEvent(a0)
        self._soon.start()

    def _ask(self) -> None:
        draw, look, width, height = self._draw, self._look, self.width(), self.height()
        asked = (draw, look, width, height)
        if draw is None or look is None or not self.isVisible() or asked == self._asked:
            return
        self._asked = asked
        letter_px = min(float(look.quiet_px), width / _LETTERS, max(height / _LETTERS, 7.0))
        place = width, float(height) if height >= _LETTERS * letter_px else None
        fineness = self.devicePixelRatioF()

        def work(_: Progress) -> tuple[tuple[object, ...], bytes]:
            return asked, draw(place, letter_px, look.theme.is_dark, fineness)

        self._state.line.add(Task(self._task_name, work, self._take, self._state.trouble_came.emit))

    def _take(self, drawn: tuple[tuple[object, ...], bytes]) -> None:
        asked, png = drawn
        if asked == self._asked:
            whole = QPixmap()
            whole.loadFromData(png, "PNG")
            whole.setDevicePixelRatio(self.devicePixelRatioF())
            self.setPixmap(whole)
