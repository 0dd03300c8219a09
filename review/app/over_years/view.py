"""The page of one pupil's years: words on the left, the picture of one measure on the right."""

from functools import partial
from html import escape

from PyQt5.QtCore import QEvent, QObject, Qt
from PyQt5.QtGui import QKeyEvent, QTextCursor
from PyQt5.QtWidgets import QHBoxLayout, QTextBrowser, QVBoxLayout, QWidget

from review.app.drawn_picture import DrawnPicture
from review.app.language import tr
from review.app.look import Look
from review.app.look.page_head import ElidedLabel, KeysLine, PageHead
from review.app.over_years.words import make_speech
from review.app.page import Page
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task
from review.compare import MeasureKey
from review.jobs.history.reading import History
from review.jobs.history.showing import draw_history_for_screen, show_history
from review.jobs.history.words import HistorySaid, say_history


class YearsPage(Page):
    """Shows one measure over all lessons of a pupil; left and right choose another measure."""

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("The pupil over the years"), parent)
        self._state = state
        self._pupil_id = ""
        self.history: History | None = None
        self.title = ElidedLabel(tr("The pupil over the years"), self)
        self.title.setObjectName("title")
        keys = KeysLine(tr("← → another measure   ↑ ↓ further down   Esc back"), self)
        self.words = QTextBrowser(self)
        self.words.setAccessibleName(tr("What the lessons came to"))
        self.words.installEventFilter(self)
        self.picture = DrawnPicture(state, tr("Drawing the years"), self)
        self.picture.setAccessibleName(tr("The measure over the years"))
        both = QHBoxLayout()
        both.setSpacing(24)
        both.addWidget(self.words, 5)
        both.addWidget(self.picture, 6)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(40, 26, 40, 16)
        layout.addWidget(PageHead(self.title, keys))
        layout.addLayout(both, 1)

    def open_pupil(self, pupil_id: str, key: MeasureKey | None = None) -> None:
        """Show a pupil's years, by default in the first measure of the latest aim."""
        folder = self._state.library
        if key is None:
            self.history = None
            self.title.setText(tr("The pupil over the years"))
            self.picture.show_drawn(None)
            self._tell(tr("Reading the years …"))
        self._pupil_id = pupil_id

        def fail(why: str) -> None:
            if pupil_id == self._pupil_id:
                self._tell(say_sentences(why))

        self._state.line.add(
            Task(tr("Reading the years"), lambda _: show_history(folder, pupil_id, key), self._take, fail)
        )

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self.picture.set_look(look)
        document = self.words.document()
        if document is not None:
            document.setDocumentMargin(0.6 * look.plain_px)
        self._say()

    def take_focus(self) -> None:
        """Let the keyboard go to the words, which it moves."""
        self.words.setFocus()

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """Left, right and Escape are the page's keys, not those of the words."""
        own = (Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Escape)
        if isinstance(a1, QKeyEvent) and a1.type() == QEvent.Type.KeyPress and a1.key() in own:
            self.keyPressEvent(a1)
            return True
        return super().eventFilter(a0, a1)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Another measure, or back."""
        key, history = None if a0 is None else a0.key(), self.history
        if key == Qt.Key.Key_Escape:
            self.left.emit()
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right) and history is not None:
            step = 1 if key == Qt.Key.Key_Right else -1
            place = (history.choices.index(history.key) + step) % len(history.choices)
            self.open_pupil(self._pupil_id, history.choices[place])
        else:
            super().keyPressEvent(a0)

    def _take(self, history: History) -> None:
        if history.pupil.id == self._pupil_id:
            self.history = history
            self._say()
            self.picture.show_drawn(partial(draw_history_for_screen, history, say=say_sentences, speech=make_speech()))

    def _say(self) -> None:
        if self.history is not None:
            said = say_history(self.history, make_speech())
            self.title.setText(said.title)
            self.words.setHtml(_as_html(said))
            self.words.moveCursor(QTextCursor.MoveOperation.Start)

    def _tell(self, text: str) -> None:
        self.words.setPlainText(text)


def _as_html(said: HistorySaid) -> str:
    """The words as a text that scrolls; every one of them is told, none is markup."""
    parts = [f"<p>{escape(line)}</p>" for line in said.summary]
    if said.cues:
        parts.append(f"<h4>{escape(tr('What moved it, the surest first'))}</h4>")
        parts += [f"<p>{escape(line)}</p>" for line in said.cues]
    for visit in said.visits:
        parts.append(f"<h4>{escape(' · '.join(filter(None, (visit.day, visit.aim))))}</h4>")
        parts += [f"<p>{escape(line)}</p>" for line in visit.lines]
    parts += [f"<p><i>{escape(note)}</i></p>" for note in said.notes]
    return "".join(parts)
