"""Asking for one thing beside the list: one of several, or a line of text."""

from collections.abc import Sequence

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QLabel, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from review.app.language import tr

_DATA = int(Qt.ItemDataRole.UserRole)


class _Asking(QWidget):
    """A question, a place for the answer, and the keys."""

    left = pyqtSignal()

    def __init__(self, answer: QWidget, hint: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.question, said = QLabel(self), QLabel(hint, self)
        self.question.setWordWrap(True)
        self.question.setTextFormat(Qt.TextFormat.PlainText)
        said.setObjectName("quiet")
        said.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(10)
        answer.setParent(self)
        for part in (self.question, answer, said):
            layout.addWidget(part)
        layout.setStretch(1, 1 if isinstance(answer, QListWidget) else 0)
        if not isinstance(answer, QListWidget):
            layout.addStretch(1)
        self._answer = answer
        for part in (self, answer):
            part.setAccessibleName(tr("Answer"))
        self.setFocusProxy(answer)

    def _ask(self, question: str) -> None:
        self.question.setText(question)
        self._answer.setAccessibleName(question)
        self.setAccessibleName(question)

    def _take(self) -> None:
        raise NotImplementedError

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Enter answers, Esc leaves."""
        if a0 is None:
            return
        if a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._take()
        elif a0.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(a0)


class AskOneOf(_Asking):
    """One of several: arrows, or the first letters."""

    answered = pyqtSignal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        self.choices = QListWidget()
        self.choices.setObjectName("choices")
        super().__init__(self.choices, tr("↑ ↓ or first letters   Enter takes it   Esc back"), parent)
        self.choices.itemDoubleClicked.connect(lambda _: self._take())

    def ask(self, question: str, choices: Sequence[tuple[str, object]]) -> None:
        """Ask for one of the choices: what is said, and what it stands for."""
        self._ask(question)
        self.choices.clear()
        for said, data in choices:
            item = QListWidgetItem(said)
            item.setData(_DATA, data)
            self.choices.addItem(item)
        self.choices.setCurrentRow(0)

    def _take(self) -> None:
        item = self.choices.currentItem()
        if item is not None:
            self.answered.emit(item.data(_DATA))


class AskText(_Asking):
    """A line of text."""

    answered = pyqtSignal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        self.text = QLineEdit()
        super().__init__(self.text, tr("Enter takes it   Esc back"), parent)

    def ask(self, question: str, text: str = "") -> None:
        """Ask for a text; ``text`` stands there already."""
        self._ask(question)
        self.text.setText(text)
        self.text.selectAll()

    def _take(self) -> None:
        self.answered.emit(self.text.text().strip())
