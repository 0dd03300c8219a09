"""The page that finds cues, feels, aims and notes by their words, over all pupils."""

from PyQt5.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QLabel, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.page_head import KeysLine, PageHead
from review.app.look.two_lines import TwoLines
from review.app.over_years.words import say_found, say_how_many
from review.app.page import Page
from review.app.state import ReviewState
from review.app.worker import Task
from review.jobs.history.searching import WrittenFound, search_folder

_MOST_LETTERS = 200


class SearchPage(Page):
    """Finds while the coach writes; Enter opens the lesson, of a private note ``pupil_asked`` its pupil."""

    pupil_asked = pyqtSignal(str)

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Search"), parent)
        self._state = state
        self.found: tuple[WrittenFound, ...] = ()
        title = QLabel(tr("Search"), self)
        title.setObjectName("title")
        keys = KeysLine(tr("↑ ↓ choose   Enter open the lesson   Esc back"), self)
        self.field = QLineEdit(self)
        self.field.setMaxLength(_MOST_LETTERS)
        self.field.setAccessibleName(tr("Words to find"))
        self.field.setPlaceholderText(tr("Words to find"))
        self.said = QLabel(say_how_many(0, ""), self)
        self.said.setObjectName("quiet")
        self.said.setWordWrap(True)
        self.list = QListWidget(self)
        self.list.setAccessibleName(tr("What was found"))
        self._delegate = TwoLines(self)
        self.list.setItemDelegate(self._delegate)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(40, 26, 40, 16)
        layout.setSpacing(12)
        layout.addWidget(PageHead(title, keys))
        for part in (self.field, self.said):
            layout.addWidget(part)
        layout.addWidget(self.list, 1)
        self.field.textChanged.connect(self._search)
        self.field.installEventFilter(self)
        self.list.itemDoubleClicked.connect(lambda _: self._open())

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._delegate.look = look
        self.list.doItemsLayout()

    def take_focus(self) -> None:
        """Let the keyboard write."""
        self.field.setFocus()

    def renew(self) -> None:
        """Find again: lessons may have come since."""
        self.field.selectAll()
        self._search(self.field.text())

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """Up and down choose while the field is written in; a letter of it is no key of the window."""
        if isinstance(a1, QKeyEvent) and a1.type() == QEvent.Type.KeyPress:
            row = self.list.currentRow()
            if a1.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
                step = 1 if a1.key() == Qt.Key.Key_Down else -1
                self.list.setCurrentRow(max(0, min(row + step, self.list.count() - 1)))
                return True
        return super().eventFilter(a0, a1)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Open what is chosen, or back."""
        if a0 is not None and a0.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif a0 is not None and a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open()
        else:
            super().keyPressEvent(a0)

    def _search(self, text: str) -> None:
        folder = self._state.library

        def take(found: tuple[WrittenFound, ...]) -> None:
            if text == self.field.text():
                self._show(found)

        trouble = self._state.trouble_came.emit
        self._state.line.add(Task(tr("Searching"), lambda _: search_folder(folder, text), take, trouble, owner=self))

    def _show(self, found: tuple[WrittenFound, ...]) -> None:
        self.found = found
        self.list.clear()
        for one in found:
            self.list.addItem(QListWidgetItem(say_found(one)))
        self.list.setCurrentRow(0)
        self.said.setText(say_how_many(len(found), self.field.text()))

    def _open(self) -> None:
        row = self.list.currentRow()
        if 0 <= row < len(self.found):
            one = self.found[row]
            if one.lesson_id:
                self._state.open_lesson(one.lesson_id)
            else:
                self.pupil_asked.emit(one.pupil_id)
