"""The page of a phone's clip: the file is named, Enter measures it, words and picture put it beside the last batch."""

from datetime import date
from html import escape
from pathlib import Path

from PyQt5.QtCore import QEvent, QObject, Qt
from PyQt5.QtGui import QKeyEvent, QTextCursor
from PyQt5.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QLineEdit, QPushButton, QTextBrowser, QVBoxLayout, QWidget

from review.app.drawn_picture import DrawnPicture
from review.app.language import tr
from review.app.look import Look
from review.app.look.page_head import ElidedLabel, KeysLine, PageHead
from review.app.over_years.words import make_speech
from review.app.page import Page
from review.app.phone_clip.pair import PairButton
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task
from review.jobs.history.phone_clip import PhoneClip
from review.jobs.history.phone_showing import draw_beside_for_screen, measure_phone_clip_apart
from review.jobs.history.phone_words import PhoneSaid, say_phone_clip
from review.lesson import Pupil, Purpose
from review.progress import Progress

_CLIPS = "*.mp4 *.mov *.m4v *.avi *.mkv"


class PhoneClipPage(Page):
    """Measures a clip that a pupil filmed; nothing of it is kept."""

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Phone clip"), parent)
        self._state = state
        self._pupil: Pupil | None = None
        self._task: Task | None = None
        self._is_stopping = False
        state.long_line.changed.connect(self._show_progress)
        self.measured: PhoneClip | None = None
        self.title, self._keys = ElidedLabel(tr("Phone clip"), self), KeysLine(parent=self)
        self.title.setObjectName("title")
        where = QLabel(tr("The pupil's clip:"), self)
        self.file = QLineEdit(self)
        self.file.setAccessibleName(tr("The pupil's clip"))
        where.setBuddy(self.file)
        self.choose = QPushButton(tr("Choose (Ctrl+O)"), self)
        self.choose.setAccessibleName(tr("Choose the pupil's clip"))
        self.choose.clicked.connect(self.ask_file)
        self.words = QTextBrowser(self)
        self.words.setAccessibleName(tr("The clip beside the last closed batch"))
        self.words.setTabChangesFocus(True)
        self.words.installEventFilter(self)
        self.picture = DrawnPicture(state, tr("Drawing the clip beside the batch"), self)
        self.picture.setAccessibleName(tr("The first measure: batch and clip"))
        fields, both = QHBoxLayout(), QHBoxLayout()
        self.pair, self.told = PairButton(state, self), QLabel(self)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.told.setWordWrap(True)
        self.pair.told.connect(self._say_pair)
        self.pair.ended.connect(self._end_pair)
        for part in (where, self.file, self.choose, self.pair):
            fields.addWidget(part)
        both.setSpacing(24)
        both.addWidget(self.words, 5)
        both.addWidget(self.picture, 6)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(40, 26, 40, 16)
        layout.setSpacing(12)
        layout.addWidget(PageHead(self.title, self._keys))
        layout.addLayout(fields)
        layout.addLayout(both, 1)
        layout.addWidget(self.told)
        self._say_pair("")

    # what is shown

    def open_pupil(self, pupil: Pupil) -> None:
        """Ask for a clip of a pupil; while one is measured it stays the page of that pupil."""
        if self._task is not None or self.pair.is_writing:
            return
        is_same = self._pupil is not None and self._pupil.id == pupil.id
        self._pupil = pupil
        may = pupil.allows(Purpose.MEASURE, date.today())
        for part in (self.file, self.choose):
            part.setEnabled(may)
        if not (is_same and may and self.measured is not None):
            self.show_measured(None)
            self.title.setText(tr("{name}: a clip from the phone", name=pupil.name))
            self._tell(
                tr("Name the file of one swing. It is measured beside the last closed batch; nothing of it is kept.")
                if may
                else tr("{name} has not agreed to be measured: C on the pupil's page asks.", name=pupil.name)
            )
        self._say_keys()
        self.take_focus()

    def show_measured(self, measured: PhoneClip | None) -> None:
        """Show a clip beside its batch, or none."""
        self.measured = measured
        self.pair.show_measured(measured)
        self._say_pair("")
        if measured is None:
            self.picture.show_drawn(None)
            return
        speech = make_speech()
        said = say_phone_clip(measured, speech)
        self.words.setHtml(_as_html(said))
        self.words.moveCursor(QTextCursor.MoveOperation.Start)

        def draw(place: tuple[float, float | None], letter_px: float, is_dark: bool, fineness: float) -> bytes:
            return draw_beside_for_screen(measured, place, letter_px, is_dark, fineness, say_sentences, speech)

        self.picture.show_drawn(draw if measured.beside else None)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        document = self.words.document()
        if document is not None:
            document.setDocumentMargin(0.6 * look.plain_px)
        self.picture.set_look(look)

    def take_focus(self) -> None:
        """The keyboard belongs to the words once there are some, to the file's name until then."""
        (self.file if self.file.isEnabled() and self.measured is None else self.words).setFocus()

    # what the coach does

    def ask_file(self) -> None:
        """Ask for the file in the usual way."""
        if self._task is not None or self.pair.is_writing or not self.file.isEnabled():
            return
        said, _ = QFileDialog.getOpenFileName(self, tr("The pupil's clip"), "", f"{tr('Clips')} ({_CLIPS})")
        if said:
            self.file.setText(said)
            self.measure()

    def measure(self) -> None:
        """Measure the file named, beside the window."""
        pupil, named, folder = self._pupil, self.file.text().strip(), self._state.library
        if pupil is None or self._task is not None or self.pair.is_writing or not self.file.isEnabled():
            return
        if not named:
            self._tell(tr("Name the file of the clip first, or choose it with Ctrl+O."))
            return

        def work(progress: Progress) -> PhoneClip:
            return measure_phone_clip_apart(folder, pupil.id, Path(named).expanduser(), progress=progress)

        self._task = Task(tr("Measuring the phone clip"), work, self._take, self._fail, on_stopped=self._say_stopped)
        self._is_stopping = False
        self.show_measured(None)
        self._tell(tr("Measuring …"))
        self._say_keys()
        self._state.long_line.add(self._task)

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """Escape is the page's key, not that of the words."""
        if isinstance(a1, QKeyEvent) and a1.type() == QEvent.Type.KeyPress and a1.key() == Qt.Key.Key_Escape:
            self.keyPressEvent(a1)
            return True
        return super().eventFilter(a0, a1)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Measure, choose, write both, stop, go back."""
        if a0 is None:
            return
        is_control = bool(a0.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if a0.key() == Qt.Key.Key_Escape and self._task is not None:
            self._is_stopping = True
            self._tell(tr("Stopping …"))
            self._state.long_line.stop(self._task)
        elif a0.key() == Qt.Key.Key_Escape and self.pair.is_writing:
            self.pair.stop()
        elif a0.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.pair.hasFocus():
            self.pair.ask_file()
        elif a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not self.words.hasFocus():
            self.measure()
        elif a0.key() == Qt.Key.Key_O and is_control:
            self.ask_file()
        elif a0.key() == Qt.Key.Key_S and is_control:
            self.pair.ask_file()
        else:
            super().keyPressEvent(a0)

    # what came of it

    def _show_progress(self) -> None:
        line = self._state.long_line
        done, total = line.progress
        if self._task is not None and line.running is self._task and total and not self._is_stopping:
            self._tell(tr("Measuring … {n}%", n=100 * done // total))

    def _take(self, measured: PhoneClip) -> None:
        self._task = None
        self.show_measured(measured)
        self._say_end(tr("{name}: the phone clip is measured.", name=measured.pupil.name))
        if self.isVisible():
            self.take_focus()

    def _fail(self, why: str) -> None:
        self._task = None
        self._tell(why)
        self._say_end(why)

    def _say_stopped(self) -> None:
        self._task = None
        self._tell(tr("Stopped. Nothing of the clip is kept."))
        self._say_end("")

    def _say_end(self, words: str) -> None:
        """Say it wherever the coach is by now."""
        if words and not self.isVisible():
            self._state.step_told.emit(words)
        self._say_keys()

    def _say_pair(self, words: str) -> None:
        self.told.setText(words)
        self.told.setVisible(bool(words))
        self._say_keys()

    def _end_pair(self, words: str) -> None:
        """Say what became of the video, here and wherever the coach is by now."""
        self._say_pair(words)
        self._say_end(words)

    def _tell(self, text: str) -> None:
        self.words.setPlainText(text)

    def _say_keys(self) -> None:
        if self._task is not None or self.pair.is_writing:
            self._keys.setText(tr("Esc stops"))
        elif self.file.isEnabled():
            self._keys.setText(tr("Enter measures it   Tab to the words, ↑ ↓ further down   Esc back"))
        else:
            self._keys.setText(tr("Esc back"))


def _as_html(said: PhoneSaid) -> str:
    """The words as a text that scrolls; every one of them is told, none is markup."""
    parts = [f"<h4>{escape(said.title)}</h4>", *(f"<p>{escape(line)}</p>" for line in said.alike)]
    parts += [f"<p><b>{escape(note)}</b></p>" for note in said.notes]
    parts.append(f"<h4>{escape(tr('What cannot be told from this clip'))}</h4>")
    parts += [f"<p>{escape(line)}</p>" for line in said.untold]
    return "".join(parts)
