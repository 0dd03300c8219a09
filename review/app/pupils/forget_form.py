"""Forgetting a pupil: what goes, what is beyond reach, and the name that has to be typed."""

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QLabel, QLineEdit, QWidget

from review.app.language import say_count, tr
from review.app.pupils.form import Form
from review.jobs.pupil_page import ToForget
from review.library import Forgotten


class ForgetForm(Form):
    """Nothing is removed before the whole name stands there."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Enter forgets   Esc back, nothing is removed"), parent)
        self.setAccessibleName(tr("Forget the pupil"))
        self.what, self.typed = QLabel(self), QLineEdit(self)
        self.what.setWordWrap(True)
        self.what.setTextFormat(Qt.TextFormat.PlainText)
        self.rows.addWidget(self.what, self.rows.rowCount(), 0, 1, 2)
        self.add_row(tr("Full name"), self.typed)
        self.is_done = False

    def show_what(self, found: ToForget) -> None:
        """Say what would be removed and ask for the name."""
        self.is_done = False
        self.begin(tr("Forget {name}?", name=found.pupil.name))
        self.what.setText("\n".join(say_what_goes(found)))
        self.typed.clear()
        self.show_row(self.typed, True)
        self._hint.setText(tr("Enter forgets   Esc back, nothing is removed"))

    def show_progress(self, is_running: bool) -> None:
        """Say that it runs: it is not stopped then."""
        self.typed.setEnabled(not is_running)
        if is_running:
            self.refuse("")
            self._hint.setText(tr("Removing … once begun it is not stopped."))
        else:
            self._hint.setText(tr("Enter forgets   Esc back, nothing is removed"))

    def show_done(self, name: str, done: Forgotten) -> None:
        """Say what was removed."""
        self.is_done = True
        self.begin(tr("{name} is forgotten", name=name))
        lessons = say_count(done.n_lessons, "1 lesson", "{n} lessons")
        clips = say_count(done.n_clips, "1 clip", "{n} clips")
        lines = [tr("Removed: {what}.", what=f"{lessons}, {clips}"), *_say_out_of_reach(done.out_of_reach)]
        self.what.setText("\n".join(lines))
        self.typed.clear()
        self.typed.setEnabled(True)
        self.show_row(self.typed, False)
        self._hint.setText(tr("Enter or Esc: back to the pupils"))
        self.setFocus()


def say_what_goes(found: ToForget) -> tuple[str, ...]:
    """What forgetting removes and what it cannot, line by line."""
    lessons = say_count(found.n_lessons, "1 lesson", "{n} lessons")
    clips = say_count(found.n_clips, "1 clip", "{n} clips")
    return (
        tr("This cannot be undone. It removes from this computer's library:"),
        tr(
            "name, consent and private note; {what}; all numbers and pictures made of them.", what=f"{lessons}, {clips}"
        ),
        *_say_out_of_reach(found.out_of_reach),
        tr("Beyond reach: your own files the clips came from, and backups made by other programs."),
        tr("Type the full name, {name}, to go on.", name=found.pupil.name),
    )


def _say_out_of_reach(handed_out: tuple[str, ...]) -> list[str]:
    return [tr("Beyond reach: {what}", what=what) for what in handed_out]
