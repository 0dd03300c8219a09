"""What is open and chosen: one signal per fact. Panels read it, connect to it, and ask it for changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import QObject, pyqtSignal

from review.app.choosing import find_next_measures, find_next_swing, limit_stacked, stack_measures
from review.app.language import tr
from review.app.lesson_work import compare_lesson, load_pages, read_lesson, read_pupils
from review.app.undoing import Step, Undoing
from review.app.worker import Line, Task, Work

if TYPE_CHECKING:  # loaded beside the window, by the first piece of work
    from review.compare.samples import MeasureKey
    from review.jobs.comparing import LessonComparison
    from review.jobs.showing.lesson import LessonShown
    from review.jobs.showing.pupils import LibraryShown, PupilShown
    from review.lesson import Pupil


class ReviewState(QObject):
    """The open library, lesson, chosen swing and chosen measures.

    ``line`` does what a page waits for; ``long_line`` what the coach asked for and takes minutes, so that other lessons
    can be opened meanwhile.
    """

    pupils_changed = pyqtSignal()
    lesson_changed = pyqtSignal()
    lesson_renewed = pyqtSignal()
    comparison_changed = pyqtSignal()
    swing_chosen = pyqtSignal()
    measures_chosen = pyqtSignal()
    swing_opened = pyqtSignal(str)
    trouble_came = pyqtSignal(str)
    step_told = pyqtSignal(str)
    consent_noted = pyqtSignal(object)
    """The pupil as it is now."""
    drawing_changed = pyqtSignal(str, str, object)
    """A clip's id, a drawing's id, the drawing as it is now or None."""

    def __init__(self, library: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.library = library
        self.kept_in: Path | None = None
        """Where a page keeps what the coach chose on it from one start to the next; None: nowhere."""
        self.line, self.long_line = Line(self), Line(self)
        for line in (self.line, self.long_line):
            line.unheard.connect(self.trouble_came)
        self._of_lesson: list[Task] = []
        self.undoing = Undoing()
        self.pupils: tuple[PupilShown, ...] | None = None
        self.lesson: LessonShown | None = None
        self.comparison: LessonComparison | None = None
        self.why_not_compared = ""
        self.swing_id: str | None = None
        self.measures: tuple[MeasureKey, ...] = ()
        self._wanted = ""
        self._renewals = 0

    # what is open

    def load_pupils(self) -> None:
        """Read the library's pupils."""
        self._do(tr("Reading the library"), read_pupils(self.library), self._take_library, self._take_no_pupils)
        self._do(tr("Getting ready"), load_pages, lambda _: None)

    def open_lesson(self, lesson_id: str) -> None:
        """Open a lesson and compare its first batch with its last."""
        self._wanted = lesson_id
        self._read(tr("Opening the lesson"), read_lesson(self.library, lesson_id), self._take_lesson)
        self._read(
            tr("Comparing first and last"),
            compare_lesson(self.library, lesson_id),
            lambda found: self._take_comparison(lesson_id, found, ""),
            lambda why: self._take_comparison(lesson_id, None, why),
        )

    def renew_lesson(self, shown: LessonShown, why_not_compared: str = "") -> None:
        """Take in what is new of a lesson that is open, or goes on; what is chosen stays."""
        is_other = self.lesson is None or self.lesson.lesson.id != shown.lesson.id
        if is_other:
            self.swing_id, self.measures, self._wanted = None, (), shown.lesson.id
            self.undoing.clear()
        self.lesson = shown
        self.measures = tuple(key for key in self.measures if key in shown.keys) or shown.keys[:1]
        if why_not_compared:
            self.comparison, self.why_not_compared = None, why_not_compared
        (self.lesson_changed if is_other else self.lesson_renewed).emit()

    def renew_pupil(self, pupil: Pupil) -> None:
        """Take in what was corrected of a pupil, where a lesson of theirs is open: consent, guardian, name."""
        if self.lesson is not None and self.lesson.pupil.id == pupil.id and self.lesson.pupil != pupil:
            self.lesson = replace(self.lesson, pupil=pupil)
            self.lesson_renewed.emit()

    def renew_from_library(self, lesson_id: str) -> None:
        """Read the open lesson anew after a correction, and compare it anew; what is chosen stays."""
        self._renewals += 1
        n, compare_now = self._renewals, compare_lesson(self.library, lesson_id)

        def is_open() -> bool:
            return self.lesson is not None and self.lesson.lesson.id == lesson_id and self._wanted == lesson_id

        def take(shown: LessonShown) -> None:
            if is_open():
                self.comparison, self.why_not_compared = None, ""
                self.renew_lesson(shown)

        def compare(progress: Any) -> Any:
            return compare_now(progress) if n == self._renewals else None

        def take_compared(found: Any, why: str = "") -> None:
            if n == self._renewals and is_open():
                self._take_comparison(lesson_id, found, why)

        self._read(tr("Reading the lesson anew"), read_lesson(self.library, lesson_id), take)
        self._read(tr("Comparing first and last"), compare, take_compared, lambda why: take_compared(None, why))

    def close_lesson(self) -> None:
        """Go back to the pupils."""
        for task in self._of_lesson:  # what the coach asked for goes on
            self.line.stop(task)
        self._of_lesson.clear()
        self._wanted = ""
        self.undoing.clear()
        self.lesson, self.comparison, self.swing_id, self.measures = None, None, None, ()
        self.lesson_changed.emit()
        self.load_pupils()  # one more lesson, a walk-in perhaps

    # what was done

    def do(self, step: Step) -> None:
        """Do what can be undone, and tell it."""
        self.undoing.do(step)
        self.step_told.emit(tr("{what}. Ctrl+Z undoes it.", what=step.name))

    def undo(self) -> None:
        """Undo what was done last in this lesson, and tell it."""
        name = self.undoing.undo()
        self.step_told.emit(tr("Undone. No longer: {what}.", what=name) if name else tr("Nothing to undo."))

    def redo(self) -> None:
        """Do once more what was undone last, and tell it."""
        name = self.undoing.redo()
        self.step_told.emit(tr("Done again: {what}.", what=name) if name else tr("Nothing to do again."))

    # what is chosen

    def choose_swing(self, swing_id: str | None) -> None:
        """Choose a swing of the lesson, or none."""
        if swing_id != self.swing_id:
            self.swing_id = swing_id
            self.swing_chosen.emit()

    def step_swing(self, by: int) -> None:
        """Choose the swing so many farther along; at the ends it stays."""
        if self.lesson is None or not self.lesson.swings:
            return
        self.choose_swing(find_next_swing([swing.id for swing in self.lesson.swings], self.swing_id, by))

    def open_swing(self, swing_id: str | None = None) -> None:
        """Open a swing, or the one that is chosen."""
        if swing_id is not None:
            self.choose_swing(swing_id)
        if self.swing_id is not None:
            self.swing_opened.emit(self.swing_id)

    def choose_measures(self, keys: Sequence[MeasureKey]) -> None:
        """Choose what is up: one to three measures above each other."""
        chosen = limit_stacked(keys)
        if chosen and chosen != self.measures:
            self.measures = chosen
            self.measures_chosen.emit()

    def step_measure(self, by: int) -> None:
        """Put up the next measure that has values; those stacked under it follow."""
        keys = self.lesson.keys if self.lesson is not None else ()
        if keys and self.measures:
            self.choose_measures(find_next_measures(keys, self.measures, by))

    def stack(self, by: int) -> None:
        """Show one measure more or fewer."""
        keys = self.lesson.keys if self.lesson is not None else ()
        if self.measures:
            self.choose_measures(stack_measures(keys, self.measures, by))

    # outcomes of the work

    def _do(self, name: str, work: Work, on_done: Any, on_failed: Any = None) -> Task:
        task = Task(name, work, on_done, on_failed or self.trouble_came.emit)
        self.line.add(task)
        return task

    def _read(self, name: str, work: Work, on_done: Any, on_failed: Any = None) -> None:
        """Do what is in vain once the lesson is left."""
        waiting = [task for task in self._of_lesson if self.line.holds(task)]
        self._of_lesson = [*waiting, self._do(name, work, on_done, on_failed)]

    def _take_library(self, shown: LibraryShown) -> None:
        self._take_pupils(shown.pupils)
        said = []
        for done in shown.removals:
            said.append(tr("A pupil's removal that was broken off is finished: {n} clips gone.", n=done.n_clips))
            said += [tr("Beyond reach: {what}", what=what) for what in done.out_of_reach]
        if said:
            self.trouble_came.emit(" ".join(said))

    def _take_pupils(self, pupils: tuple[PupilShown, ...]) -> None:
        self.pupils = pupils
        self.pupils_changed.emit()

    def _take_no_pupils(self, why: str) -> None:
        self._take_pupils(())
        self.trouble_came.emit(why)

    def _take_lesson(self, shown: LessonShown) -> None:
        if shown.lesson.id != self._wanted:  # closed, or another one asked for, meanwhile
            return
        if self.lesson is None or self.lesson.lesson.id != shown.lesson.id:
            self.undoing.clear()
        self.lesson, self.comparison, self.why_not_compared = shown, None, ""
        self.swing_id, self.measures = None, shown.keys[:1]
        self.lesson_changed.emit()

    def _take_comparison(self, lesson_id: str, found: LessonComparison | None, why: str) -> None:
        if self.lesson is not None and self.lesson.lesson.id == lesson_id:
            self.comparison, self.why_not_compared = found, why
            self.comparison_changed.emit()
