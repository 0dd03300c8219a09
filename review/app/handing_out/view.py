"""Writing the take-home: for whom, what, where; Enter writes it, Esc stops or goes back."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from PyQt5.QtCore import QStandardPaths, Qt, QUrl, pyqtSignal
from PyQt5.QtGui import QDesktopServices, QKeyEvent
from PyQt5.QtWidgets import QGridLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from review.app.handing_out.choices import Choices
from review.app.handing_out.words import propose_folder, say_contents, say_for_whom, say_title
from review.app.language import tr
from review.app.look import Look
from review.app.look.page_head import ElidedLabel
from review.app.look.scrolled import Scrolled
from review.app.page import Page
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task
from review.jobs.handing_out.lesson import HandedOut, HandOutWish, hand_out_apart
from review.jobs.showing.lesson import LessonShown
from review.lesson import Purpose
from review.progress import Progress


class HandingOutPage(Page):
    """Writes the take-home of the open lesson; ``left`` when the coach goes back, ``done`` when it is written."""

    done = pyqtSignal()

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Take-home"), parent)
        self._state = state
        self.page: Path | None = None
        self._shown: LessonShown | None = None
        self._task: Task | None = None
        self._unseen = ""
        self._title, self.for_whom, self.contents = ElidedLabel(parent=self, keeps_end=True), QLabel(self), QLabel(self)
        self.said, self._hint = QLabel(self), QLabel(self)
        self._title.setObjectName("title")
        self._hint.setObjectName("quiet")
        where = QLabel(tr("Folder:"), self)
        self.folder = QLineEdit(self)
        self.folder.setAccessibleName(tr("Folder of the take-home"))
        where.setBuddy(self.folder)
        self.choices = Choices(self)
        who = QLabel(tr("Who receives it:"), self)
        self.receiver = QLineEdit(self)
        self.receiver.setAccessibleName(tr("Who receives the take-home"))
        who.setBuddy(self.receiver)
        self._fields = (where, self.folder, who, self.receiver, self.choices)
        self._layout = layout = QVBoxLayout(self)
        layout.setSpacing(14)
        fields = QGridLayout()
        fields.setColumnStretch(1, 1)
        for row, (label, field) in enumerate(((where, self.folder), (who, self.receiver))):
            fields.addWidget(label, row, 0)
            fields.addWidget(field, row, 1)
        for part in (self.for_whom, self.contents, self.said):
            part.setWordWrap(True)
            part.setTextFormat(Qt.TextFormat.PlainText)
        scrolled = Scrolled(self)
        scrolled.inner.setSpacing(14)
        for above in (self.for_whom, self.contents):
            scrolled.inner.addWidget(above)
        scrolled.inner.addLayout(fields)
        scrolled.inner.addWidget(self.choices)
        scrolled.inner.addWidget(self.said)
        scrolled.inner.addStretch(1)
        layout.addWidget(self._title)
        layout.addWidget(scrolled, 1)
        layout.addWidget(self._hint)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._layout.setContentsMargins(*(4 * (2 * look.quiet_px,)))

    def take_focus(self) -> None:
        """The keyboard belongs to the folder's name, else to the page."""
        (self.folder if self.folder.isEnabled() else self).setFocus()

    def renew(self) -> None:
        """Ask what is to be known before it is written.

        While one is written it stays the page of that lesson; what came of it elsewhere is still said.
        """
        shown = self._state.lesson
        if shown is None or self._task is not None:
            return
        self._shown = shown
        pupil, lesson = shown.pupil, shown.lesson
        may = pupil.allows(Purpose.SHARE, date.today())
        documents = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        self._title.setText(say_title(pupil, lesson))
        self.for_whom.setText(say_for_whom(pupil, date.today()))
        self.contents.setText(say_contents() if may else "")
        self.receiver.setText((pupil.guardian or "") if pupil.is_minor else pupil.name)
        self.receiver.setEnabled(may)
        self.choices.renew(pupil, may)
        for part in self._fields:
            part.setVisible(may)
        self.folder.setText(str(propose_folder(Path(documents), pupil, lesson)))
        self.folder.setEnabled(may)
        unseen, self._unseen = self._unseen, ""
        self.page = self.page if unseen else None
        self._tell(unseen)

    def write(self) -> None:
        """Write it, beside the window."""
        shown, to = self._shown, self.folder.text().strip()
        if shown is None or self._task is not None or not self.folder.isEnabled():
            return
        if not to:
            self._tell(tr("Give the folder a name."))
            return
        choice = self.choices.choose()
        if choice is None:
            self._tell(tr("Choose upright or wide for the clips, or both."))
            return
        wanted = HandOutWish(
            self.choices.faces.isChecked(),
            self.choices.only_player.isChecked(),
            self.receiver.text(),
            choice,
            self.choices.zipped.isChecked(),
        )
        folder, lesson_id = self._state.library, shown.lesson.id

        def work(progress: Progress) -> Any:
            return hand_out_apart(folder, lesson_id, Path(to).expanduser(), wanted, progress)

        name = tr("Writing the take-home")
        self._task = Task(name, work, self._take, self._fail, on_stopped=self._say_stopped)
        self.page = None
        self._tell(tr("Writing …"))
        self._state.long_line.add(self._task)

    def _take(self, handed: HandedOut) -> None:
        self.page = handed.page
        notes = "".join(f"\n{say_sentences(note)}" for note in handed.notes)
        self._end(tr("It lies in {folder}.", folder=handed.page.parent) + notes, self._state.step_told.emit)
        self.done.emit()

    def _fail(self, why: str) -> None:
        self._end(why, self._state.trouble_came.emit)

    def _say_stopped(self) -> None:
        self._end(tr("Stopped. Nothing half written was kept."), self._state.step_told.emit)

    def _end(self, words: str, tell: Callable[[str], None]) -> None:
        """Say what came of it here, and wherever the coach is by now: whose take-home it was, too."""
        self._task = None
        if not self.isVisible():
            self._unseen = words = f"{self._title.text()}: {words}"
            tell(words)
        self._tell(words)

    def _tell(self, words: str) -> None:
        """Say how it stands; what will be in it makes room for that."""
        self.said.setText(words)
        self.contents.setVisible(not words and self.folder.isEnabled())
        self._say_hint()

    def _say_hint(self) -> None:
        if self._task is not None:
            self._hint.setText(tr("Esc stops"))
        elif self.page is not None:
            self._hint.setText(tr("Ctrl+O opens the page   Esc back"))
        else:
            self._hint.setText(
                tr("Enter writes it   Tab, Space choose   Esc back") if self.folder.isEnabled() else tr("Esc back")
            )

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Write, stop, open, go back."""
        if a0 is None:
            return
        is_control = bool(a0.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if a0.key() == Qt.Key.Key_Escape and self._task is not None:
            self._tell(tr("Stopping …"))
            self._state.long_line.stop(self._task)
        elif a0.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.write()
        elif a0.key() == Qt.Key.Key_O and is_control and self.page is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self.page)))
        else:
            super().keyPressEvent(a0)
