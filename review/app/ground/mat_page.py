"""The page of the mat: its table, the three steps or the edge's angle, how the player stands; Enter keeps it."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QLabel, QLineEdit, QVBoxLayout, QWidget

from review.app.ground.file_field import FileField
from review.app.ground.mat_words import say_added, say_mat, say_replaced, say_trace
from review.app.language import say_number, tr
from review.app.look import Look
from review.app.look.toggle import Toggle
from review.app.pupils.form import Form
from review.app.sentences import say_sentences
from review.app.setups.marking import read_number
from review.app.state import ReviewState
from review.app.worker import Task, Work
from review.errors import BadInputError
from review.jobs.pressure.adding import AddedPressure, LookedAtMat, add_pressure, look_at_mat, plan_mat
from review.jobs.pressure.mats import MatPlan
from review.lettering import capitalise
from review.progress import Progress

_Wish = tuple[Path | None, MatPlan | None]
"""Where the trace's table lies, and what is said of the mat."""


class MatPage(Form):
    """Says beneath each table what was read of it, or why it cannot be; nothing is kept before Enter."""

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Ctrl+O a file   Tab next   Space ticks   Enter keeps   Esc back"), parent)
        self._state = state
        self.setAccessibleName(tr("The mat: table and steps"))
        self.told = QLabel(self)
        self.told.setObjectName("quiet")
        layout = self.layout()
        if isinstance(layout, QVBoxLayout):
            layout.insertWidget(1, self.told)
        self.trace = FileField(tr("The mat's table of the lesson"), self)
        self.steps = FileField(tr("The table of the three steps"), self)
        self.edge, self.stance, self.lead, self.trail = (QLineEdit(self) for _ in range(4))
        self.mirrored = Toggle(tr("the toes lie on the mat's other side"), self)
        self.trace_said, self.mat_said = QLabel(self), QLabel(self)
        self.add_row(tr("The mat's table"), self.trace)
        self._add_said(self.trace_said)
        self.steps.line.setPlaceholderText(tr("still, weight on the lead foot, on the toes"))
        self.add_row(tr("Three steps"), self.steps)
        self._add_said(self.mat_said)
        self.edge.setPlaceholderText(tr("a stick along the mat's edge: the target line in the mat's axes"))
        self.add_row(tr("or edge (°)"), self.edge)
        self.add_toggles(tr("Mirrored"), [self.mirrored])
        self.stance.setPlaceholderText(tr("from ankle to ankle, may be left empty"))
        self.add_row(tr("Stance (cm)"), self.stance)
        for name, field in ((tr("Lead foot out (°)"), self.lead), (tr("Trail foot out (°)"), self.trail)):
            field.setPlaceholderText(tr("how far its toes are turned out, may be left empty"))
            self.add_row(name, field)
        self._lines = (self.trace.line, self.steps.line, self.edge, self.stance, self.lead, self.trail)
        for line in self._lines:
            line.textChanged.connect(lambda _: self._change())
            line.editingFinished.connect(self._look)
        for field in (self.trace, self.steps):
            field.chosen.connect(self._look)
        self.mirrored.toggled.connect(lambda _: self._change())
        self.kept.connect(lambda: self._look(keeps=True))
        state.line.changed.connect(self._show_progress)
        self._task: Task | None = None
        self._keeps = self._is_asked = False
        self._note = ""
        self._wish: _Wish | None = None
        self.looked: LookedAtMat | None = None
        self.renew()

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        if (layout := self.layout()) is not None:
            layout.setContentsMargins(*(4 * (2 * look.quiet_px,)))
            layout.setSpacing(look.quiet_px // 2)
        self.rows.setVerticalSpacing(look.quiet_px // 3)

    def renew(self) -> None:
        """Ask anew, for the lesson that is open; what is being kept goes on."""
        if self._task is not None:
            return
        self.begin(tr("The mat: table and steps"))
        for line in self._lines:
            line.clear()
        self.mirrored.setChecked(False)
        self._forget()
        self._note = "" if self._state.lesson is not None else tr("Open the lesson it is of first.")
        self._tell("")

    def open_trace(self, path: Path) -> None:
        """Take a table that was looked for among those of shots."""
        if self._task is None:
            self.trace.line.setText(str(path))
            if self._state.lesson is not None:
                self._note = tr("{file} is the table of a pressure mat: here it is added.", file=path.name)
            self._look()

    # what is read

    def _change(self) -> None:
        self._is_asked = False

    def _forget(self) -> None:
        self._wish, self.looked, self._is_asked = None, None, False
        for label in (self.trace_said, self.mat_said):
            _say_line(label, "")

    def _read_wish(self) -> _Wish:
        numbers = []
        for line in (self.edge, self.stance, self.lead, self.trail):
            number, text = read_number(line.text()), line.text().strip()
            if text and number is None:
                what = line.accessibleName()
                example = say_number(43.5)
                raise BadInputError(tr("{what}: a number such as {example} is expected.", what=what, example=example))
            numbers.append(number)
        edge, stance, lead, trail = numbers
        return self.trace.path, plan_mat(self.steps.path, stance, (lead, trail), edge, self.mirrored.isChecked())

    def _look(self, keeps: bool = False) -> None:
        """Read what is named anew where it is another, and keep it afterwards where that was asked for."""
        shown = self._state.lesson
        try:
            wish = self._read_wish()
        except BadInputError as error:
            if keeps:
                self.refuse(say_sentences(str(error)))
            return
        if shown is None or wish == (None, None):
            self._forget()
            if keeps:
                self.refuse(
                    tr("Open the lesson it is of first.")
                    if shown is None
                    else tr("Name the mat's table, that of the three steps, or the angle of the mat's edge.")
                )
        elif self._task is not None:
            self._keeps |= keeps
        elif wish == self._wish:
            if keeps:
                self._keep(wish)
        else:
            self._read(shown.lesson.id, wish, keeps)

    def _read(self, lesson_id: str, wish: _Wish, keeps: bool) -> None:
        folder, (trace, plan) = self._state.library, wish
        self._forget()
        self._keeps = keeps

        def done(looked: LookedAtMat) -> None:
            self._task, self._wish, self.looked = None, wish, looked
            self._tell("")
            record, mat = looked.record, looked.mat
            _say_line(self.trace_said, looked.trace_refusal or ("" if record is None else say_trace(record)), record)
            _say_line(self.mat_said, looked.mat_refusal or ("" if mat is None else say_mat(mat)), mat)
            self._look(self._keeps)

        self._begin(tr("Reading the mat's tables"), lambda _: look_at_mat(folder, lesson_id, trace, plan), done)

    # what is kept

    def _keep(self, wish: _Wish) -> None:
        shown, looked, (trace, plan) = self._state.lesson, self.looked, wish
        if shown is None or looked is None:
            return
        if looked.trace_refusal or looked.mat_refusal:
            self.refuse(tr("Nothing was kept: it stands beneath the table why."))
            return
        if not self._is_asked and (replaced := say_replaced(looked)):
            self._is_asked = True
            self.refuse(replaced)
            return
        folder, lesson_id = self._state.library, shown.lesson.id
        self.refuse("")

        def work(progress: Progress) -> AddedPressure:
            return add_pressure(folder, lesson_id, trace, plan, progress=progress)

        def done(added: AddedPressure) -> None:
            self._task = None
            for line in self._lines:
                line.setModified(False)
            self._state.step_told.emit(say_added(added, trace is not None))
            self._state.renew_from_library(lesson_id)
            if self.isVisible():
                self.left.emit()

        self._begin(tr("Keeping the mat"), work, done)

    def _begin(self, name: str, work: Work, done: Callable[[Any], None]) -> None:
        self._task = Task(name, work, done, self._fail, owner=self, on_stopped=self._say_stopped)
        self._tell(f"{name} …")
        self._state.line.add(self._task)

    def _say_stopped(self) -> None:
        self._fail(tr("Stopped. Nothing was kept."))

    def _fail(self, why: str) -> None:
        self._task, self._is_asked = None, False
        self._tell("")
        self.refuse(why)

    def _show_progress(self) -> None:
        done, total = self._state.line.progress
        if self._task is not None and self._state.line.running is self._task and total:
            self._tell(f"{self._task.name} … {100 * done // total} %")

    def _tell(self, text: str) -> None:
        """Say what goes on; with '' what the page was opened for."""
        self.told.setText(text or self._note)
        self.told.setVisible(bool(text or self._note))

    def _add_said(self, label: QLabel) -> None:
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setObjectName("quiet")
        label.setStyleSheet("padding: 2px 12px;")  # as what is written in the fields
        self.rows.addWidget(label, self.rows.rowCount(), 1)

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Choose a file, stop, and what a form's keys are."""
        if a0 is None:
            return
        is_control = bool(a0.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if a0.key() == Qt.Key.Key_Escape and self._task is not None:
            self._state.line.stop(self._task)
        elif a0.key() == Qt.Key.Key_O and is_control:
            (self.steps if self.steps.line.hasFocus() or self.steps.button.hasFocus() else self.trace).ask()
        else:
            super().keyPressEvent(a0)


def _say_line(label: QLabel, text: str, found: object = None) -> None:
    """Say what was read, or on the ground of a refusal why nothing was ``found``."""
    label.setText(say_sentences(text) if found is None else capitalise(text))
    label.setVisible(bool(text))
    label.setObjectName("refusal" if text and found is None else "quiet")
    if (style := label.style()) is not None:
        style.unpolish(label)
        style.polish(label)
