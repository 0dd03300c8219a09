"""The page that looks at a device's table: its columns with what they would be read as, how sure, and why."""

from pathlib import Path

from PyQt5.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt5.QtGui import QDragEnterEvent, QDropEvent, QKeyEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QListWidget, QVBoxLayout, QWidget

from review.app.language import say_count, tr
from review.app.look import Look
from review.app.look.page_head import KeysLine
from review.app.look.two_lines import TwoLines
from review.app.page import Page
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.tables.beside import Beside
from review.app.tables.lines import Line, LineKind, make_lines, say_choice, say_state
from review.app.tables.looking import TableLooking
from review.jobs.adding import Added
from review.shots.columns import KEPT_AS_TEXT


class TablesPage(Page):
    """Drop a table on it, or write where it lies; Enter on a line changes it; ``mat_asked`` where it is a mat's."""

    mat_asked = pyqtSignal(object)

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("A device's table"), parent)
        self.setAcceptDrops(True)
        self._state = state
        self.looking = TableLooking(state, self)
        self._title, self.state_said, self.refusal, hint = *(QLabel(self) for _ in range(3)), KeysLine(parent=self)
        self._title.setObjectName("title")
        self.refusal.setObjectName("refusal")
        hint.setObjectName("quiet")
        hint.setText(
            tr("Enter change   F flip sign   X leave out   K keep   A add to the lesson   O other table   Esc")
        )
        for label in (self._title, self.state_said, self.refusal):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
        self.list = QListWidget(self)
        self.list.setAccessibleName(tr("Columns"))
        self._delegate = TwoLines(self)
        self.list.setItemDelegate(self._delegate)
        self.beside = Beside(self.looking, self)
        middle = QHBoxLayout()
        middle.setSpacing(30)
        middle.addWidget(self.list, 5)
        middle.addWidget(self.beside, 3)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(40, 26, 40, 16)
        layout.setSpacing(12)
        layout.addWidget(self._title)
        layout.addWidget(self.state_said)
        layout.addLayout(middle, 1)
        layout.addWidget(self.refusal)
        layout.addWidget(hint)
        self.lines: tuple[Line, ...] = ()
        self.list.installEventFilter(self)
        self.list.currentRowChanged.connect(lambda _: self._show_more())
        self.list.itemDoubleClicked.connect(lambda _: self._change())
        self.beside.asked.connect(self._asked)
        self.beside.settled.connect(self._settled)
        self.beside.refused.connect(self.refuse)
        self.beside.path_given.connect(self.open_table)
        self.looking.changed.connect(self._fill)
        self.looking.refused.connect(self.refuse)
        self.looking.kept.connect(self._say_kept)
        self.looking.mat_found.connect(self.mat_asked)
        self.looking.added.connect(self._say_added)
        self.refuse("")
        self._fill()
        self.beside.ask_path()

    def set_look(self, look: Look) -> None:
        """Take on a look; the coach's page, so lines are smaller than what a pupil reads."""
        self._delegate.look = Look(look.theme, look.plain_px, look.plain_px, look.quiet_px)
        self.list.doItemsLayout()

    def take_focus(self) -> None:
        """Let the keyboard go to the list, or to what is asked."""
        asking = self.beside.currentWidget() if self.beside.is_asking else None
        (self.list if asking is None else asking).setFocus()

    def open_table(self, path: Path) -> None:
        """Look at a table."""
        self.refuse("")
        self.looking.open_table(path)

    def refuse(self, why: str) -> None:
        """Say why something was not done; '' takes it away."""
        self.refusal.setText(say_sentences(why))
        self.refusal.setVisible(bool(why))

    # what is shown

    def _fill(self) -> None:
        looked, row = self.looking.looked, self.list.currentRow()
        was = self.lines[row] if 0 <= row < len(self.lines) else None
        self.lines = () if looked is None else make_lines(looked)
        self.list.clear()
        self.list.addItems([f"{line.first}\n{line.more}" for line in self.lines])
        same = [n for n, line in enumerate(self.lines) if was and (line.kind, line.key) == (was.kind, was.key)]
        self.list.setCurrentRow(same[0] if same else 0)
        if looked is None:
            self._title.setText(tr("A device's table"))
            self.state_said.setText(tr("Drop it here, or write where it lies: CSV, TSV, XLSX, ODS or JSON."))
        else:
            self.refuse("")
            self._title.setText("" if self.looking.path is None else self.looking.path.name)
            told = [note for note in looked.notes if not note.startswith(KEPT_AS_TEXT)]
            self.state_said.setText("\n".join((say_state(looked), *map(say_sentences, told))))
            self.state_said.setWordWrap(True)
            if self.beside.is_asking:  # where it lies is answered
                self.beside.settle()

    def _line(self) -> Line | None:
        row = self.list.currentRow()
        return self.lines[row] if 0 <= row < len(self.lines) else None

    def _show_more(self) -> None:
        line, looked = self._line(), self.looking.looked
        if line is None or looked is None:
            self.beside.more.setText("")
            return
        said = [line.first, "", line.more]
        if line.kind is LineKind.DOUBT:
            said += ["", _say_way_out()]
        if line.kind is LineKind.COLUMN:
            column = next(c for c in looked.proposal.columns if c.header == line.key)
            said = [line.first, "", line.more.replace(" · ", "\n"), ""]
            said += [tr("It may be: {what}", what=say_choice(choice)) for choice in column.choices]
        notes = [say_sentences(note) for note in looked.notes if line.key in note]
        self.beside.more.setText("\n".join([*said, *notes]))

    def _change(self) -> None:
        line = self._line()
        if line is not None and line.kind is LineKind.DOUBT:
            self.refuse(_say_way_out())
        elif line is not None:
            self.refuse("")
            self.beside.ask_line(line)

    def _asked(self) -> None:
        if self.isVisible():
            self.take_focus()

    def _settled(self) -> None:
        if self.looking.path is None:  # nothing was looked at yet
            self.left.emit()
        elif self.isVisible():
            self.take_focus()

    # what came of it

    def _say_kept(self, name: str) -> None:
        self.state_said.setText(tr("Kept as {name}: tables with these columns are read so from now on.", name=name))

    def _add(self) -> None:
        lesson = self._state.lesson
        if lesson is None:
            self.refuse(tr("Open the lesson these shots are of first, then come back here."))
        elif self.looking.looked is not None and self.looking.looked.proposal.questions and not self.looking.name:
            self.refuse(tr("Answer what is marked ? and keep it (K) first."))
        elif self.looking.is_said:
            self.refuse(tr("Keep what you said of it first (K): it is read so from then on."))
        else:
            self.looking.add(lesson.lesson.id)

    def _say_added(self, added: Added) -> None:
        rows = say_count(added.n_new_shots, "1 new row", "{n} new rows")
        questions = len(added.matched.questions) + len(added.questions)
        said = [tr("Added to the lesson: {rows}.", rows=rows)]
        if questions:
            said.append(say_count(questions, "1 question about it.", "{n} questions about it."))
        self.state_said.setText(" ".join((*said, *map(say_sentences, (*added.questions, *added.notes)))))
        self._state.open_lesson(added.lesson.id)

    # what Qt tells

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """Letters in the list are the page's keys."""
        if (
            isinstance(a1, QKeyEvent)
            and a1.type() == QEvent.Type.KeyPress
            and a0 is self.list
            and self._press(a1.key())
        ):
            return True
        return super().eventFilter(a0, a1)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """The same where the keyboard is on the page itself."""
        if a0 is not None and not self._press(a0.key()):
            super().keyPressEvent(a0)

    def _press(self, key: int) -> bool:
        line = self._line()
        is_column = line is not None and line.kind is LineKind.COLUMN
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._change()
        elif key == Qt.Key.Key_F and line is not None and is_column:
            self.looking.flip(line.key)
        elif key == Qt.Key.Key_X and line is not None and is_column:
            self.looking.say_column(line.key, "ignore")
        elif key == Qt.Key.Key_K:
            self.beside.ask_name()
        elif key == Qt.Key.Key_A:
            self._add()
        elif key == Qt.Key.Key_O:
            self.beside.ask_path()
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            return False
        return True

    def dragEnterEvent(self, a0: QDragEnterEvent | None) -> None:
        """One file can be dropped."""
        data = None if a0 is None else a0.mimeData()
        if a0 is not None and data is not None and len(data.urls()) == 1 and data.urls()[0].isLocalFile():
            a0.acceptProposedAction()

    def dropEvent(self, a0: QDropEvent | None) -> None:
        """Look at the file that was dropped."""
        data = None if a0 is None else a0.mimeData()
        if data is not None and data.urls():
            self.open_table(Path(data.urls()[0].toLocalFile()))


def _say_way_out() -> str:
    """What to do about columns that do not go together."""
    return tr(
        "On the columns it is about: F turns the sign round, Enter says what they are. Right as it is: K keeps it."
    )
