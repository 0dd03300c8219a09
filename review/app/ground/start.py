"""Opens the live view by itself, on the whole screen."""

from pathlib import Path

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent

from review.app.ground.view import GroundView
from review.app.key_map import paint_keys
from review.app.keys import list_look_keys
from review.app.language import speak, tr
from review.app.look.choice import Choice, choice_file, read_choice, write_choice
from review.app.start import make_application
from review.jobs.pressure.live_mat import LiveMat
from review.jobs.pressure.live_trace import LiveTrace


class GroundAlone(GroundView):
    """The live view without the window: it has the keys for colours, language and this list itself."""

    def __init__(self, trace: LiveTrace, mat: LiveMat, choice: Choice, kept: Path | None = None) -> None:
        super().__init__(trace, mat, None if kept is None else kept.parent)
        self._kept, self._shows_keys = kept, False
        self._choice = choice
        self._take_on()

    def _take_on(self) -> None:
        speak(self._choice.language)
        self.name_in_words()
        self.set_theme(self._choice.theme)

    def _choose(self, choice: Choice) -> None:
        self._choice = choice
        self._take_on()
        if self._kept is not None:
            write_choice(choice, self._kept)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """The keys of the window that count here."""
        key = None if a0 is None else a0.key()
        if key in (Qt.Key.Key_Question, Qt.Key.Key_F1) or (self._shows_keys and key == Qt.Key.Key_Escape):
            self._shows_keys = not self._shows_keys
            self.update()
        elif key == Qt.Key.Key_F2:
            self._choose(self._choice.with_next_theme())
        elif key == Qt.Key.Key_F4:
            self._choose(self._choice.with_next_language())
        else:
            super().keyPressEvent(a0)

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint it, or its keys."""
        if not self._shows_keys:
            super().paintEvent(a0)
            return
        painter, theme, edge = QPainter(self), self._choice.theme, 14
        painter.fillRect(self.rect(), QColor(theme.ground))
        painter.translate(edge, edge)
        own = ("← → ↑ ↓ + −", tr("live: the ring")), ("R F", tr("live: turn the view, whole screen"))
        groups = ((tr("Pressure, live"), (*own, *list_look_keys())),)
        paint_keys(painter, groups, self.width() - 2 * edge, self.height() - 2 * edge, 1, theme.ink)


def run_ground(trace: LiveTrace, mat: LiveMat) -> int:
    """Show the pressure until the view is closed.

    Raises
    ------
    MachineError
        There is no screen.
    """
    application = make_application()
    kept = choice_file()
    view = GroundAlone(trace, mat, read_choice(kept), kept)
    view.showFullScreen()
    return int(application.exec())
