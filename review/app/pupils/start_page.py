"""The quiet page the window starts with: pupils, who was taught last first, and the chosen one's lessons."""

from PyQt5.QtCore import QEvent, QObject, Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from review.app.language import say_count, say_day, tr
from review.app.look import Look
from review.app.look.two_lines import TwoLines
from review.app.state import ReviewState

_ID = int(Qt.ItemDataRole.UserRole)


class StartPage(QWidget):
    """Choose a pupil and a lesson: Enter on a pupil opens the last lesson, Right goes to the earlier ones."""

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName(tr("Pupils and lessons"))
        self._state = state
        self._title, self._hint, self._empty = QLabel(self), QLabel(self), QLabel(self)
        self._title.setObjectName("title")
        self._hint.setObjectName("quiet")
        self._empty.setWordWrap(True)
        self.pupils, self.lessons = QListWidget(self), QListWidget(self)
        self.pupils.setObjectName("pupils")
        self.pupils.setAccessibleName(tr("Pupils"))
        self.lessons.setAccessibleName(tr("Lessons"))
        self._delegate = TwoLines(self)
        lists = QHBoxLayout()
        lists.addWidget(self.pupils, 1)
        lists.addWidget(self.lessons, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(40, 30, 40, 20)
        layout.setSpacing(16)
        layout.addWidget(self._title)
        layout.addWidget(self._empty)
        layout.addLayout(lists, 1)
        layout.addWidget(self._hint)
        for chosen in (self.pupils, self.lessons):
            chosen.setItemDelegate(self._delegate)
            chosen.installEventFilter(self)
            chosen.itemActivated.connect(self._open)
        self.pupils.currentRowChanged.connect(self._show_lessons)
        state.pupils_changed.connect(self.fill)
        self.fill()

    def fill(self) -> None:
        """Fill the lists from the state."""
        known = self._state.pupils
        self._title.setText(tr("Whose lesson?"))
        self._hint.setText(tr("↑ ↓ choose   Enter opens the last lesson   → earlier lessons   ? keys"))
        self._empty.setVisible(not known)
        self._empty.setText(
            tr("Reading the library …")
            if known is None
            else tr("No pupil yet. A lesson comes in with: lesson-review add FOLDER --pupil NAME")
        )
        for part in (self.pupils, self.lessons, self._hint):
            part.setVisible(bool(known))
        self.pupils.clear()
        for shown in known or ():
            if shown.lessons:
                words = tr("last lesson {day}", day=say_day(shown.lessons[0].held_on))
            else:
                words = tr("no lesson yet")
            self.pupils.addItem(f"{shown.pupil.name}\n{words}")
        self.pupils.setCurrentRow(0)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._delegate.look = look
        for shown in (self.pupils, self.lessons):
            shown.doItemsLayout()

    def take_focus(self) -> None:
        """Let the keyboard go to the pupils."""
        self.pupils.setFocus()

    def _show_lessons(self, row: int) -> None:
        self.lessons.clear()
        if self._state.pupils and 0 <= row < len(self._state.pupils):
            shown = self._state.pupils[row]
            for lesson in shown.lessons:
                batches, swings = len(lesson.batches), shown.n_swings[lesson.id]
                words = f"{say_count(batches, '1 batch', '{n} batches')}, {say_count(swings, '1 swing', '{n} swings')}"
                item = QListWidgetItem(
                    f"{say_day(lesson.held_on)}\n{words}" + (f" · {lesson.place}" if lesson.place else "")
                )
                item.setData(_ID, lesson.id)
                self.lessons.addItem(item)

    def _open(self, item: QListWidgetItem) -> None:
        lesson_id = item.data(_ID)
        if lesson_id is None:
            last = self.lessons.item(0)
            lesson_id = last.data(_ID) if last is not None else None
        if lesson_id is not None:
            self._state.open_lesson(lesson_id)

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """Left and right go between the lists."""
        if isinstance(a1, QKeyEvent) and a1.type() == QEvent.Type.KeyPress:
            if a0 is self.pupils and a1.key() == Qt.Key.Key_Right and self.lessons.count():
                self.lessons.setFocus()
                self.lessons.setCurrentRow(max(0, self.lessons.currentRow()))
                return True
            if a0 is self.lessons and a1.key() in (Qt.Key.Key_Left, Qt.Key.Key_Escape):
                self.pupils.setFocus()
                return True
        return super().eventFilter(a0, a1)
