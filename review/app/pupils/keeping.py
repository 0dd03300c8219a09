"""What the forms of a pupil's page keep in the library, or why they do not."""

from collections.abc import Callable
from datetime import date

from review.app.language import tr
from review.app.pupils.consent_form import ConsentForm
from review.app.pupils.details_form import DetailsForm
from review.app.pupils.note_form import NoteForm
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task
from review.errors import BadInputError
from review.jobs import pupil_page
from review.lesson import Pupil

Take = Callable[[Pupil], None]


class Keeping:
    """Keeps what stands in a form and gives the pupil as then kept to whoever takes it; the form says a refusal."""

    def __init__(self, state: ReviewState, take_details: Take, take_consent: Take, take_note: Take) -> None:
        self._state = state
        self._take_details, self._take_consent, self._take_note = take_details, take_consent, take_note

    def keep_details(self, form: DetailsForm, before: Pupil | None) -> None:
        """Keep who a pupil is; ``before`` is the pupil so far, None = a new one."""
        try:
            details = form.read()
        except BadInputError as error:
            form.refuse(say_sentences(str(error)))
            return
        folder = self._state.library

        def keep() -> Pupil:
            return pupil_page.keep_details(folder, None if before is None else before.id, details)

        def take(pupil: Pupil) -> None:
            if before is not None and (why := pupil_page.say_to_measure_again(before, pupil)):
                self._state.trouble_came.emit(why)
            self._take_details(pupil)

        self._do(tr("Keeping the pupil"), keep, take, form.refuse)

    def keep_consent(self, form: ConsentForm, pupil: Pupil) -> None:
        """Keep what a pupil agrees to."""
        folder, today = self._state.library, date.today()
        try:
            given, guardian = form.read(today), form.read_guardian()
        except BadInputError as error:
            form.refuse(say_sentences(str(error)))
            return
        name, take = tr("Keeping the consent"), self._take_consent
        is_ended = pupil.consent is not None and pupil.consent.is_running(today)
        if not given.purposes and is_ended:  # everything unticked: nothing is agreed to any longer
            trouble = self._state.trouble_came.emit
            self._do(name, lambda: pupil_page.end_consent(folder, pupil.id), take, trouble)
        else:
            self._do(name, lambda: pupil_page.keep_consent(folder, pupil.id, given, guardian), take, form.refuse)

    def keep_note(self, form: NoteForm, pupil: Pupil, note: str) -> None:
        """Keep the coach's own note of a pupil."""
        folder = self._state.library
        self._do(
            tr("Keeping the note"),
            lambda: pupil_page.keep_private_note(folder, pupil.id, note),
            self._take_note,
            form.refuse,
        )

    def _do(self, name: str, keep: Callable[[], Pupil], take: Take, fail: Callable[[str], None]) -> None:
        self._state.line.add(Task(name, lambda _: keep(), take, fail, keeps=True))
