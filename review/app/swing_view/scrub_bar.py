"""The time line of a swing: where it is, its key frames with their certainty, what is played over and over."""

from collections.abc import Sequence

from PyQt5.QtCore import QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt5.QtGui import QColor, QFontMetricsF, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.painting import font_of, line_px
from review.lesson import KeyFrame

_DOUBTFUL = 0.7
"""Key frames less certain than that get a question mark; no source, for the eye only."""
_NEAR_PX = 6.0
_LEAST_ROWS, _MOST_ROWS = 2, 4
"""Rows of names: a third and a fourth only where marks stand close."""


class ScrubBar(QWidget):
    """Shows frames ``0`` to ``n_frames - 1``; ``asked`` tells which frame the coach points at.

    A key frame is a stroke as high as it is certain, its name beneath; one marked by the coach has a square head, and
    dots after its name where there is a note on it.
    """

    asked = pyqtSignal(int)
    moved = pyqtSignal(str, int)
    """A key frame's name and the frame that its stroke was dragged to."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look: Look | None = None
        self._n_frames, self._frame = 1, 0
        self._keys: tuple[KeyFrame, ...] = ()
        self._loop: tuple[int, int] | None = None
        self._dragged: KeyFrame | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Time line with key frames"))

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.updateGeometry()
        self.update()

    def show_clip(self, n_frames: int, keys: Sequence[KeyFrame]) -> None:
        """Show another clip."""
        self._n_frames, self._keys = max(1, n_frames), tuple(keys)
        self.setAccessibleDescription(", ".join(say_key_frame(key) for key in self._keys))
        self.updateGeometry()
        self.update()

    def show_place(self, frame: int, loop: tuple[int, int] | None) -> None:
        """Show where it is and what is played over and over."""
        self._frame, self._loop = frame, loop
        self.update()

    @property
    def keys_here(self) -> tuple[KeyFrame, ...]:
        """Key frames at the frame that is on."""
        return tuple(key for key in self._keys if key.frame == self._frame)

    def sizeHint(self) -> QSize:
        """High enough for the strokes and the rows of names."""
        if self._look is None:
            return QSize(300, 0)
        return QSize(300, round((1.4 + self._n_rows) * line_px(font_of(self._look.quiet_px))) + 16)

    @property
    def _n_rows(self) -> int:
        return max(_LEAST_ROWS, *(row + 1 for _, row in self.places if row is not None), 0)

    @property
    def places(self) -> tuple[tuple[float, int | None], ...]:
        """Where the name of each key frame begins, in pixels, and in which row; None = it has no room."""
        if self._look is None:
            return ()
        metrics = QFontMetricsF(font_of(self._look.quiet_px))
        wanted = [(self._x(key.frame), metrics.horizontalAdvance(_say_name(key))) for key in self._keys]
        return place_names(wanted, self.width(), metrics.averageCharWidth())

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """How many rows the names take follows the width."""
        super().resizeEvent(a0)
        self.updateGeometry()

    # pointing

    def mousePressEvent(self, a0: QMouseEvent | None) -> None:
        """Go where the coach points, or take hold of the key frame whose stroke that is."""
        if a0 is not None:
            x, y = a0.localPos().x(), a0.localPos().y()
            near = [key for key in self._keys if abs(self._x(key.frame) - x) <= _NEAR_PX and y < self._base - 4]
            self._dragged = min(near, key=lambda key: abs(self._x(key.frame) - x), default=None)
        if self._dragged is None:
            self._point(a0)
        else:
            self.asked.emit(self._dragged.frame)

    def mouseMoveEvent(self, a0: QMouseEvent | None) -> None:
        """Follow the pointer."""
        self._point(a0)

    def mouseReleaseEvent(self, a0: QMouseEvent | None) -> None:
        """Let a key frame stay where it was dragged to."""
        dragged, self._dragged = self._dragged, None
        if a0 is None or dragged is None or abs(a0.localPos().x() - self._x(dragged.frame)) <= _NEAR_PX:
            return
        self.moved.emit(dragged.name, self._frame_at(a0))

    def _point(self, event: QMouseEvent | None) -> None:
        if event is not None and self._n_frames > 1:
            self.asked.emit(self._frame_at(event))

    def _frame_at(self, event: QMouseEvent) -> int:
        left, width = self._span()
        share = min(max((event.localPos().x() - left) / width, 0.0), 1.0)
        return round(share * (self._n_frames - 1))

    @property
    def _base(self) -> float:
        """How far down the line runs."""
        return 4.0 if self._look is None else 1.3 * line_px(font_of(self._look.quiet_px)) + 4

    def _span(self) -> tuple[float, float]:
        side = 16.0 if self._look is None else float(self._look.quiet_px)
        return side, max(1.0, self.width() - 2 * side)

    def _x(self, frame: int) -> float:
        left, width = self._span()
        return left + width * frame / max(1, self._n_frames - 1)

    # painting

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint the line."""
        if self._look is None:
            return
        painter, theme = QPainter(self), self._look.theme
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        font = font_of(self._look.quiet_px)
        tall = 1.3 * line_px(font)
        base = tall + 4
        painter.setPen(QPen(QColor(theme.line), 4))
        painter.drawLine(QPointF(self._x(0), base), QPointF(self._x(self._n_frames - 1), base))
        if self._loop is not None:
            painter.setPen(QPen(QColor(theme.quiet_ink), 8, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
            painter.drawLine(QPointF(self._x(self._loop[0]), base), QPointF(self._x(self._loop[1]), base))
        self._paint_keys(painter, base, tall)
        painter.setPen(QPen(QColor(theme.accent), 4))
        painter.drawLine(QPointF(self._x(self._frame), 2), QPointF(self._x(self._frame), base + 6))
        painter.setBrush(QColor(theme.accent))
        painter.drawEllipse(QPointF(self._x(self._frame), base), self._look.quiet_px / 2.5, self._look.quiet_px / 2.5)

    def _paint_keys(self, painter: QPainter, base: float, tall: float) -> None:
        assert self._look is not None
        theme, font = self._look.theme, font_of(self._look.quiet_px)
        metrics = QFontMetricsF(font)
        painter.setFont(font)
        for key, (left, row) in zip(self._keys, self.places, strict=True):
            x = self._x(key.frame)
            painter.setPen(QPen(QColor(theme.ink), self._look.quiet_px / 6))
            painter.drawLine(QPointF(x, base), QPointF(x, base - tall * max(0.15, key.certainty)))
            if key.source == "coach":
                painter.fillRect(QRectF(x - 5, base - tall - 3, 10, 10), QColor(theme.ink))
            if row is None:
                continue  # the stroke stands for itself
            is_here = key.frame == self._frame
            painter.setPen(QColor(theme.ink if is_here else theme.quiet_ink))
            painter.drawText(QPointF(left, base + 8 + metrics.ascent() + row * metrics.height()), _say_name(key))


def place_names(
    wanted: Sequence[tuple[float, float]], width_px: float, gap_px: float
) -> tuple[tuple[float, int | None], ...]:
    """Place names of (middle, width) on a line in rows, each as high up as it has room; None = in no row.

    Those in the order of their middles; the first row fills first, so that few marks stay on one line.
    """
    placed: dict[int, tuple[float, int | None]] = {}
    free = [0.0] * _MOST_ROWS  # where each row has room again
    for n in sorted(range(len(wanted)), key=lambda n: wanted[n][0]):
        middle, width = wanted[n]
        left = min(max(middle - width / 2, 2.0), width_px - width - 2.0)
        row = next((row for row in range(_MOST_ROWS) if left >= free[row]), None)
        placed[n] = left, row
        if row is not None:
            free[row] = left + width + gap_px
    return tuple(placed[n] for n in range(len(wanted)))


def _say_name(key: KeyFrame) -> str:
    return tr(key.name) + (" ?" if key.certainty < _DOUBTFUL else "") + (" …" if key.note else "")


def say_key_frame(key: KeyFrame) -> str:
    """Say a key frame and how certain it is: 'impact (certain 99 %)', 'top (your mark)'."""
    if key.source == "coach":
        said = tr("{name} (your mark)", name=tr(key.name))
        return f"{said}: {key.note}" if key.note else said
    return tr("{name} (certain {percent} %)", name=tr(key.name), percent=round(100 * key.certainty))
