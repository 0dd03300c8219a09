"""The part of the page that measures the library again by a newer method: what changes is read, then answered."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QListWidget, QPushButton, QVBoxLayout, QWidget

from review.app.keeping_house.again_words import say_accepted, say_change, say_measured, say_waiting
from review.app.language import say_count, tr
from review.app.state import ReviewState
from review.app.worker import Task, Work
from review.progress import Progress

if TYPE_CHECKING:  # loaded beside the window
    from review.jobs.keeping_house.answering import Waiting
    from review.jobs.keeping_house.measuring_again import Accepted, Again

Do = Callable[[str, Work, Callable[[Any], None], str], None]
"""Does work in the page's line: its name, the work, what is done with its outcome, what is said if it was stopped."""


class AgainPart(QWidget):
    """``do`` works in the page's line, ``tell`` says what came of it; both answers are asked twice."""

    def __init__(self, state: ReviewState, do: Do, tell: Callable[[str], None], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state, self._do, self._tell = state, do, tell
        self.waiting: Waiting | None = None
        self._sure: QPushButton | None = None
        self.words, self.list = QLabel(self), QListWidget(self)
        self.words.setWordWrap(True)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setAccessibleName(tr("What the newer method changes"))
        self.measure, self.take, self.drop = QPushButton(self), QPushButton(self), QPushButton(self)
        buttons = QHBoxLayout()
        for button, press in (
            (self.measure, self.measure_again),
            (self.take, lambda: self._when_sure(self.take, self.accept)),
            (self.drop, lambda: self._when_sure(self.drop, self.let_go)),
        ):
            button.clicked.connect(press)
            buttons.addWidget(button)
        buttons.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.words)
        layout.addWidget(self.list, 100)
        layout.addLayout(buttons)
        layout.addStretch(1)
        self._ask(None)
        self._show()

    def look(self) -> None:
        """Look what waits."""
        folder = self._state.library
        self._ask(None)

        def work(_: Progress) -> Waiting:
            from review.jobs.keeping_house.answering import show_waiting

            return show_waiting(folder)

        self._state.line.add(Task(tr("Looking at the library"), work, self._take, self._state.trouble_came.emit))

    def measure_again(self) -> None:
        """Measure what is of an older method; nothing changes by that."""
        folder = self._state.library

        def work(progress: Progress) -> tuple[Again, Waiting]:
            from review.jobs.keeping_house.answering import measure_and_show

            return measure_and_show(folder, progress)

        def done(found: tuple[Again, Waiting]) -> None:
            self._take(found[1])
            self._tell(say_measured(*found))

        stopped = tr("Stopped. Nothing has changed; the next time it goes on where it was.")
        self._do(tr("Measuring again"), work, done, stopped)

    def accept(self) -> None:
        """Put the new numbers in the place of the old."""
        folder = self._state.library

        def work(progress: Progress) -> Accepted:
            from review.jobs.keeping_house.answering import accept_waiting

            return accept_waiting(folder, progress)

        stopped = tr("Stopped. Some lessons have the new numbers, those of the others still wait.")
        self._do(tr("Taking the new numbers"), work, lambda done: self._say_taken(say_accepted(done)), stopped)

    def let_go(self) -> None:
        """Let go of the new numbers."""
        folder = self._state.library

        def work(_: Progress) -> int:
            from review.jobs.keeping_house.answering import drop_waiting

            return drop_waiting(folder)

        def done(n: int) -> None:
            self._tell(tr("Let go: new numbers of {swings}.", swings=say_count(n, "1 swing", "{n} swings")))

        self._do(tr("Letting the new numbers go"), work, done, tr("Stopped."))

    def _say_taken(self, words: str) -> None:
        if self._state.lesson is not None:
            self._state.renew_from_library(self._state.lesson.lesson.id)
        self._tell(words)

    def _when_sure(self, button: QPushButton, do: Callable[[], None]) -> None:
        if self._sure is button:
            self._ask(None)
            do()
        else:
            self._ask(button)

    def _ask(self, sure: QPushButton | None) -> None:
        """Ask on the button itself whether it is meant, or no longer."""
        self._sure = sure
        for button, words, once_more in (
            (self.measure, tr("Measure again by today's method"), ""),
            (self.take, tr("Take the new numbers …"), tr("The old ones are gone then: once more")),
            (self.drop, tr("Let the new ones go …"), tr("The new ones are gone then: once more")),
        ):
            button.setText(once_more if button is sure else words)
            button.setAccessibleName(button.text())

    def _take(self, waiting: Waiting) -> None:
        self.waiting = waiting
        self._show()

    def _show(self) -> None:
        waiting = self.waiting
        self.words.setText("" if waiting is None else say_waiting(waiting))
        self.words.setVisible(bool(self.words.text()))
        self.list.clear()
        self.list.addItems([] if waiting is None else [say_change(change) for change in waiting.changes])
        self.list.setCurrentRow(0)
        is_any = waiting is not None and waiting.n_swings > 0
        for part in (self.list, self.take, self.drop):
            part.setVisible(is_any)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Enter presses the button that has the keyboard; Esc takes a question back."""
        if a0 is None:
            return
        pressed = [button for button in (self.measure, self.take, self.drop) if button.hasFocus()]
        if a0.key() == Qt.Key.Key_Escape and self._sure is not None:
            self._ask(None)
        elif a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and pressed:
            pressed[0].click()
        else:
            super().keyPressEvent(a0)
