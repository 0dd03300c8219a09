"""What the forms of a pupil's page share: a title, rows of labelled fields, a refusal in words, Enter and Esc."""

from collections.abc import Sequence

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QLineEdit, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look.page_head import ElidedLabel, KeysLine
from review.app.look.scrolled import Scrolled
from review.app.look.toggle import Toggle
from review.app.page import Page


class Form(Page):
    """Enter asks to keep what is written, Esc leaves it; a refusal stands above the hint until something is written."""

    kept = pyqtSignal()

    def __init__(self, hint: str, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self.title, self.refusal, self._hint = ElidedLabel(parent=self), QLabel(self), KeysLine(hint, self)
        self.title.setObjectName("title")
        self.refusal.setObjectName("refusal")
        self.refusal.setWordWrap(True)
        self.refusal.setTextFormat(Qt.TextFormat.PlainText)
        self.refusal.hide()
        self._hint.setObjectName("quiet")
        self.rows = QGridLayout()
        self.rows.setVerticalSpacing(14)
        self.rows.setHorizontalSpacing(20)
        self.rows.setColumnStretch(1, 1)
        scrolled = Scrolled(self)
        scrolled.inner.addLayout(self.rows)
        scrolled.inner.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(16)
        layout.addWidget(self.title)
        layout.addWidget(scrolled, 1)
        layout.addWidget(self.refusal)
        layout.addWidget(self._hint)
        self._first: QWidget | None = None
        self._last: QWidget | None = None

    def add_row(self, name: str, field: QWidget) -> None:
        """Add a field below the others, with its name before it."""
        said = QLabel(name, self)
        said.setObjectName("field")
        said.setBuddy(field)
        field.setAccessibleName(name)
        for line in (field, *field.findChildren(QLineEdit)):
            if isinstance(line, QLineEdit):
                line.textChanged.connect(lambda _: self.refuse(""))
        row = self.rows.rowCount()
        self.rows.addWidget(said, row, 0, Qt.AlignmentFlag.AlignTop)
        self.rows.addWidget(field, row, 1)
        self._put_next(field)

    def add_toggles(self, name: str, toggles: list[Toggle], is_one_of: bool = False) -> None:
        """Add what can be ticked; of ``is_one_of`` only one is at a time."""
        said = QLabel(name, self)
        said.setObjectName("field")
        row = self.rows.rowCount()
        beside = QHBoxLayout() if is_one_of else QVBoxLayout()
        for toggle in toggles:
            if is_one_of:  # not Qt's own: with that Tab reaches the ticked one only
                toggle.toggled.connect(lambda is_on, chosen=toggle: _untick_others(chosen, toggles if is_on else ()))
                toggle.clicked.connect(lambda _, chosen=toggle: chosen.setChecked(True))
            toggle.toggled.connect(lambda _: self.refuse(""))
            toggle.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
            beside.addWidget(toggle)
            self._put_next(toggle)
        if is_one_of:
            beside.addStretch(1)
        self.rows.addWidget(said, row, 0, Qt.AlignmentFlag.AlignTop)
        self.rows.addLayout(beside, row, 1)

    def _put_next(self, field: QWidget) -> None:
        """Tab goes in the order in which fields were added."""
        self._first = self._first or field
        lines = field.findChildren(QLineEdit)
        for part in (
            (*lines, *field.findChildren(QPushButton)) if lines and field.focusProxy() is not None else (field,)
        ):
            if self._last is not None:
                self.setTabOrder(self._last, part)
            self._last = part

    def show_row(self, field: QWidget, is_shown: bool) -> None:
        """Show a field with its name, or neither."""
        at = self.rows.indexOf(field)
        if at >= 0:
            row = self.rows.getItemPosition(at)[0] or 0
            name = self.rows.itemAtPosition(row, 0)
            for widget in (field, name.widget() if name is not None else None):
                if widget is not None:
                    widget.setVisible(is_shown)

    def begin(self, title: str) -> None:
        """Show the form anew."""
        self.title.setText(title)
        self.refuse("")

    def take_focus(self) -> None:
        """Let the keyboard go to the first field."""
        if self._first is not None:
            self._first.setFocus()

    def refuse(self, why: str) -> None:
        """Say why nothing was kept; '' takes it away."""
        self.refusal.setText(why)
        self.refusal.setVisible(bool(why))

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Enter keeps, Esc leaves."""
        if a0 is None:
            return
        if a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.kept.emit()
        elif a0.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(a0)


def _untick_others(chosen: Toggle, toggles: Sequence[Toggle]) -> None:
    for other in toggles:
        if other is not chosen:
            other.setChecked(False)


def say_form_keys() -> str:
    """The keys of a form."""
    return tr("Tab next   Space ticks   Enter keeps   Esc back")
