"""Forgetting a pupil: what goes, what is beyond reach, and the name that has to be typed."""

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QLabel, QLineEdit, QWidget

from review.app.language import say_count, tr
from review.app.pupils.form import Form
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task
from review.jobs.pupil_page import ToForget, forget_named, look_before_forgetting
from review.lesson import Pupil
from review.library import Forgotten
from review.progress import Progress


class ForgetForm(Form):
    """Nothing is removed before the whole name stands there; ``left`` once it is over, or was not done."""

    asked = pyqtSignal()
    forgotten = pyqtSignal()

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Enter forgets   Esc back, nothing is removed"), parent)
        self.setAccessibleName(tr("Forget the pupil"))
        self.what, self.typed = QLabel(self), QLineEdit(self)
        self.what.setWordWrap(True)
        self.what.setTextFormat(Qt.TextFormat.PlainText)
        self.rows.addWidget(self.what, self.rows.rowCount(), 0, 1, 2)
        self.add_row(tr("Full name"), self.typed)
        self._state = state
        self._pupil: Pupil | None = None
        self._is_done = False
        self.kept.connect(self._forget)

    def ask(self, pupil: Pupil) -> None:
        """Count what a pupil's removal takes away, then ask (``asked``)."""
        self._pupil, folder = pupil, self._state.library

        def take(found: ToForget) -> None:
            self._show_what(found)
            self.asked.emit()

        trouble = self._state.trouble_came.emit
        work = Task(tr("Counting"), lambda _: look_before_forgetting(folder, pupil.id), take, trouble, owner=self)
        self._state.line.add(work)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Once begun it is not left."""
        if self.typed.isEnabled():
            super().keyPressEvent(a0)

    def _forget(self) -> None:
        if self._is_done or self._pupil is None:
            self.left.emit()
            return
        folder, pupil, typed = self._state.library, self._pupil, self.typed.text()
        self._show_progress(True)

        def done(forgotten: Forgotten) -> None:
            self._show_done(pupil.name, forgotten)
            self.forgotten.emit()

        def refused(why: str) -> None:
            self._show_progress(False)
            self.refuse(why)
            self.take_focus()

        def work(progress: Progress) -> Forgotten:
            return forget_named(folder, pupil.id, typed, progress)

        self._state.line.add(Task(tr("Forgetting"), work, done, refused, keeps=True, owner=self))

    def _show_what(self, found: ToForget) -> None:
        self._is_done = False
        self.begin(tr("Forget {name}?", name=found.pupil.name))
        self.what.setText("\n".join(say_what_goes(found)))
        self.typed.clear()
        self.show_row(self.typed, True)
        self._hint.setText(tr("Enter forgets   Esc back, nothing is removed"))

    def _show_progress(self, is_running: bool) -> None:
        self.typed.setEnabled(not is_running)
        if is_running:
            self.refuse("")
            self._hint.setText(tr("Removing … once begun it is not stopped."))
        else:
            self._hint.setText(tr("Enter forgets   Esc back, nothing is removed"))

    def _show_done(self, name: str, done: Forgotten) -> None:
        self._is_done = True
        self.begin(tr("{name} is forgotten", name=name))
        lines = [tr("Removed: {what}.", what=_say_removed(done)), *_say_beyond(done)]
        self.what.setText("\n".join(lines))
        self.typed.clear()
        self.typed.setEnabled(True)
        self.show_row(self.typed, False)
        self._hint.setText(tr("Enter or Esc: back to the pupils"))
        self.setFocus()


def say_what_goes(found: ToForget) -> tuple[str, ...]:
    """What forgetting removes and what it cannot, line by line."""
    what = _say_removed(found.removal)
    return (
        tr("This cannot be undone. It removes from this computer's library:"),
        tr("name, consent and private note; {what}; all numbers and pictures made of them.", what=what),
        *_say_beyond(found.removal),
        tr("Beyond reach: your own files the clips came from, and backups made by other programs."),
        tr("Type the full name, {name}, to go on.", name=found.pupil.name),
    )


def _say_removed(removal: Forgotten) -> str:
    lessons = say_count(removal.n_lessons, "1 lesson", "{n} lessons")
    return f"{lessons}, {say_count(removal.n_clips, '1 clip', '{n} clips')}"


def _say_beyond(removal: Forgotten) -> list[str]:
    """What stays for another pupil, and what is beyond reach."""
    shared = say_count(
        removal.n_shared,
        "1 clip stays: another pupil's lesson has it too.",
        "{n} clips stay: another pupil's lesson has them too.",
    )
    beyond = [tr("Beyond reach: {what}", what=say_sentences(what)) for what in removal.out_of_reach]
    return [shared, *beyond] if removal.n_shared else beyond
