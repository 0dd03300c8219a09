"""The quiet page the window starts with: pupils, who was taught last first, and the chosen one's lessons."""

from PyQt5.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from review.app.language import say_count, say_day, tr
from review.app.look import Look
from review.app.look.page_head import KeysLine
from review.app.look.two_lines import TwoLines
from review.app.page import Page
from review.app.state import ReviewState

_ID = int(Qt.ItemDataRole.UserRole)
_PUPIL = _ID + 1


class StartPage(Page):
    """Choose a pupil and a lesson: Enter on a pupil opens the last lesson, Right goes to the earlier ones.

    Space asks for the pupil's own page, + for a new one, / for the search.
    """

    pupil_asked = pyqtSignal(str)
    new_asked = pyqtSignal()
    search_asked = pyqtSignal()

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Pupils and lessons"), parent)
        self._state = state
        self._wanted: str | None = None
        self._title, self._hint, self._empty = QLabel(self), KeysLine(parent=self), QLabel(self)
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
        state.lesson_changed.connect(self._choose_taught)
        self.fill()

    def fill(self) -> None:
        """Fill the lists from the state."""
        known = self._state.pupils
        self._title.setText(tr("Whose lesson?"))
        self._hint.setText(
            tr(
                "↑ ↓ choose   Enter last lesson   → earlier   Space the pupil   + new   / search   "
                "F10 begin a lesson   ? keys"
            )
        )
        self._empty.setVisible(not known)
        self._empty.setText(
            tr("Reading the library …") if known is None else tr("No pupil yet: + writes one in, F10 begins a lesson.")
        )
        for part in (self.pupils, self.lessons):
            part.setVisible(bool(known))
        self._hint.setVisible(known is not None)
        chosen = self._wanted or self.chosen_pupil
        self.pupils.clear()
        for shown in known or ():
            if shown.lessons:
                words = tr("last lesson {day}", day=say_day(shown.lessons[0].held_on))
            else:
                words = tr("no lesson yet")
            item = QListWidgetItem(f"{shown.pupil.name}\n{words}")
            item.setData(_PUPIL, shown.pupil.id)
            self.pupils.addItem(item)
        self.choose(chosen)

    @property
    def chosen_pupil(self) -> str | None:
        """Id of the pupil that is chosen."""
        item = self.pupils.currentItem()
        return None if item is None else str(item.data(_PUPIL))

    def choose(self, pupil_id: str | None) -> None:
        """Choose a pupil, as soon as there is one of this id; until then the first one."""
        ids = [shown.pupil.id for shown in self._state.pupils or ()]
        self._wanted = pupil_id if pupil_id not in ids else None
        self.pupils.setCurrentRow(ids.index(pupil_id) if pupil_id in ids else 0)

    def _choose_taught(self) -> None:
        """Whose lesson is open is the one who is chosen when the coach comes back."""
        if self._state.lesson is not None:
            self.choose(self._state.lesson.pupil.id)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._delegate.look = look
        for shown in (self.pupils, self.lessons):
            shown.doItemsLayout()

    def take_focus(self) -> None:
        """Let the keyboard go to the pupils."""
        (self.pupils if self._state.pupils else self).setFocus()

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
        """Left and right go between the lists; Space and + are not for finding a name."""
        if isinstance(a1, QKeyEvent) and a1.type() == QEvent.Type.KeyPress:
            if a1.key() in (Qt.Key.Key_Space, Qt.Key.Key_Plus, Qt.Key.Key_Slash):
                self.keyPressEvent(a1)
                return True
            if a0 is self.pupils and a1.key() == Qt.Key.Key_Right and self.lessons.count():
                self.lessons.setFocus()
                self.lessons.setCurrentRow(max(0, self.lessons.currentRow()))
                return True
            if a0 is self.lessons and a1.key() in (Qt.Key.Key_Left, Qt.Key.Key_Escape):
                self.pupils.setFocus()
                return True
        return super().eventFilter(a0, a1)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Ask for the page of the pupil that is chosen, or for a new one."""
        if a0 is not None and a0.key() == Qt.Key.Key_Space and self.chosen_pupil is not None:
            self.pupil_asked.emit(self.chosen_pupil)
        elif a0 is not None and a0.key() == Qt.Key.Key_Slash:
            self.search_asked.emit()
        elif a0 is not None and a0.key() == Qt.Key.Key_Plus:
            self.new_asked.emit()
        else:
            super().keyPressEvent(a0)
