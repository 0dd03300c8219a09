"""The pressure live, for the whole screen: takes in what comes; the coach drags the hold area."""

from dataclasses import replace
from pathlib import Path
from time import monotonic

from PyQt5.QtCore import Qt, QTimer, pyqtSignal
from PyQt5.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent, QWheelEvent
from PyQt5.QtWidgets import QWidget

from review.app.ground.following import Following
from review.app.ground.hold import Hold
from review.app.ground.kept import read_live_kept, write_live_kept
from review.app.language import tr
from review.app.look import Theme
from review.jobs.pressure.live_mat import LiveMat
from review.jobs.pressure.live_trace import LiveTrace

_EVERY_MS = 15
_STEP_CM = 1.0
_LARGER = 1.15
_MOVES: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}


class GroundView(QWidget):
    """Draws where the pressure is, as the pupil stands or as the coach sees it; the folder ``kept_in`` keeps which."""

    ended = pyqtSignal()

    def __init__(self, trace: LiveTrace, mat: LiveMat | None = None, kept_in: Path | None = None) -> None:
        super().__init__()
        self._following = Following(trace, mat or LiveMat())
        self._scene, self._kept_in = self._following.scene, kept_in
        self._scene.is_coachs_view = read_live_kept(kept_in).is_coachs_view
        self._held_at_cm: tuple[float, float] | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.name_in_words()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.go_on)
        self._timer.start(_EVERY_MS)

    @property
    def hold(self) -> Hold:
        """The area in which the pressure is to be held."""
        return self._scene.hold

    def name_in_words(self) -> None:
        """Say what it is, in the language spoken now."""
        self.setWindowTitle(tr("Pressure, live"))
        self.setAccessibleName(tr("Pressure, live"))

    def set_theme(self, theme: Theme) -> None:
        """Take on colours."""
        self._scene.theme = theme
        self.update()

    def go_on(self, now_s: float | None = None) -> None:
        """Take in what came and show it."""
        if self._following.go_on(monotonic() if now_s is None else now_s):
            self._scene.keep_ring(self._size)
            self._tell()

    def turn(self) -> None:
        """As the pupil stands, or as the coach sees it; kept for the next time."""
        self._scene.is_coachs_view = not self._scene.is_coachs_view
        kept = replace(read_live_kept(self._kept_in), is_coachs_view=self._scene.is_coachs_view)
        write_live_kept(kept, self._kept_in)
        self._tell()

    @property
    def _size(self) -> tuple[int, int]:
        return self.width(), self.height()

    def _tell(self) -> None:
        self.setAccessibleDescription(self._scene.trouble or self._scene.say_all())
        self.update()

    def _move_ring(self, dx_cm: float, dy_cm: float) -> None:
        self._following.move_ring(dx_cm, dy_cm)
        self._scene.keep_ring(self._size)
        self.update()

    def _grow_ring(self, by: float) -> None:
        self.hold.grow(by)
        self._scene.keep_ring(self._size)
        self.update()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Arrows move the hold area, + and - change it, R turns the view, F fills the screen, Esc ends."""
        if a0 is None:
            return
        key = a0.key()
        if key in _MOVES:
            dx, dy = _MOVES[key]
            self._move_ring(self._scene.way * dx * _STEP_CM, self._scene.way * dy * _STEP_CM)
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self._grow_ring(_LARGER)
        elif key == Qt.Key.Key_Minus:
            self._grow_ring(1 / _LARGER)
        elif key == Qt.Key.Key_R:
            self.turn()
        elif key == Qt.Key.Key_F:
            window = self.window() or self
            window.setWindowState(window.windowState() ^ Qt.WindowState.WindowFullScreen)
        elif key == Qt.Key.Key_Escape:
            self.ended.emit()
            self.close()
        else:
            super().keyPressEvent(a0)

    def finish(self) -> None:
        """Read no more."""
        self._timer.stop()

    def wheelEvent(self, a0: QWheelEvent | None) -> None:
        """Change the size of the hold area."""
        if a0 is not None:
            self._grow_ring(_LARGER if a0.angleDelta().y() > 0 else 1 / _LARGER)

    def mousePressEvent(self, a0: QMouseEvent | None) -> None:
        """Take hold of the area, there where the mouse is."""
        if a0 is not None:
            x, y = self._scene.ground_at(a0.localPos(), self._size)
            self._held_at_cm = x - self.hold.x_cm, y - self.hold.y_cm

    def mouseMoveEvent(self, a0: QMouseEvent | None) -> None:
        """Drag the area."""
        if a0 is not None and self._held_at_cm is not None:
            x, y = self._scene.ground_at(a0.localPos(), self._size)
            self._move_ring(x - self._held_at_cm[0] - self.hold.x_cm, y - self._held_at_cm[1] - self.hold.y_cm)

    def mouseReleaseEvent(self, a0: QMouseEvent | None) -> None:
        """Let go of the area."""
        self._held_at_cm = None

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """The ring stays on the screen."""
        super().resizeEvent(a0)
        self._scene.keep_ring(self._size)

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint it all."""
        self._scene.paint(QPainter(self), self._size)
