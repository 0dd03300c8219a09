"""Pages beside the lesson's own: a table says which; each is loaded beside the window and made when first shown."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from PyQt5.QtWidgets import QStackedWidget, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.choice import Choice
from review.app.measuring import measure_lesson
from review.app.page import Page
from review.app.questions.asked import OpenQuestions
from review.app.state import ReviewState
from review.app.worker import Task
from review.lesson import Pupil

if TYPE_CHECKING:  # loaded with the page
    from review.app.ground.mat_page import MatPage
    from review.app.over_years.search_page import SearchPage
    from review.app.over_years.view import YearsPage
    from review.app.phone_clip.view import PhoneClipPage
    from review.app.pupils.page import PupilPage
    from review.app.settings.view import SettingsPage


@dataclass(frozen=True)
class _Kind:
    """Where a page lies, its class, and what it is made from."""

    room: str
    name: str
    make: Callable[[Any, OtherPages], Page]


PAGES = {
    "balls": _Kind("review.app.balls.view", "BallsPage", lambda page, at: page(at.state, at.pages)),
    "cameras": _Kind("review.app.setups.camera_page", "CameraPage", lambda page, at: at.with_measuring(page)),
    "cautions": _Kind("review.app.pupils.cautions", "Cautions", lambda page, at: at.with_many_balls(page)),
    "ground": _Kind("review.app.ground.page", "GroundPage", lambda page, at: at.with_mat(page)),
    "handing_out": _Kind("review.app.handing_out.view", "HandingOutPage", lambda page, at: page(at.state, at.pages)),
    "mat": _Kind("review.app.ground.mat_page", "MatPage", lambda page, at: page(at.state, at.pages)),
    "pupil": _Kind("review.app.pupils.page", "PupilPage", lambda page, at: page(at.state, at.pages)),
    "house": _Kind("review.app.keeping_house.view", "HousePage", lambda page, at: page(at.state, at.pages)),
    "phone_clip": _Kind("review.app.phone_clip.view", "PhoneClipPage", lambda page, at: page(at.state, at.pages)),
    "player": _Kind("review.app.setups.player_page", "PlayerPage", lambda page, at: at.with_measuring(page)),
    "questions": _Kind("review.app.questions.view", "QuestionsPage", lambda page, at: page(at.open, at.pages)),
    "reading_errors": _Kind("review.app.reading_errors.view", "ReadingErrorsPage", lambda page, at: page(at.state)),
    "search": _Kind("review.app.over_years.search_page", "SearchPage", lambda page, at: page(at.state, at.pages)),
    "settings": _Kind("review.app.settings.view", "SettingsPage", lambda page, at: at.with_choice(page)),
    "tables": _Kind("review.app.tables.view", "TablesPage", lambda page, at: at.with_mat(page)),
    "years": _Kind("review.app.over_years.view", "YearsPage", lambda page, at: page(at.state, at.pages)),
}


class OtherPages:
    """Shows them in ``pages`` by way of ``show_page``; ``go_back`` leads to the page they were opened from.

    ``to_pupils`` leads to all pupils; ``choice`` and ``choose`` read and keep what the coach chose of the window.
    """

    state: ReviewState
    open: OpenQuestions
    pages: QStackedWidget

    def __init__(
        self,
        state: ReviewState,
        questions: OpenQuestions,
        pages: QStackedWidget,
        show_page: Callable[[QWidget], None],
        go_back: Callable[[QWidget | None], None],
        to_pupils: Callable[[], None],
        choice: Callable[[], Choice],
        choose: Callable[[Choice], None],
    ) -> None:
        self.state, self.open, self.pages = state, questions, pages
        self._show_page, self._go_back, self._to_pupils = show_page, go_back, to_pupils
        self._choice, self._choose = choice, choose
        self._look: Look | None = None
        self._made: dict[str, Page] = {}
        self._way: list[QWidget] = []

    def ask(self, name: str, then: Callable[[Page], object] | None = None) -> None:
        """Show a page once what it needs is loaded, which is done beside the window; ``then`` it may be filled."""
        kind = PAGES[name]

        def show(_: object = None) -> None:
            page = self.show(name)
            if then is not None:
                then(page)

        if hasattr(sys.modules.get(kind.room), kind.name):
            show()
        else:
            trouble = self.state.trouble_came.emit
            load = Task(tr("Getting ready"), lambda _: import_module(kind.room), show, trouble, owner=self.pages)
            self.state.line.add(load)

    def show(self, name: str) -> Page:
        """Show a page at once, from its beginning."""
        page = self._made.get(name) or self._make(name)
        on = self.pages.currentWidget()
        if on not in self._made.values():
            self._way.clear()
        if page in self._way:
            del self._way[self._way.index(page) :]
        elif on is not None and on is not page:
            self._way.append(on)
        page.renew()
        self._show_page(page)
        return page

    def show_settings(self, row: int) -> None:
        """Show the settings with a row chosen."""
        page = cast("SettingsPage", self.show("settings"))
        page.rows.setCurrentRow(row)

    @property
    def settings_row(self) -> int:
        """The row of the settings that is chosen, from 0."""
        page = cast("SettingsPage | None", self.find("settings"))
        return 0 if page is None else page.row

    @property
    def pupil(self) -> PupilPage | None:
        """The page of one pupil, None until it has been shown."""
        return cast("PupilPage | None", self.find("pupil"))

    def find(self, name: str) -> Page | None:
        """The page of that name, None until it has been shown."""
        return self._made.get(name)

    @property
    def name_on(self) -> str:
        """The name of the page that is up; '' where it is none of these."""
        on = self.pages.currentWidget()
        return next((name for name, page in self._made.items() if page is on), "")

    @property
    def pupil_on(self) -> Pupil | None:
        """The pupil whose page is up."""
        page = self.pupil if self.name_on == "pupil" else None
        return page.shown.pupil if page is not None and page.shown is not None else None

    def ask_pupil(self, pupil_id: str, *, for_consent: bool = False) -> None:
        """Show one pupil, or ask who a new one is; or only what a pupil agrees to, and come back."""

        def fill(page: Page) -> None:
            pupil_page = cast("PupilPage", page)
            if pupil_id:
                pupil_page.open_pupil(pupil_id, for_consent)
            else:
                pupil_page.ask_new()

        self.ask("pupil", fill)

    def ask_years(self, pupil_id: str) -> None:
        """Show the years of one pupil."""
        self.ask("years", lambda page: cast("YearsPage", page).open_pupil(pupil_id))

    def ask_phone_clip(self, pupil: Pupil) -> None:
        """Ask for a clip from the phone of one pupil."""
        self.ask("phone_clip", lambda page: cast("PhoneClipPage", page).open_pupil(pupil))

    def measure(self) -> None:
        """Measure the open lesson, beside the window."""
        measure_lesson(self.state, self.pages)

    def set_look(self, look: Look) -> None:
        """Let all take on a look."""
        self._look = look
        for page in self._made.values():
            page.set_look(look)

    def finish(self) -> None:
        """Wait until nothing runs on any of them."""
        for page in self._made.values():
            page.finish()

    def forget_where(self) -> None:
        """There is no page to come back to: the lesson is another."""
        self._way.clear()

    def ask_mat(self, trace: Path | None = None) -> None:
        """Show the page of the mat, with its table where one was found."""
        self.ask("mat", None if trace is None else lambda page: cast("MatPage", page).open_trace(trace))

    # making

    def _make(self, name: str) -> Page:
        kind = PAGES[name]
        page = self._made[name] = kind.make(getattr(import_module(kind.room), kind.name), self)
        if name == "search":
            cast("SearchPage", page).pupil_asked.connect(self.ask_pupil)
        if name == "pupil":
            pupil_page = cast("PupilPage", page)
            pupil_page.left.connect(self._to_pupils)
            pupil_page.returned.connect(self._leave)
            pupil_page.years_asked.connect(self.ask_years)
            pupil_page.clip_asked.connect(self.ask_phone_clip)
        elif name == "questions":
            page.left.connect(self._leave_questions)
        else:
            page.left.connect(self._leave)
        if self._look is not None:
            page.set_look(self._look)
        self.pages.addWidget(page)
        return page

    def with_many_balls(self, make: Callable[..., Any]) -> Page:
        """Make the page of cautions, whose number of many balls is kept."""
        from review.app.pupils.caution_words import count_balls

        def count() -> int:
            return 0 if self.state.lesson is None else count_balls(self.state.lesson.swings)

        page = make(count, self._choice().many_balls, self.pages)
        page.many_chosen.connect(lambda many: self._choose(replace(self._choice(), many_balls=many)))
        return cast(Page, page)

    def with_measuring(self, make: Callable[..., Any]) -> Page:
        """Make a page from which the lesson can be measured."""
        page = make(self.state, self.pages)
        page.measure_asked.connect(self.measure)
        return cast(Page, page)

    def with_mat(self, make: Callable[..., Any]) -> Page:
        """Make a page that leads to that of the mat."""
        page = make(self.state, self.pages)
        page.mat_asked.connect(self.ask_mat)
        return cast(Page, page)

    def with_choice(self, make: Callable[..., Any]) -> Page:
        """Make the page of settings, which are kept at once."""
        page = make(self._choice, self.pages)
        page.chosen.connect(self._choose)
        page.house_asked.connect(lambda: self.ask("house"))
        return cast(Page, page)

    def _leave(self) -> None:
        self._go_back(self._way.pop() if self._way else None)

    def _leave_questions(self) -> None:
        if not self.open.renew_lesson():
            self._leave()
