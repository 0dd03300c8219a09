"""The list of open questions: Y, N, or another row."""

from typing import Any

from PyQt5.QtCore import QEvent, QObject, Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QLabel, QListWidget, QVBoxLayout, QWidget

from review.app.language import say_count, tr
from review.app.look import Look
from review.app.look.two_lines import TwoLines
from review.app.page import Page
from review.app.questions.asked import OpenQuestions
from review.app.sentences import say_sentences
from review.app.tables.asking import AskText


class QuestionsPage(Page):
    """Shows the questions of the lesson; ``left`` when the coach goes back to it."""

    def __init__(self, questions: OpenQuestions, parent: QWidget | None = None) -> None:
        super().__init__(tr("Open questions"), parent)
        self._questions = questions
        self.title, self.why, self.refusal, self._hint = (QLabel(self) for _ in range(4))
        for label, name in ((self.title, "title"), (self.refusal, "refusal"), (self._hint, "quiet")):
            label.setObjectName(name)
        for label in (self.title, self.why, self.refusal):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.list = QListWidget(self)
        self.list.setAccessibleName(tr("Open questions"))
        self._delegate = TwoLines(self)
        self.list.setItemDelegate(self._delegate)
        self.row = AskText(self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(40, 26, 40, 16)
        layout.setSpacing(12)
        for part in (self.title, self.list, self.why, self.row, self.refusal, self._hint):
            layout.addWidget(part)
        layout.setStretch(1, 1)
        self.list.installEventFilter(self)
        self.list.currentRowChanged.connect(lambda _: self._show_why())
        self.row.answered.connect(self._take_row)
        self.row.left.connect(self._end_row)
        questions.changed.connect(self._fill)
        questions.refused.connect(self._refuse)
        self.row.hide()
        self._refuse("")
        self._fill()

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._delegate.look = look
        self.list.doItemsLayout()

    def take_focus(self) -> None:
        """Let the keyboard go to the list."""
        (self.row if not self.row.isHidden() else self.list).setFocus()

    def _fill(self) -> None:
        found, row = self._questions.found, self.list.currentRow()
        self.list.clear()
        asked = () if found is None else found.asked
        for question in asked:
            first = tr("Swing {n} and row {row}: one shot?", n=question.swing, row=question.row)
            sure = tr("{n} % likely · {clip}", n=f"{min(question.probability, 0.99):.0%}"[:-1], clip=question.clip_name)
            self.list.addItem(f"{first}\n{sure}")
        self.list.setCurrentRow(max(0, min(row, len(asked) - 1)))
        self.title.setText(
            say_count(len(asked), "1 open question", "{n} open questions") if asked else tr("Nothing to ask")
        )
        keys = tr("Y they belong together   N no row   R another row   Esc back") if asked else tr("Esc back")
        self._hint.setText(keys)
        self._refuse("")
        self._show_why()

    def _chosen(self) -> Any:
        found, row = self._questions.found, self.list.currentRow()
        return found.asked[row] if found is not None and 0 <= row < len(found.asked) else None

    def _show_why(self) -> None:
        question = self._chosen()
        self.why.setText("" if question is None else say_sentences(question.why))

    def _refuse(self, why: str) -> None:
        self.refusal.setText(why)
        self.refusal.setVisible(bool(why))

    def _ask_row(self) -> None:
        question = self._chosen()
        self.row.ask(tr("Which row of the table is swing {n}?", n=question.swing))
        self.row.show()
        self.row.setFocus()

    def _take_row(self, said: str) -> None:
        question = self._chosen()
        if not said.isdigit():
            self._refuse(tr("Expected the number of a row, found {said}.", said=said or "–"))
        elif question is not None:
            self._end_row()
            self._questions.answer(question, int(said))

    def _end_row(self) -> None:
        self.row.hide()
        self.list.setFocus()

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """Letters in the list are answers."""
        if (
            isinstance(a1, QKeyEvent)
            and a1.type() == QEvent.Type.KeyPress
            and a0 is self.list
            and not a1.modifiers() & Qt.KeyboardModifier.ControlModifier
            and self._press(a1.key())
        ):
            return True
        return super().eventFilter(a0, a1)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """The same where the keyboard is on the page itself."""
        if a0 is not None and (a0.modifiers() & Qt.KeyboardModifier.ControlModifier or not self._press(a0.key())):
            super().keyPressEvent(a0)

    def _press(self, key: int) -> bool:
        question = self._chosen()
        if key == Qt.Key.Key_Escape:
            self.left.emit()
        elif key == Qt.Key.Key_Y and question is not None:
            self._questions.answer(question, question.row)
        elif key == Qt.Key.Key_N and question is not None:
            self._questions.answer(question, None)
        elif key == Qt.Key.Key_R and question is not None:
            self._ask_row()
        else:
            return False
        return True
