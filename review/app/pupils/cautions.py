"""The usual cautions at the start of a lesson, and the balls there were so far."""

from collections.abc import Callable

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QLabel, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look.choice import MANY_BALLS
from review.app.page import Page
from review.app.pupils.caution_words import list_cautions, say_balls, step_many


class Cautions(Page):
    """Shows them until Enter, Space or Esc; + and − set how many balls are many (``many_chosen``).

    ``count`` says how many balls the lesson has had.
    """

    many_chosen = pyqtSignal(int)

    def __init__(self, count: Callable[[], int], many: int = MANY_BALLS, parent: QWidget | None = None) -> None:
        super().__init__(tr("Before the first ball"), parent)
        self._count, self.many = count, many
        self._n_balls = 0
        title, hint = QLabel(tr("Before the first ball"), self), QLabel(self)
        title.setObjectName("title")
        hint.setObjectName("quiet")
        hint.setText(tr("Enter goes on   + − how many balls are many"))
        self.balls, self._many = QLabel(self), QLabel(self)
        self.balls.setObjectName("number")
        self._many.setObjectName("quiet")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(40, 26, 40, 16)
        layout.setSpacing(14)
        layout.addWidget(title)
        for text in list_cautions():
            line = QLabel(f"–  {text}", self)
            line.setWordWrap(True)
            layout.addWidget(line)
        layout.addSpacing(10)
        layout.addWidget(self.balls)
        layout.addWidget(self._many)
        layout.addStretch(1)
        layout.addWidget(hint)
        self.balls.setWordWrap(True)
        self.setAccessibleDescription(" ".join(list_cautions()))
        self.renew()

    def renew(self) -> None:
        """Count the balls anew."""
        self.show_balls(self._count())

    def show_balls(self, n_balls: int) -> None:
        """Show how many balls there were so far in this lesson."""
        self._n_balls = n_balls
        self.balls.setText(say_balls(n_balls, self.many))
        self._many.setText(tr("Many from {many} balls on: that is your number, there is no known one.", many=self.many))

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Read, or another number."""
        if a0 is None:
            return
        key = a0.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space, Qt.Key.Key_Escape):
            self.left.emit()
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Minus):
            self.many = step_many(self.many, 1 if key == Qt.Key.Key_Plus else -1)
            self.show_balls(self._n_balls)
            self.many_chosen.emit(self.many)
        else:
            super().keyPressEvent(a0)
