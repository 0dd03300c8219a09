"""Pages beside the lesson's own: pupil, cautions, table, questions, take-home. Each is made when first shown."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from importlib import import_module
from typing import TYPE_CHECKING

from PyQt5.QtWidgets import QStackedWidget, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.choice import Choice
from review.app.questions.asked import OpenQuestions
from review.app.state import ReviewState
from review.app.worker import Task
from review.lesson import Pupil
from review.progress import Progress

if TYPE_CHECKING:  # loaded with the page
    from review.app.handing_out.view import HandingOutPage
    from review.app.pupils.cautions import Cautions
    from review.app.pupils.page import PupilPage
    from review.app.questions.view import QuestionsPage
    from review.app.reading_errors.view import ReadingErrorsPage
    from review.app.tables.view import TablesPage

_PAGES = {
    "pupil": ("review.app.pupils.page", "PupilPage"),
    "tables": ("review.app.tables.view", "TablesPage"),
    "questions": ("review.app.questions.view", "QuestionsPage"),
    "handing_out": ("review.app.handing_out.view", "HandingOutPage"),
    "reading_errors": ("review.app.reading_errors.view", "ReadingErrorsPage"),
    "cautions": ("review.app.pupils.cautions", "Cautions"),
}


class OtherPages:
    """Shows them in ``pages`` by way of ``show``; ``leave`` goes back to the lesson, ``to_pupils`` to all pupils.

    ``choice`` and ``choose`` read and keep what the coach chose of the window.
    """

    def __init__(
        self,
        state: ReviewState,
        questions: OpenQuestions,
        pages: QStackedWidget,
        show: Callable[[QWidget], None],
        leave: Callable[[], None],
        to_pupils: Callable[[], None],
        choice: Callable[[], Choice],
        choose: Callable[[Choice], None],
    ) -> None:
        self._state, self._questions, self._pages = state, questions, pages
        self._show, self._leave, self._to_pupils = show, leave, to_pupils
        self._choice, self._choose = choice, choose
        self._say = state.trouble_came.emit
        self._look: Look | None = None
        self.pupil: PupilPage | None = None
        self.tables: TablesPage | None = None
        self.questions: QuestionsPage | None = None
        self.handing_out: HandingOutPage | None = None
        self.reading_errors: ReadingErrorsPage | None = None
        self.cautions: Cautions | None = None

    def when_loaded(self, page: str, show: Callable[[], object]) -> None:
        """Show a page once what it needs is loaded, which is done beside the window."""
        room, name = _PAGES[page]
        if hasattr(sys.modules.get(room), name):
            show()
        else:

            def then(_: object) -> None:
                show()

            self._state.line.add(Task(tr("Getting ready"), lambda _: import_module(room), then, self._say))

    def show_pupil(self) -> PupilPage:
        """Show the page of one pupil, empty at first."""
        if self.pupil is None:
            from review.app.pupils.page import PupilPage

            self.pupil = PupilPage(self._state, self._pages)
            self.pupil.left.connect(self._to_pupils)
            self.pupil.returned.connect(self._leave)
            self._take_in(self.pupil)
        self._show(self.pupil)
        return self.pupil

    @property
    def pupil_on(self) -> Pupil | None:
        """The pupil whose page is up."""
        page = self.pupil
        is_up = page is not None and self._pages.currentWidget() is page
        return page.shown.pupil if page is not None and is_up and page.shown is not None else None

    def show_tables(self) -> TablesPage:
        """Show the page that looks at a device's table."""
        if self.tables is None:
            from review.app.tables.view import TablesPage

            self.tables = TablesPage(self._state, self._pages)
            self.tables.left.connect(self._leave)
            self._take_in(self.tables)
        self._show(self.tables)
        return self.tables

    def show_questions(self) -> QuestionsPage:
        """Show what is to be asked about the lesson."""
        if self.questions is None:
            from review.app.questions.view import QuestionsPage

            self.questions = QuestionsPage(self._questions, self._pages)
            self.questions.left.connect(self._leave_questions)
            self._take_in(self.questions)
        self._show(self.questions)
        return self.questions

    def show_handing_out(self) -> HandingOutPage:
        """Show the page that writes the take-home of the open lesson."""
        if self.handing_out is None:
            from review.app.handing_out.view import HandingOutPage

            self.handing_out = HandingOutPage(self._state, self._pages)
            self.handing_out.left.connect(self._leave)
            self._take_in(self.handing_out)
        self.handing_out.begin()
        self._show(self.handing_out)
        return self.handing_out

    def show_reading_errors(self) -> ReadingErrorsPage:
        """Show the form that asks how far one reading of the device errs."""
        if self.reading_errors is None:
            from review.app.reading_errors.view import ReadingErrorsPage

            self.reading_errors = ReadingErrorsPage(self._state, self._pages)
            self.reading_errors.left.connect(self._leave)
            self._take_in(self.reading_errors)
        self.reading_errors.begin()
        self._show(self.reading_errors)
        return self.reading_errors

    def measure(self) -> None:
        """Measure the clips of the open lesson, quickly, beside the window; the lesson then shows the numbers."""
        shown, state = self._state.lesson, self._state
        if shown is None:
            return
        folder, lesson_id = state.library, shown.lesson.id

        def work(progress: Progress) -> object:
            from review.jobs.measuring.apart import measure_apart

            return measure_apart(folder, lesson_id, progress=progress)

        def done(_: object) -> None:
            if state.lesson is not None and state.lesson.lesson.id == lesson_id:
                state.open_lesson(lesson_id)

        state.line.add(Task(tr("Measuring the lesson"), work, done, self._say))

    def show_cautions(self) -> Cautions:
        """Show what to see to before the first ball, and how many balls the lesson has had; left, it is gone."""
        from review.app.pupils.caution_words import count_balls
        from review.app.pupils.cautions import Cautions

        shown = self._state.lesson
        self._end_cautions()
        n_balls = 0 if shown is None else count_balls(shown.swings)
        page = self.cautions = Cautions(n_balls, self._choice().many_balls, self._pages)
        page.many_chosen.connect(lambda many: self._choose(replace(self._choice(), many_balls=many)))
        page.read.connect(self._leave)
        page.read.connect(self._end_cautions)
        self._pages.addWidget(page)
        self._show(page)
        return page

    def set_look(self, look: Look) -> None:
        """Let all take on a look."""
        self._look = look
        for page in (self.pupil, self.tables, self.questions, self.handing_out, self.reading_errors):
            if page is not None:
                page.set_look(look)

    def take_focus(self, page: QWidget | None) -> bool:
        """Let the keyboard go where it belongs on one of these pages; False where the page is another."""
        for own in (self.pupil, self.tables, self.questions, self.handing_out, self.reading_errors):
            if own is not None and page is own:
                own.take_focus()
                return True
        return False

    def _leave_questions(self) -> None:
        if not self._questions.renew_lesson():
            self._leave()

    def _end_cautions(self) -> None:
        if self.cautions is not None:
            self._pages.removeWidget(self.cautions)
            self.cautions.deleteLater()
            self.cautions = None

    def _take_in(self, page: PupilPage | TablesPage | QuestionsPage | HandingOutPage | ReadingErrorsPage) -> None:
        if self._look is not None:
            page.set_look(self._look)
        self._pages.addWidget(page)
