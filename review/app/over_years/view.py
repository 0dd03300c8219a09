"""The page of one pupil's years: words on the left, the picture of one measure on the right."""

from html import escape
from typing import Any

from PyQt5.QtCore import QEvent, QObject, Qt, QTimer
from PyQt5.QtGui import QKeyEvent, QPixmap, QResizeEvent, QTextCursor
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QTextBrowser, QVBoxLayout, QWidget

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

_LETTERS = 27
"""A picture is at least so many letters wide and high."""


class YearsPage(Page):
    """Shows one measure over all lessons of a pupil; left and right choose another measure."""

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("The pupil over the years"), parent)
        self._state = state
        self._look: Look | None = None
        self._pupil_id = ""
        self._asked: tuple[object, ...] = ()
        self.history: History | None = None
        self.title = ElidedLabel(tr("The pupil over the years"), self)
        self.title.setObjectName("title")
        keys = KeysLine(tr("← → another measure   ↑ ↓ further down   Esc back"), self)
        self.words = QTextBrowser(self)
        self.words.setAccessibleName(tr("What the lessons came to"))
        self.words.installEventFilter(self)
        self.picture = QLabel(self)
        self.picture.setAccessibleName(tr("The measure over the years"))
        self.picture.setAlignment(Qt.Alignment(Qt.AlignmentFlag.AlignLeft) | Qt.AlignmentFlag.AlignTop)
        self.picture.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self.picture.setMinimumSize(1, 1)
        both = QHBoxLayout()
        both.setSpacing(24)
        both.addWidget(self.words, 5)
        both.addWidget(self.picture, 6)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(40, 26, 40, 16)
        layout.addWidget(PageHead(self.title, keys))
        layout.addLayout(both, 1)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._draw)

    def open_pupil(self, pupil_id: str, key: MeasureKey | None = None) -> None:
        """Show a pupil's years, by default in the first measure of the latest aim."""
        folder = self._state.library
        if key is None:
            self.history = None
            self.title.setText(tr("The pupil over the years"))
            self.picture.clear()
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
        self._look = look
        document = self.words.document()
        if document is not None:
            document.setDocumentMargin(0.6 * look.plain_px)
        self._say()
        self._soon.start()

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

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """The picture follows the window."""
        super().resizeEvent(a0)
        self._soon.start()

    def showEvent(self, a0: Any) -> None:
        """Draw what has changed since."""
        super().showEvent(a0)
        self._soon.start()

    def _take(self, history: History) -> None:
        if history.pupil.id == self._pupil_id:
            self.history = history
            self._say()
            self._draw()

    def _say(self) -> None:
        if self.history is not None:
            said = say_history(self.history, make_speech())
            self.title.setText(said.title)
            self.words.setHtml(_as_html(said))
            self.words.moveCursor(QTextCursor.MoveOperation.Start)

    def _tell(self, text: str) -> None:
        self.words.setPlainText(text)

    def _draw(self) -> None:
        """Have the picture drawn beside the window, as large as its place."""
        history, look = self.history, self._look
        width, height = self.picture.width(), self.picture.height()
        asked = (id(history), look, width, height)
        if history is None or look is None or not self.isVisible() or asked == self._asked:
            return
        self._asked = asked
        letter_px = min(float(look.quiet_px), width / _LETTERS, max(height / _LETTERS, 7.0))
        place = width, float(height) if height >= _LETTERS * letter_px else None
        fineness, speech = self.devicePixelRatioF(), make_speech()

        def work(_: Any) -> Any:
            drawn = draw_history_for_screen(
                history, place, letter_px, look.theme.is_dark, fineness, say_sentences, speech
            )
            return asked, drawn

        self._state.line.add(Task(tr("Drawing the years"), work, self._show, self._state.trouble_came.emit))

    def _show(self, drawn: tuple[tuple[object, ...], bytes]) -> None:
        asked, png = drawn
        if asked == self._asked:
            whole = QPixmap()
            whole.loadFromData(png, "PNG")
            whole.setDevicePixelRatio(self.devicePixelRatioF())
            self.picture.setPixmap(whole)


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
