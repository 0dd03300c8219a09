"""A pupil's page: at a glance, and the forms that correct, ask for consent, keep a note, forget."""

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import Any

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
from review.app.pupils.note_form import NoteForm
from review.app.pupils.overview import Overview
from review.app.pupils.words import say_consent_kept
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task
from review.errors import BadInputError
from review.jobs import pupil_page
from review.jobs.history.before import BeforeLesson, show_before
from review.jobs.showing.pupil import MOST_JUDGED, LessonJudged, judge_lesson, show_pupil
from review.jobs.showing.pupils import PupilShown

_LIST_KEYS = (
    *(Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Home, Qt.Key.Key_End),
    *(Qt.Key.Key_PageUp, Qt.Key.Key_PageDown, Qt.Key.Key_Tab, Qt.Key.Key_Backtab),
)


class PupilPage(Page):
    """Shows one pupil, or asks who a new one is; ``left`` when the coach goes back to all pupils.

    ``returned`` when only the consent was asked for, and the coach goes back to where that was; ``years_asked`` for the
    pupil's years.
    """

    returned = pyqtSignal()
    years_asked = pyqtSignal(str)

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Pupil"), parent)
        self._state = state
        self.shown: PupilShown | None = None
        self._judged: tuple[LessonJudged, ...] = ()
        self._wanted = ""
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
        self.details.kept.connect(self._keep_details)
        self.consent.kept.connect(self._keep_consent)
        self.note.kept.connect(self._keep_note)
        for form in (self.details, self.consent, self.forgetting):
            form.left.connect(self._go_back)
        self.forgetting.asked.connect(lambda: self._show(self.forgetting))
        self.forgetting.forgotten.connect(self._forgotten)
        self.overview.lessons.itemDoubleClicked.connect(lambda _: self._open_lesson())
        self.overview.lessons.installEventFilter(self)

    # what is shown

    def open_pupil(self, pupil_id: str, for_consent: bool = False) -> None:
        """Show a pupil of the library, or only ask for the consent."""
        folder, self._wanted, self._is_for_consent = self._state.library, pupil_id, for_consent
        self.shown, self._judged, self.overview.before = None, (), None
        self._do(tr("Reading the pupil"), lambda _: show_pupil(folder, pupil_id), self._take)

    def ask_new(self) -> None:
        """Ask who a new pupil is."""
        self.shown, self._judged, self._wanted, self._is_for_consent = None, (), "", False
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

    def _take(self, shown: PupilShown) -> None:
        if shown.pupil.id == self._wanted:
            self.shown = shown
            self._refresh()
            if self._is_for_consent:
                self._ask_consent()
                return
            self._show(self.overview)
            before = partial(show_before, self._state.library, self._wanted)
            self._do(tr("Reading the years"), lambda _: before(), self._take_before, lambda _: None)
            self._judge_next()

    def _take_before(self, before: BeforeLesson) -> None:
        if before.pupil.id == self._wanted:
            self.overview.before = before
            self._refresh()

    def _judge_next(self) -> None:
        """Compare the next lesson; one at a time, so that what the coach does meanwhile comes first."""
        if self.shown is None or self.shown.pupil.id != self._wanted:
            return
        n, lessons, folder = len(self._judged), self.shown.lessons[:MOST_JUDGED], self._state.library
        if n < len(lessons):
            pupil_id, say = self._wanted, self._state.trouble_came.emit

            def fail(why: str) -> None:  # of a pupil who was forgotten or left meanwhile there is nothing to tell
                if pupil_id == self._wanted:
                    say(why)

            self._do(tr("Comparing lessons"), lambda _: judge_lesson(folder, lessons[n].id), self._take_judged, fail)

    def _take_judged(self, judged: LessonJudged) -> None:
        if self.shown is not None and judged.lesson.pupil_id == self.shown.pupil.id == self._wanted:
            self._judged = (*self._judged, judged)
            self._refresh()
            self._judge_next()

    def _refresh(self) -> None:
        if self.shown is not None:
            self.overview.show_pupil(self.shown, self._judged, date.today())

    def _open_lesson(self) -> None:
        lesson_id = self.overview.chosen_lesson()
        if lesson_id is not None:
            self._wanted = ""  # lessons not compared yet stay so: the one opened comes first
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

    def _do(
        self, name: str, work: Any, on_done: Callable[[Any], None], on_failed: Any = None, keeps: bool = False
    ) -> None:
        self._state.line.add(Task(name, work, on_done, on_failed or self._state.trouble_came.emit, keeps))

    def _keep_details(self) -> None:
        try:
            details = self.details.read()
        except BadInputError as error:
            self.details.refuse(say_sentences(str(error)))
            return
        folder, before = self._state.library, self.shown.pupil if self.shown is not None else None

        def keep(_: Any) -> Any:
            return pupil_page.keep_details(folder, None if before is None else before.id, details)

        def take(pupil: Any) -> None:
            if before is not None and (why := pupil_page.say_to_measure_again(before, pupil)):
                self._state.trouble_came.emit(why)
            self._drafts.drop("")
            self._renewed(pupil)

        self._do(tr("Keeping the pupil"), keep, take, self.details.refuse, keeps=True)

    def _keep_consent(self) -> None:
        if self.shown is None:
            return
        folder, pupil, today = self._state.library, self.shown.pupil, date.today()
        try:
            given, guardian = self.consent.read(today), self.consent.read_guardian()
        except BadInputError as error:
            self.consent.refuse(say_sentences(str(error)))
            return
        is_ended = pupil.consent is not None and pupil.consent.is_running(today)
        if not given.purposes and is_ended:  # everything unticked: nothing is agreed to any longer
            end = partial(pupil_page.end_consent, folder, pupil.id)
            self._do(tr("Keeping the consent"), lambda _: end(), self._take_consent, keeps=True)
            return
        self._do(
            tr("Keeping the consent"),
            lambda _: pupil_page.keep_consent(folder, pupil.id, given, guardian),
            self._take_consent,
            self.consent.refuse,
            keeps=True,
        )

    def _keep_note(self) -> None:
        if self.shown is None:
            return
        folder, pupil, note = self._state.library, self.shown.pupil, self.note.text.toPlainText()
        if note.strip() == pupil.private_note:
            self._go_back()
            return
        self._do(
            tr("Keeping the note"),
            lambda _: pupil_page.keep_private_note(folder, pupil.id, note),
            self._renewed,
            self.note.refuse,
            keeps=True,
        )

    def _take_consent(self, pupil: Any) -> None:
        if not self._is_for_consent:  # where it was asked for it is said there
            self._state.step_told.emit(say_consent_kept(pupil, date.today()))
        self._state.consent_noted.emit(pupil)
        self._renewed(pupil)

    def _renewed(self, pupil: Any) -> None:
        self._drafts.drop(pupil.id)
        self._state.renew_pupil(pupil)
        self._renew(pupil.id)

    def _renew(self, pupil_id: str) -> None:
        if self._is_for_consent:
            self._is_for_consent, self._wanted = False, ""
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
        self.shown, self._judged, self._wanted = None, (), ""
        self.note.text.clear()
        self._state.load_pupils()
