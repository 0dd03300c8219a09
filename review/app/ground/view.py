"""The pressure live, for the whole screen: takes in what comes; the coach drags the hold area."""

import math
from time import monotonic

from PyQt5.QtCore import QPointF, Qt, QTimer, pyqtSignal
from PyQt5.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QWheelEvent
from PyQt5.QtWidgets import QWidget

from review.app.ground.hold import Hold
from review.app.ground.scene import Scene
from review.app.ground.stand import Stand
from review.app.language import tr
from review.app.sentences import say_sentences
from review.jobs.pressure.live_mat import LiveMat
from review.jobs.pressure.live_trace import LiveTrace
from review.lesson import Handedness

_EVERY_MS = 15
_TROUBLE_S = 1.0
"""What passes sooner is not said."""
_STEP_CM = 1.0
_LARGER = 1.15
_MOVES: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}


class GroundView(QWidget):
    """Draws where the pressure is; where nobody told where the player stands, around where that is first."""

    ended = pyqtSignal()

    def __init__(self, trace: LiveTrace, mat: LiveMat | None = None) -> None:
        super().__init__()
        mat = mat or LiveMat()
        self._trace = trace
        self._side = 1.0 if mat.handedness is Handedness.RIGHT else -1.0
        self._feet, self._is_known = mat.feet_cm, mat.has_origin and bool(mat.feet_cm)
        self._scene = Scene(mat.feet_cm if self._is_known else (), 0.0 if mat.placement is None else self._side)
        self._stand = None if self._is_known else Stand()
        self._is_first = not self._is_known
        self._is_ring_moved = False
        self._trouble_since_s: float | None = None
        self._dragged_from: QPointF | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setWindowTitle(tr("Pressure, live"))
        self.setAccessibleName(tr("Pressure, live"))
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.go_on)
        self._timer.start(_EVERY_MS)

    @property
    def hold(self) -> Hold:
        """The area in which the pressure is to be held."""
        return self._scene.hold

    def go_on(self, now_s: float | None = None) -> None:
        """Take in what came and show it."""
        now_s = monotonic() if now_s is None else now_s
        was_doubted = bool(self._trace.note)
        new = self._trace.read_new()
        if was_doubted and not self._trace.note and not self._is_known:  # now somebody stands on it
            self._stand, self._is_first, self._scene.feet = Stand(), True, ()
        said = self._scene.trouble, self._scene.notes
        self._scene.trouble = self._find_trouble(now_s)
        for x, y in new:
            self._take(self._side * x, -y, now_s)  # as seen from where a face-on camera stands
        if new:
            self.hold.take(*self._scene.tail[-1], now_s)
            self._find_stand()
        self._scene.notes = self._find_notes()
        if new or said != (self._scene.trouble, self._scene.notes):
            self.setAccessibleDescription(self._scene.trouble or self._scene.say_all())
            self.update()

    def _find_trouble(self, now_s: float) -> str:
        if not self._trace.trouble:
            self._trouble_since_s = None
            return ""
        self._trouble_since_s = now_s if self._trouble_since_s is None else self._trouble_since_s
        return say_sentences(self._trace.trouble) if now_s - self._trouble_since_s >= _TROUBLE_S else ""

    def _find_notes(self) -> tuple[str, ...]:
        notes = []
        if self._stand is not None and not self._is_first:
            notes.append(tr("Stand still for a second: there the middle will be."))
        if self._trace.note:
            notes.append(say_sentences(self._trace.note))
        if self._trace.n_bad:
            notes.append(tr("Lines that could not be read: {n}", n=self._trace.n_bad))
        return tuple(notes)

    def _take(self, x: float, y: float, now_s: float) -> None:
        self._scene.tail.append((x, y))
        if self._is_first and not math.isnan(x):  # the mat's own middle may be anywhere: the dot is to be seen
            self._begin_at(x, y)
            self._is_first = False
        if self._stand is not None:
            self._stand.take(x, y, now_s)

    def _find_stand(self) -> None:
        stands = None if self._stand is None else self._stand.find()
        if stands is not None:
            self._begin_at(*stands)
            self._scene.feet, self._stand = self._feet, None

    def _begin_at(self, x: float, y: float) -> None:
        """Take a place for the middle; the ring goes with it where the coach has not moved it."""
        self._scene.middle = x, y
        if not self._is_ring_moved:
            self.hold.move(x - self.hold.x_cm, y - self.hold.y_cm)

    def _move_ring(self, dx_cm: float, dy_cm: float) -> None:
        self._is_ring_moved = True
        self.hold.move(dx_cm, dy_cm)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Arrows move the hold area, + and - change it, F fills the screen, Esc ends."""
        if a0 is None:
            return
        key = a0.key()
        if key in _MOVES:
            dx, dy = _MOVES[key]
            self._move_ring(dx * _STEP_CM, dy * _STEP_CM)
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
        moved, scale = a0.localPos() - self._dragged_from, self._scene.scale((self.width(), self.height()))
        self._dragged_from = a0.localPos()
        self._move_ring(moved.x() / scale, -moved.y() / scale)
        self.update()

    def mouseReleaseEvent(self, a0: QMouseEvent | None) -> None:
        """Let go of the area."""
        self._dragged_from = None

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint it all."""
        self._scene.paint(QPainter(self), (self.width(), self.height()))
