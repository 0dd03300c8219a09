"""The page on backups and old clips: Enter backs up, arrows choose the rule, buttons let clips go and measure again."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QComboBox, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from review.app.keeping_house.again import AgainPart
from review.app.keeping_house.words import (
    RULES,
    propose_backup_folder,
    say_backed_up,
    say_backup,
    say_gone,
    say_rule,
    say_to_go,
)
from review.app.language import tr
from review.app.look import Look
from review.app.page import Page
from review.app.state import ReviewState
from review.app.worker import Line, Task, Work
from review.jobs.keeping_house.backing_up import BackedUp
from review.jobs.keeping_house.for_window import HouseShown, back_up_library, set_weeks, show_house, thin_library
from review.jobs.keeping_house.thinning import Thinning
from review.progress import Progress


class HousePage(Page):
    """Backs the library up, thins it, measures it again; ``left`` when the coach goes back.

    These have a line of their own: a backup may take an hour, and the coach goes back to the lessons meanwhile.
    """

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Backup and old clips"), parent)
        self._state = state
        self.line = Line(self)
        self.line.changed.connect(self._show_progress)
        self.shown: HouseShown | None = None
        self._is_sure = self._is_unseen = False
        self._task: Task | None = None
        title, where, how_long = QLabel(self.accessibleName(), self), QLabel(self), QLabel(self)
        self.backup, self.to_go, self.said, self._hint = QLabel(self), QLabel(self), QLabel(self), QLabel(self)
        title.setObjectName("title")
        self._hint.setObjectName("quiet")
        self.folder, self.rule = QLineEdit(self), QComboBox(self)
        for label, words, field in (
            (where, tr("Folder of the backup, on another disk:"), self.folder),
            (how_long, tr("How long clips stay:"), self.rule),
        ):
            label.setText(words)
            label.setBuddy(field)
            field.setAccessibleName(words.rstrip(":"))
        for weeks in RULES:
            self.rule.addItem(say_rule(weeks), weeks)
        self.rule.activated.connect(self._choose_rule)
        self.go = QPushButton(self)
        self.go.clicked.connect(self.let_go)
        self.stop = QPushButton(tr("Stop"), self)
        self.stop.setAccessibleName(self.stop.text())
        self.stop.clicked.connect(self._stop)
        self.again = AgainPart(state, self._do, self._tell, self)
        self._layout = layout = QVBoxLayout(self)
        first = (title, self.backup, where, self.folder, how_long, self.rule)
        for part in (*first, self.to_go, self.go, self.said, self.stop):
            narrow = isinstance(part, QPushButton)
            layout.addWidget(part, 0, Qt.AlignmentFlag.AlignLeft if narrow else Qt.AlignmentFlag(0))
            if isinstance(part, QLabel):
                part.setWordWrap(True)
                part.setTextFormat(Qt.TextFormat.PlainText)
        layout.insertSpacing(layout.indexOf(how_long), 24)
        layout.insertWidget(layout.indexOf(self.said), self.again, 100)
        layout.insertSpacing(layout.indexOf(self.again), 8)
        layout.addStretch(1)
        layout.addWidget(self._hint)
        self._show_progress()

    @property
    def is_working(self) -> bool:
        """Whether something is being written or removed."""
        return len(self.line) > 0

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._layout.setContentsMargins(*(4 * (2 * look.quiet_px,)))
        self._layout.setSpacing(look.quiet_px)

    def take_focus(self) -> None:
        """The keyboard belongs to the folder's name first, to the button that stops it while something runs."""
        (self.stop if self.is_working else self.folder).setFocus()

    def renew(self) -> None:
        """Look how it stands; an outcome that came while the coach was elsewhere is still said."""
        unseen, self._is_unseen = self.said.text() if self._is_unseen else "", False
        self._ask(False)
        self.said.setText(unseen)
        if not self.is_working:
            self._look()

    def finish(self) -> None:
        """Stop, and wait: nothing outlives the window."""
        self.line.close()

    def back_up(self) -> None:
        """Back up into the folder named."""
        library, to = self._state.library, self.folder.text().strip()
        if self.is_working:
            return
        if not to:
            self.said.setText(tr("Name a folder on another disk, such as a stick."))
            return

        def work(progress: Progress) -> BackedUp:
            return back_up_library(library, Path(to).expanduser(), progress)

        def done(backed_up: BackedUp) -> None:
            self._tell(say_backed_up(backed_up))

        self._do(tr("Backing up"), work, done, tr("Stopped. The earlier backup is as it was."))

    def let_go(self) -> None:
        """Let old clips go; asked once more before."""
        library = self._state.library
        if self.is_working or self.shown is None or not self.shown.thinning.clips:
            return
        if not self._is_sure:
            self._ask(True)
            return
        self._ask(False)

        def done(gone: Thinning) -> None:
            self._tell(say_gone(gone))

        stopped = tr("Stopped. Clips that are gone are gone.")
        self._do(tr("Letting old clips go"), lambda progress: thin_library(library, progress), done, stopped)

    def _ask(self, is_sure: bool) -> None:
        """Ask whether it is meant, on the button itself, or no longer."""
        self._is_sure = is_sure
        words = tr("Gone is gone: once more, then they go") if is_sure else tr("Let them go …")
        self.go.setText(words)
        self.go.setAccessibleName(words)
        self.said.setText("")

    def _choose_rule(self, at: int) -> None:
        library, weeks = self._state.library, RULES[at]
        self._ask(False)
        keep = Task(
            tr("Looking at the library"), lambda _: set_weeks(library, weeks), self._take, self.said.setText, keeps=True
        )
        self._state.line.add(keep)

    def _do(self, name: str, work: Work, done: Callable[[Any], None], stopped: str) -> None:
        self._task = Task(name, work, done, self._fail, owner=self, on_stopped=lambda: self._tell(stopped))
        self.line.add(self._task)
        self.stop.setFocus()

    def _fail(self, why: str) -> None:
        """Say why not, here and wherever the coach is by now."""
        self.said.setText(why)
        self._is_unseen = not self.isVisible()
        if self._is_unseen:
            self._state.trouble_came.emit(why)

    def _stop(self) -> None:
        if self._task is not None:
            self.line.stop(self._task)
        self.folder.setFocus()

    def _tell(self, words: str) -> None:
        """Say what was done, here and wherever the coach is by now, then look how it stands."""
        self.said.setText(words)
        self._is_unseen = not self.isVisible()
        if self._is_unseen:
            self._state.step_told.emit(words)
        self._look()

    def _look(self) -> None:
        library = self._state.library
        look = Task(tr("Looking at the library"), lambda _: show_house(library), self._take, self.said.setText)
        self._state.line.add(look)
        self.again.look()

    def _take(self, shown: HouseShown) -> None:
        self.shown = shown
        self.backup.setText(say_backup(shown, date.today()))
        if not self.folder.text():
            self.folder.setText(propose_backup_folder(shown))
        weeks = shown.thinning.weeks
        if weeks in RULES:
            self.rule.setCurrentIndex(RULES.index(weeks))
        else:  # set from the command line
            self.rule.setCurrentIndex(-1)
        self.to_go.setText(say_to_go(shown.thinning))
        self.to_go.setVisible(bool(self.to_go.text()))
        self.go.setVisible(bool(shown.thinning.clips))

    def _show_progress(self) -> None:
        running, (done, total) = self.line.running, self.line.progress
        for part in (self.rule, self.folder, self.go, self.again):
            part.setEnabled(running is None)
        self.stop.setVisible(running is not None)
        if running is not None and total:
            self.said.setText(tr("{what}: {percent} %", what=running.name, percent=100 * done // total))
        if running is not None:
            self._hint.setText(tr("Enter stops   Esc back, it goes on"))
        else:
            self._hint.setText(tr("Enter backs up, presses a button   Tab, ↑ ↓ how long clips stay   Esc back"))

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Back up, let go, stop, go back."""
        if a0 is None:
            return
        if a0.key() == Qt.Key.Key_Escape and self._is_sure:
            self._ask(False)
        elif a0.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.is_working:
            self._stop()
        elif a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            (self.let_go if self.go.hasFocus() else self.back_up)()
        else:
            super().keyPressEvent(a0)
