"""A form: one number for each measure of the aim that the device gives."""

from PyQt5.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from review.app.language import say_number, tr
from review.app.look import Look
from review.app.number_words import say_label
from review.app.page import Page
from review.app.pupils.form import Form, say_form_keys
from review.app.state import ReviewState
from review.app.worker import Task
from review.jobs.stating import state_repeatability
from review.lesson import KINDS, Source
from review.progress import Progress


class ReadingErrorsPage(Page):
    """Asks for them and keeps them with the open lesson; ``left`` when the coach goes back or they are kept."""

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("How far one reading errs"), parent)
        self._state = state
        self._layout = QVBoxLayout(self)
        self.form: Form | None = None
        self.fields: dict[str, QLineEdit] = {}

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._layout.setContentsMargins(*(4 * (2 * look.quiet_px,)))

    def take_focus(self) -> None:
        """Let the keyboard go to the first field."""
        if self.form is not None:
            self.form.take_focus()

    def renew(self) -> None:
        """Ask anew, for the lesson that is open."""
        if self.form is not None:
            self._layout.removeWidget(self.form)
            self.form.deleteLater()
        form = self.form = Form(
            tr("From the device's booklet, one standard deviation; empty where it is not known.   ") + say_form_keys(),
            self,
        )
        form.begin(tr("How far one reading errs"))
        form.setAccessibleName(tr("How far one reading errs"))
        form.kept.connect(self._keep)
        form.left.connect(self.left.emit)
        shown = self._state.lesson
        known = {} if shown is None else dict(shown.lesson.repeatability)
        aim = [] if shown is None else list(dict.fromkeys(name for name, _ in shown.keys[: shown.n_aim]))
        self.fields = {}
        for name in (name for name in aim if KINDS[name].source is Source.DEVICE):
            field = self.fields[name] = QLineEdit(say_number(known[name]) if name in known else "", form)
            unit = KINDS[name].unit.strip()
            form.add_row(f"{say_label(name)} ({unit})" if unit else say_label(name), field)
        if not self.fields:
            form.refuse(tr("The lesson's aim names no number of the device; body numbers bring their own error."))
        self._layout.addWidget(form)

    def _keep(self) -> None:
        shown, form = self._state.lesson, self.form
        if shown is None or form is None:
            return
        errors: dict[str, float | None] = {}
        for name, field in self.fields.items():
            text = field.text().strip().replace(",", ".")
            try:
                errors[name] = float(text) if text else None
            except ValueError:
                form.refuse(tr("{measure}: a number such as 0.5 is expected.", measure=say_label(name)))
                return
        folder, lesson_id = self._state.library, shown.lesson.id

        def work(_: Progress) -> None:
            state_repeatability(folder, lesson_id, errors)

        def done(_: object) -> None:
            self.left.emit()
            self._state.open_lesson(lesson_id)

        self._state.line.add(Task(tr("Keeping how far a reading errs"), work, done, form.refuse, True, self))
