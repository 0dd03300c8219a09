"""The ground under the feet: mean ways of first and last batch, what they do, and the pupil live on the mat."""

from dataclasses import replace
from pathlib import Path
from typing import Any

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QStackedLayout, QVBoxLayout, QWidget

from review.app.drawn_picture import DrawnPicture
from review.app.ground.kept import read_live_kept, write_live_kept
from review.app.ground.said import GroundWords
from review.app.ground.view import GroundView
from review.app.language import tr
from review.app.look import Look
from review.app.look.files import ask_file
from review.app.page import Page
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task
from review.jobs.pressure.ground_shown import GroundShown, show_ground
from review.jobs.pressure.live_mat import LiveMat, find_live_mat
from review.jobs.pressure.live_trace import follow_table
from review.progress import Progress


class GroundPage(Page):
    """Pressure of the open lesson; L shows it live, on the whole screen; ``came`` when its words are there."""

    came = pyqtSignal()
    mat_asked = pyqtSignal(object)

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Pressure under the feet"), parent)
        self._state = state
        self._look: Look | None = None
        self._asked = self._folder = ""
        self.live: GroundView | None = None
        self._state_before: Any = None
        still = QWidget(self)
        title = QLabel(tr("Pressure under the feet"), still)
        title.setObjectName("title")
        self.picture = DrawnPicture(state, tr("Drawing the pressure"), still)
        self.picture.setAccessibleName(tr("Mean ways of the pressure over the feet"))
        self.words = GroundWords(still)
        self.keys = QLabel(
            tr("M: the mat, table and steps   L: live on it, no club   Esc back   ? keys").replace("   ", " · "),
            still,
        )
        self.keys.setObjectName("quiet")
        beside = QHBoxLayout()
        beside.addWidget(self.picture, 5)
        beside.addWidget(self.words, 3)
        layout = QVBoxLayout(still)
        layout.addWidget(title)
        layout.addLayout(beside, 1)
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
        self.picture.set_look(look)
        self.words.set_look(look)
        if self.live is not None:
            self.live.set_theme(look.theme)

    def take_focus(self) -> None:
        """The pupil's view has the keyboard while it is on."""
        (self.live or self).setFocus()

    def _forget(self) -> None:
        self._asked = ""
        self._refresh()

    def _refresh(self) -> None:
        """Have the traces read where this page is looked at and the lesson is another."""
        shown = self._state.lesson
        if not self.isVisible():
            return
        if shown is None:
            self.words.say_only(tr("Open a lesson first."))
            return
        if shown.lesson.id == self._asked:
            return
        self._asked = shown.lesson.id
        folder, lesson_id = self._state.library, shown.lesson.id
        self.words.say_only(tr("Drawing …"))

        def work(progress: Progress) -> tuple[str, GroundShown]:
            return lesson_id, show_ground(folder, lesson_id, progress)

        self._state.line.add(Task(tr("Drawing the pressure"), work, self._take, self._say))

    def _say(self, text: str) -> None:
        self.words.say_only(say_sentences(text))

    def _take(self, read: tuple[str, GroundShown]) -> None:
        lesson_id, ground = read
        if lesson_id != self._asked:
            return
        self.words.say(ground)
        self.picture.setVisible(ground.picture is not None)
        self.picture.setAccessibleDescription(self.words.text())
        self.picture.show_drawn(
            None
            if ground.picture is None
            else lambda place, letter_px, is_dark, fineness: ground.draw(
                place, letter_px, is_dark, fineness, say_sentences
            )
        )
        self.came.emit()

    def ask_live(self) -> None:
        """Ask which table is being written, in the folder of the last one, and show it live; it may be begun later."""
        kept = read_live_kept(self._state.kept_in)
        folder = self._folder or kept.folder
        table = ask_file(self, tr("The table that the mat's program is writing"), Path(folder) if folder else None)
        if table is None:
            return
        self._folder = str(table.parent)
        write_live_kept(replace(kept, folder=self._folder), self._state.kept_in)
        self.go_live(table)

    def go_live(self, table: Path) -> None:
        """Show the pressure live from a table that is being written, for the pupil, on the whole screen."""
        self.end_live()
        shown = self._state.lesson
        mat = LiveMat() if shown is None else find_live_mat(self._state.library, shown.lesson.id)
        trace = follow_table(self._state.library, table, mat.placement, mat.cell_cm)
        self.live = GroundView(trace, mat, self._state.kept_in)
        if self._look is not None:
            self.live.set_theme(self._look.theme)
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

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """L goes live, M asks for the mat; back to the chart; up and down move the words where not all are seen."""
        if self.live is not None:
            super().keyPressEvent(a0)  # it has keys of its own; those of all pages stay
        elif a0 is not None and a0.key() == Qt.Key.Key_L:
            self.ask_live()
        elif a0 is not None and a0.key() == Qt.Key.Key_M:
            self.mat_asked.emit(None)
        elif a0 is not None and a0.key() in (Qt.Key.Key_Escape, Qt.Key.Key_G):
            self.left.emit()
        elif a0 is not None and a0.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.words.go_on(1 if a0.key() == Qt.Key.Key_Down else -1)
        else:
            super().keyPressEvent(a0)
