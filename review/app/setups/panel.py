"""What stands beside the still: what is asked for, a number's field, the mark magnified, what came of it, buttons."""

from collections.abc import Callable, Sequence

from PyQt5.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QGridLayout, QLabel, QLineEdit, QListWidget, QPushButton, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.setups.magnifier import Magnifier

_OF_FIELD = {Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_Delete, Qt.Key.Key_Tab}


class Panel(QWidget):
    """``passed_on`` brings keys typed into the field that no number is written with."""

    passed_on = pyqtSignal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("What to mark"))
        self.title, self.step, self.asked, self.refusal, self.found, self.hint = (QLabel(self) for _ in range(6))
        names = (
            (self.title, "title"),
            (self.step, "heading"),
            (self.asked, "asked"),
            (self.refusal, "refusal"),
            (self.found, "found"),
            (self.hint, "quiet"),
        )
        for label, name in names:
            label.setObjectName(name)
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.field, self.magnifier, self.list = QLineEdit(self), Magnifier(self), QListWidget(self)
        self.field.installEventFilter(self)
        self.list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.list.hide()
        self.buttons = QGridLayout()
        layout = QVBoxLayout(self)
        layout.setSpacing(8)
        for part in (self.title, self.step, self.asked, self.field, self.magnifier, self.list):
            layout.addWidget(part)
        layout.setStretch(5, 1)
        layout.addWidget(self.refusal)
        layout.addWidget(self.found)
        layout.addStretch(1)
        layout.addLayout(self.buttons)
        layout.addWidget(self.hint)
        self.refuse("")
        self.say_found("")
        self.ask_number(None)

    def add_button(self, name: str, do: Callable[[], object]) -> QPushButton:
        """Add a button that does what a key does."""
        button = QPushButton(name, self)
        button.setAccessibleName(name)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(lambda _: _do(do))
        row, column = divmod(self.buttons.count(), 2)
        self.buttons.addWidget(button, row, column)
        return button

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self.magnifier.set_look(look)
        self.setFixedWidth(20 * look.plain_px)
        for n in range(self.buttons.count()):
            item = self.buttons.itemAt(n)
            if item is not None and (button := item.widget()) is not None:  # two beside each other, in any language
                button.setStyleSheet(f"font-size: {look.quiet_px}px; padding: 4px 6px;")
        pad = look.quiet_px // 2
        layout = self.layout()
        if layout is not None:
            layout.setContentsMargins(pad, pad, pad, pad)

    def ask(self, title: str, step: str, asked: str) -> None:
        """Say what is asked for."""
        self.title.setText(title)
        self.step.setText(step)
        self.step.setVisible(bool(step))
        self.asked.setText(asked)
        self.setAccessibleDescription(" ".join((title, step, asked)))

    def ask_number(self, text: str | None, name: str = "") -> None:
        """Let a number be typed; None puts the field away."""
        if text is not None:
            self.field.setText(text)
            self.field.selectAll()
            self.field.setFocus()
        self.field.setAccessibleName(name or tr("Number"))
        self.field.setVisible(text is not None)

    def show_rows(self, rows: Sequence[str]) -> None:
        """List other rows; the one that was chosen stays chosen."""
        row = self.list.currentRow()
        self.list.clear()
        self.list.addItems(rows)
        self.list.setCurrentRow(min(row, len(rows) - 1))

    def refuse(self, why: str) -> None:
        """Say why nothing was kept; '' takes it away."""
        self.refusal.setText(why)
        self.refusal.setVisible(bool(why))

    def say_found(self, text: str, can_be: bool = True) -> None:
        """Say what follows from what was marked, or that it cannot be."""
        self.found.setObjectName("found" if can_be else "refusal")
        self.found.setText(text)
        self.found.setVisible(bool(text))
        if (style := self.style()) is not None:  # the style sheet goes by the name
            style.unpolish(self.found)
            style.polish(self.found)

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """Keys that are of no number go on to the page."""
        if a0 is self.field and isinstance(a1, QKeyEvent) and a1.type() == QEvent.Type.KeyPress:
            is_number = a1.text() in {*"0123456789.,+-"} and a1.text()
            is_correction = a1.key() == Qt.Key.Key_Backspace and self.field.text()
            if not (is_number or is_correction or a1.key() in _OF_FIELD or a1.key() >= Qt.Key.Key_F1):
                self.passed_on.emit(a1)
                return True
        return super().eventFilter(a0, a1)


def _do(what: Callable[[], object]) -> None:
    what()
