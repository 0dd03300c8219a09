"""A pupil's page: at a glance, and the forms that correct, ask for consent, keep a note, forget."""

from collections.abc import Callable
from datetime import date
from functools import partial

from PyQt5.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.page import Page
from review.app.pupils.consent_form import ConsentForm
from review.app.pupils.details_form import DetailsForm
from review.app.pupils.drafts import Drafts
from review.app.pupils.forget_form import ForgetForm
from review.app.pupils.form import Form
from review.app.pupils.keeping import Keeping
from review.app.pupils.known import Known
from review.app.pupils.note_form import NoteForm
from review.app.pupils.overview import Overview
from review.app.pupils.words import say_consent_kept
from review.app.state import ReviewState
from review.jobs.showing.pupils import PupilShown
from review.lesson import Pupil

_LIST_KEYS = (
    *(Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Home, Qt.Key.Key_End),
    *(Qt.Key.Key_PageUp, Qt.Key.Key_PageDown, Qt.Key.Key_Tab, Qt.Key.Key_Backtab),
)


class PupilPage(Page):
    """Shows one pupil, or asks who a new one is; ``left`` when the coach goes back to all pupils.

    ``returned`` when only the consent was asked for, and the coach goes back to where that was; ``years_asked`` for the
    pupil's years, ``clip_asked`` for a clip from the phone of a pupil.
    """

    returned = pyqtSignal()
    years_asked = pyqtSignal(str)
    clip_asked = pyqtSignal(object)

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Pupil"), parent)
        self._state = state
        self._known = Known(state, self)
        self._known.came.connect(self._take)
        self._known.grew.connect(self._refresh)
        self._is_for_consent = self._is_lesson_gone = False
        self._drafts = Drafts()
        self.overview = Overview(self)
        self.details, self.consent, self.note = DetailsForm(self), ConsentForm(self), NoteForm(self)
        self.forgetting = ForgetForm(state, self)
        self.parts = QStackedWidget(self)
        for part in (self.overview, self.details, self.consent, self.note, self.forgetting):
            self.parts.addWidget(part)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(40, 26, 40, 16)
        layout.addWidget(self.parts)
        self._keeping = Keeping(state, self._take_details, self._take_consent, self._renewed)
        self.details.kept.connect(
            lambda: self._keeping.keep_details(self.details, None if self.shown is None else self.shown.pupil)
        )
        self.consent.kept.connect(self._keep_consent)
        self.note.kept.connect(self._keep_note)
        for form in (self.details, self.consent, self.forgetting):
            form.left.connect(self._go_back)
        self.forgetting.asked.connect(lambda: self._show(self.forgetting))
        self.forgetting.forgotten.connect(self._forgotten)
        self.overview.lessons.itemDoubleClicked.connect(lambda _: self._open_lesson())
        self.overview.lessons.installEventFilter(self)

    @property
    def shown(self) -> PupilShown | None:
        """The pupil, None while nobody is read."""
        return self._known.shown

    # what is shown

    def open_pupil(self, pupil_id: str, for_consent: bool = False) -> None:
        """Show a pupil of the library, or only ask for the consent."""
        self._is_for_consent = for_consent
        self._known.read(pupil_id)

    def ask_new(self) -> None:
        """Ask who a new pupil is."""
        self._known.clear()
        self._is_for_consent = False
        self._fill(self.details, partial(self.details.show_pupil, None))

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self.overview.set_look(look)

    def take_focus(self) -> None:
        """Let the keyboard go to what is shown."""
        part = self.parts.currentWidget()
        if isinstance(part, Form):
            part.take_focus()
        else:
            self.overview.lessons.setFocus()

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """Letters in the list of lessons are the page's keys, not for finding a lesson."""
        if isinstance(a1, QKeyEvent) and a1.type() == QEvent.Type.KeyPress and a1.key() not in _LIST_KEYS:
            self.keyPressEvent(a1)
            return True
        return super().eventFilter(a0, a1)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Keys of the page at a glance."""
        if a0 is None or self.parts.currentWidget() is not self.overview or self.shown is None:
            super().keyPressEvent(a0)
            return
        key = a0.key()
        if key == Qt.Key.Key_E:
            self._fill(self.details, partial(self.details.show_pupil, self.shown.pupil))
        elif key == Qt.Key.Key_C:
            self._ask_consent()
        elif key == Qt.Key.Key_Y:
            self.years_asked.emit(self.shown.pupil.id)
        elif key == Qt.Key.Key_P:
            self.clip_asked.emit(self.shown.pupil)
        elif key == Qt.Key.Key_N:
            self.note.show_pupil(self.shown.pupil)
            self._show(self.note)
        elif key == Qt.Key.Key_Delete:
            self.ask_to_forget()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open_lesson()
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(a0)

    def _show(self, part: QWidget) -> None:
        self.parts.setCurrentWidget(part)
        if self.isVisible():
            self.take_focus()

    def _fill(self, form: Form, fill: Callable[[], None]) -> None:
        """Show a form with what is on record, or as it was left half written."""
        fill()
        self._drafts.bring_back(form, self.shown.pupil.id if self.shown is not None else "")
        self._show(form)

    def _ask_consent(self) -> None:
        if self.shown is not None:
            self._fill(self.consent, partial(self.consent.show_pupil, self.shown.pupil, date.today()))

    def _take(self) -> None:
        self._refresh()
        if self._is_for_consent:
            self._ask_consent()
        else:
            self._show(self.overview)
            self._known.read_more()

    def _refresh(self) -> None:
        if self.shown is not None:
            self.overview.before = self._known.before
            self.overview.show_pupil(self.shown, self._known.judged, date.today())

    def _open_lesson(self) -> None:
        lesson_id = self.overview.chosen_lesson()
        if lesson_id is not None:
            self._known.stop()  # lessons not compared yet stay so: the one opened comes first
            self._state.open_lesson(lesson_id)

    def _go_back(self) -> None:
        form = self.parts.currentWidget()
        if isinstance(form, DetailsForm | ConsentForm):
            if self._drafts.put_aside(form):
                self._state.step_told.emit(tr("Not kept yet; what was typed is there when you open it again."))
            elif form is self.consent and self.shown is not None:
                said = say_consent_kept(self.shown.pupil, date.today())
                self._state.step_told.emit(tr("Nothing changed. {what}", what=said))
        if self._is_lesson_gone:  # what was open went with the pupil
            self._is_lesson_gone = False
            self._state.close_lesson()
        if self._is_for_consent:
            self.returned.emit()
        elif self.shown is None:
            self.left.emit()
        else:
            self._show(self.overview)

    # what is kept

    def _keep_consent(self) -> None:
        if self.shown is not None:
            self._keeping.keep_consent(self.consent, self.shown.pupil)

    def _keep_note(self) -> None:
        if self.shown is None:
            return
        note = self.note.text.toPlainText()
        if note.strip() == self.shown.pupil.private_note:
            self._go_back()
        else:
            self._keeping.keep_note(self.note, self.shown.pupil, note)

    def _take_details(self, pupil: Pupil) -> None:
        self._drafts.drop("")
        self._renewed(pupil)

    def _take_consent(self, pupil: Pupil) -> None:
        if not self._is_for_consent:  # where it was asked for it is said there
            self._state.step_told.emit(say_consent_kept(pupil, date.today()))
        self._state.consent_noted.emit(pupil)
        self._renewed(pupil)

    def _renewed(self, pupil: Pupil) -> None:
        self._drafts.drop(pupil.id)
        self._state.renew_pupil(pupil)
        self._renew(pupil.id)

    def _renew(self, pupil_id: str) -> None:
        if self._is_for_consent:
            self._is_for_consent = False
            self._known.stop()
            self.returned.emit()
        else:
            self.open_pupil(pupil_id)
        self._state.load_pupils()

    def ask_to_forget(self) -> None:
        """Say what forgetting this pupil removes, and ask for the name."""
        if self.shown is not None:
            self.forgetting.ask(self.shown.pupil)

    def _forgotten(self) -> None:
        lesson = self._state.lesson
        self._is_lesson_gone = lesson is not None and self.shown is not None and lesson.pupil.id == self.shown.pupil.id
        if self.shown is not None:
            self._drafts.drop(self.shown.pupil.id)
        self._known.clear()
        self.note.text.clear()
        self._state.load_pupils()
