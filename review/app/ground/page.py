"""The ground under the feet: mean ways of first and last batch, what they do, and the pupil live on the mat."""

from pathlib import Path
from typing import Any

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent, QPixmap, QResizeEvent
from PyQt5.QtWidgets import QFileDialog, QLabel, QStackedLayout, QVBoxLayout, QWidget

from review.app.ground.view import GroundView
from review.app.ground.words import say_batch, say_missing
from review.app.language import tr
from review.app.look import Look
from review.app.page import Page
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task

_LETTERS, _LINES = 45, 22
"""The picture is at least so many letters wide and lines high, else its letters are made smaller."""


class GroundPage(Page):
    """Pressure of the open lesson; L shows it live, on the whole screen; ``drawn`` when the picture is there."""

    drawn = pyqtSignal()

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Pressure under the feet"), parent)
        self._state = state
        self._look: Look | None = None
        self._asked: tuple[object, ...] = ()
        self._whole = QPixmap()
        self.live: GroundView | None = None
        self._state_before: Any = None
        still = QWidget(self)
        title = QLabel(tr("Pressure under the feet"), still)
        title.setObjectName("title")
        self.said, self.picture = QLabel(still), QLabel(still)
        self.said.setWordWrap(True)
        self.picture.setAlignment(Qt.Alignment(Qt.AlignmentFlag.AlignCenter))
        self.picture.setMinimumSize(1, 1)
        self.picture.setAccessibleName(tr("Mean ways of the pressure over the feet"))
        self.keys = QLabel(tr("L: the pupil live on the mat, without a club"), still)
        self.keys.setObjectName("quiet")
        layout = QVBoxLayout(still)
        for part in (title, self.said):
            layout.addWidget(part)
        layout.addWidget(self.picture, 1)
        layout.addWidget(self.keys)
        self._still_layout = layout
        self._stack = QStackedLayout(self)
        self._stack.addWidget(still)
        state.lesson_changed.connect(self._forget)
        state.lesson_renewed.connect(self._forget)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._look = look
        self._still_layout.setContentsMargins(*(4 * (look.quiet_px // 2,)))
        self._refresh()

    def _forget(self) -> None:
        self._asked = ()
        self._refresh()

    def _refresh(self) -> None:
        """Have the picture drawn where this page is looked at and something has changed."""
        shown, look = self._state.lesson, self._look
        if look is None or not self.isVisible():
            return
        if shown is None:
            self.said.setText(tr("Open a lesson first."))
            return
        width = float(self.width() - 2 * look.quiet_px)
        height = float(self.height() - 6 * look.number_px)
        asked = (shown.lesson.id, look, width, height)
        if asked == self._asked:
            return
        self._asked = asked
        wide = min(width, 2.2 * max(height, 300.0))
        letter_px = min(float(look.quiet_px), wide / _LETTERS, max(height / _LINES, 7.0))
        place = wide, max(height, _LINES * letter_px)
        folder, lesson_id, fineness = self._state.library, shown.lesson.id, self.devicePixelRatioF()
        self.said.setText(tr("Drawing …"))

        def work(progress: Any) -> Any:
            from review.jobs.pressure.showing import show_ground

            return asked, show_ground(
                folder, lesson_id, place, letter_px, look.theme.is_dark, fineness, say_sentences, progress
            )

        self._state.line.add(Task(tr("Drawing the pressure"), work, self._take, self._say))

    def _say(self, text: str) -> None:
        self.said.setText(say_sentences(text))

    def _take(self, drawn: tuple[tuple[object, ...], Any]) -> None:
        asked, ground = drawn
        if asked != self._asked:
            return
        lines = [say_batch(batch, ground.handedness) for batch in ground.batches]
        lines += say_missing(ground.foot_missing)
        self.said.setText("\n".join([*lines, *((say_sentences(ground.note),) if ground.note else ())]))
        self.picture.setAccessibleDescription(self.said.text())
        self._whole = QPixmap()
        if ground.picture_png is not None:
            self._whole.loadFromData(ground.picture_png, "PNG")
        self._fit()
        self.drawn.emit()

    def _fit(self) -> None:
        if self._whole.isNull():
            self.picture.clear()
            return
        fineness = self.devicePixelRatioF()
        place = self.picture.size() * fineness
        whole = QPixmap(self._whole)
        whole.setDevicePixelRatio(fineness)
        if whole.width() > place.width() or whole.height() > place.height():
            keep, smooth = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
            whole = whole.scaled(place, keep, smooth)
        self.picture.setPixmap(whole)

    def ask_live(self) -> None:
        """Ask which table is being written, and show it live."""
        said, _ = QFileDialog.getOpenFileName(self, tr("The table that the mat's program is writing"), "")
        if said:
            self.go_live(Path(said))

    def go_live(self, table: Path) -> None:
        """Show the pressure live from a table that is being written, for the pupil, on the whole screen."""
        from review.jobs.pressure.live_trace import GrowingFile, LiveTrace
        from review.jobs.pressure.showing import find_live_mat
        from review.lesson import Handedness

        self.end_live()
        shown = self._state.lesson
        mat = None if shown is None else find_live_mat(self._state.library, shown.lesson.id)
        side = -1.0 if mat is not None and mat.handedness is Handedness.LEFT else 1.0
        trace = LiveTrace(GrowingFile(table), None if mat is None else mat.placement)
        self.live = GroundView(trace, () if mat is None else mat.feet_cm, side)
        self.live.ended.connect(self.end_live)
        self._stack.addWidget(self.live)
        self._stack.setCurrentWidget(self.live)
        window = self.window()
        if window is not None:
            self._state_before = window.windowState()
            window.showFullScreen()
        self.live.setFocus()

    def end_live(self) -> None:
        """Back to the lesson's picture; the window is as large as it was."""
        if self.live is None:
            return
        live, self.live = self.live, None
        live.finish()
        self._stack.removeWidget(live)
        live.deleteLater()
        window = self.window()
        if window is not None and self._state_before is not None:
            window.setWindowState(self._state_before)
        self.setFocus()
        self._refresh()

    def finish(self) -> None:
        """Nothing is read any longer."""
        if self.live is not None:
            self.live.finish()

    def showEvent(self, a0: Any) -> None:
        """Draw what has changed since."""
        super().showEvent(a0)
        self._refresh()

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """The picture follows the window."""
        super().resizeEvent(a0)
        self._refresh()
        self._fit()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """L goes live; back to the chart."""
        if a0 is not None and a0.key() == Qt.Key.Key_L:
            self.ask_live()
        elif a0 is not None and a0.key() in (Qt.Key.Key_Escape, Qt.Key.Key_G):
            self.left.emit()
        else:
            super().keyPressEvent(a0)
