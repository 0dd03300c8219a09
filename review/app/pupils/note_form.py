"""The coach's private note on a pupil: shown only when asked for, never exported."""

from PyQt5.QtCore import QEvent, QObject, Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QPlainTextEdit, QWidget

from review.app.language import tr
from review.app.pupils.form import Form
from review.lesson import Pupil


class NoteForm(Form):
    """Enter begins a line here; Esc keeps what is written and goes back."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Esc keeps it and goes back. Never in a take-home, never in the pupil view."), parent)
        self.setAccessibleName(tr("Private note"))
        self.text = QPlainTextEdit(self)
        self.text.setTabChangesFocus(True)
        self.text.installEventFilter(self)
        self.add_row(tr("Pain, injury, what only you need"), self.text)

    def show_pupil(self, pupil: Pupil) -> None:
        """Fill in the note there is."""
        self.begin(tr("Private note on {name}", name=pupil.name))
        self.text.setPlainText(pupil.private_note)

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """Esc keeps."""
        is_key = isinstance(a1, QKeyEvent) and a1.type() == QEvent.Type.KeyPress
        if a0 is self.text and is_key and a1.key() == Qt.Key.Key_Escape:  # type: ignore[union-attr]
            self.kept.emit()
            return True
        return super().eventFilter(a0, a1)
