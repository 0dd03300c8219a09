"""The live lesson as a part of the window: begun by a key on any page, gone on with when it was left."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import QObject, pyqtSignal
from PyQt5.QtWidgets import QStackedWidget, QWidget

from review.app.language import tr
from review.app.live.following import Following
from review.app.look import Look
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task
from review.errors import BadInputError
from review.lesson import Pupil

if TYPE_CHECKING:  # loaded beside the window
    from review.app.live.begin_page import BeginPage
    from review.app.live.page import LivePage
    from review.jobs.live import EarlierWords, LiveBefore, LiveRequest, Noted


class LivePart(QObject):
    """Shows its pages by way of ``show``; ``leave`` shows what the window shows without them.

    ``hold_still`` is told when a swing is on, ``caution`` shows the cautions before a first ball.
    """

    consent_asked = pyqtSignal(str)
    measuring = pyqtSignal(int)
    """Clips of the lesson that are being measured or wait for it."""

    def __init__(
        self,
        state: ReviewState,
        pages: QStackedWidget,
        show: Callable[[QWidget], None],
        leave: Callable[[], None],
        hold_still: Callable[[bool], None],
        caution: Callable[[], None],
        now: Callable[[], datetime] = datetime.now,
    ) -> None:
        super().__init__(pages)
        self._state, self._pages, self._now = state, pages, now
        self._show, self._leave, self._hold_still, self._caution = show, leave, hold_still, caution
        self._look: Look | None = None
        self.page: LivePage | None = None
        self.begin_page: BeginPage | None = None
        self.following: Following | None = None
        self._before: list[Following] = []
        self._asked_at = now()
        self._is_on = self._is_resumed = False
        self._notes: list[Noted] = []
        self._words: EarlierWords | None = None
        self._came_from: QWidget | None = None
        self._clips_to_measure: tuple[frozenset[str], frozenset[str]] = frozenset(), frozenset()

    @property
    def is_on(self) -> bool:
        """Whether a lesson goes on here and is the one that is open."""
        return self._is_on and self.page is not None

    def ask(self, pupil: Pupil | None = None) -> None:
        """Ask whose lesson begins, ``pupil`` where that is known; it begins now, whenever the answer comes.

        Before that, what the batch felt like that ends with it.
        """
        self._asked_at = self._now()
        is_asked = self._pages.currentWidget() is self.begin_page and self.begin_page is not None
        if self.page is None or not self._is_on or is_asked:
            self._ask(pupil)
        elif self.page.asks.ask_last_feel(lambda: self._ask(pupil)):
            self._show(self.page)

    def _ask(self, pupil: Pupil | None) -> None:
        if self._pages.currentWidget() is not self.begin_page or self.begin_page is None:
            self._came_from = self._pages.currentWidget()
        self._look_before(lambda before: self._show_begin(before, pupil))

    def begin(self, request: LiveRequest, asked_at: datetime, now: Callable[[], datetime]) -> None:
        """Begin a lesson without asking, by another clock than the computer's."""
        self._now = now
        self._follow(request, asked_at)

    def go_on_if_left(self) -> None:
        """Go on with a lesson that was left without an end: closed, killed, a power cut."""

        def take(before: LiveBefore) -> None:
            if before.going_on and self.following is None:
                self._words = before.words
                self._follow(self._empty_request(), self._now())

        self._look_before(take)

    def show_page(self) -> None:
        """Show the lesson that goes on."""
        if self.page is not None:
            self._show(self.page)

    def set_look(self, look: Look) -> None:
        """Let all take on a look."""
        self._look = look
        for page in (self.page, self.begin_page):
            if page is not None:
                page.set_look(look)

    def finish(self) -> None:
        """Leave the lesson as it is, and wait until nothing runs: nothing may outlive the window."""
        if self.page is not None:
            self.page.finish()  # first: what is being spoken is kept yet
        if self.following is not None:
            self.following.leave()
            self.following.wait()
        for before in self._before:
            before.wait()

    # beginning

    def _look_before(self, then: Callable[[Any], None]) -> None:
        folder, at = self._state.library, self._now()

        def work(_: Any) -> Any:
            import review.app.live.begin_page
            import review.app.live.page  # noqa: F401
            from review.jobs.live import look_before

            return look_before(folder, at)

        self._state.line.add(Task(tr("Getting ready"), work, then, self._state.trouble_came.emit, owner=self))

    def _go_back(self) -> None:
        """Show the page on which was asked."""
        page, self._came_from = self._came_from, None
        if page is not None and any(self._pages.widget(n) is page for n in range(self._pages.count())):
            self._show(page)
        else:
            self._leave()

    def _show_begin(self, before: LiveBefore, pupil: Pupil | None = None) -> None:
        if self.begin_page is None:
            from review.app.live.begin_page import BeginPage

            self.begin_page = BeginPage(self._pages)
            self.begin_page.kept.connect(self._begin)
            self.begin_page.left.connect(self._go_back)
            self._take_in(self.begin_page)
        self.begin_page.show_before(before, pupil)
        self._words = before.words
        self._show(self.begin_page)

    def _begin(self) -> None:
        page = self.begin_page
        if page is None:
            return
        try:
            request = page.read()
        except BadInputError as error:
            page.refuse(say_sentences(str(error)))
            return
        self._follow(request, self._asked_at)

    def _follow(self, request: LiveRequest, asked_at: datetime) -> None:
        before = self.following
        if before is not None:
            before.leave()
            self._before = [one for one in (*self._before, before) if one.is_running]
        self._is_on = self._is_resumed = False
        self._notes.clear()
        following = self.following = Following(self._state.library, request, asked_at, self._now, before)
        following.began.connect(lambda shown: self._take_begun(following, shown))
        following.renewed.connect(lambda shown: self._take_renewed(following, shown))
        following.failed.connect(lambda why: self._take_failed(following, why, before is not None))
        following.happened.connect(lambda event: self._hear(following, event))
        following.swing_on.connect(self._hold_still)
        following.measuring.connect(lambda clips: self._take_measuring(following, clips))
        self._take_measuring(following, (frozenset(), frozenset()))
        following.start()

    def _take_begun(self, following: Following, shown: Any) -> None:
        if following is not self.following:
            return
        if self.page is None:
            from review.app.live.page import LivePage

            self.page = LivePage(self._state, self._pages)
            self.page.ended.connect(self._end)
            self.page.consent_asked.connect(self.consent_asked)
            self._take_in(self.page)
        if self.begin_page is not None:
            self.begin_page.forget_typed()
        self.page.follow(following)
        self.page.show_measuring(self._clips_to_measure)
        if self._words is not None:
            self.page.asks.words = self._words
        self.page.say_notes(self._notes)  # what was told before there was a page
        self._is_on = True
        self._state.renew_lesson(shown, tr("First against last: when the lesson is over."))
        self.page.refresh()
        self._show(self.page)
        if not self._is_resumed and not shown.swings:
            self._caution()

    def _take_renewed(self, following: Following, shown: Any) -> None:
        open_now = self._state.lesson
        if following is not self.following or open_now is None or open_now.lesson.id != shown.lesson.id:
            return
        if self._is_on:
            self._state.renew_lesson(shown)
        else:  # it is over and compared: numbers that come later count there too
            self._state.renew_from_library(shown.lesson.id)

    def _take_measuring(self, following: Following, clips: tuple[frozenset[str], frozenset[str]]) -> None:
        if following is self.following:
            self._clips_to_measure = clips
            self.measuring.emit(sum(map(len, clips)))
            if self.page is not None:
                self.page.show_measuring(clips)

    def _take_failed(self, following: Following, why: str, was_on: bool) -> None:
        if following is not self.following:
            return
        self.following, self._is_on = None, False
        if self.begin_page is not None and self._pages.currentWidget() is self.begin_page:
            self.begin_page.refuse(why)
        else:
            self._state.trouble_came.emit(why)
        if was_on:  # the lesson before has not ended: it goes on
            self.go_on_if_left()

    def _hear(self, following: Following, event: Any) -> None:
        from review.jobs.live import LessonBegan, Noted

        if following is self.following and isinstance(event, LessonBegan):
            self._is_resumed = event.is_resumed
        elif following is self.following and isinstance(event, Noted):
            self._notes.append(event)

    def _end(self) -> None:
        """The lesson is over: its chart is shown with first against last, measuring goes on behind."""
        self._is_on = False
        if self._state.lesson is not None:
            self._state.open_lesson(self._state.lesson.lesson.id)

    def _empty_request(self) -> LiveRequest:
        from review.jobs.live import LiveRequest

        return LiveRequest()

    def _take_in(self, page: LivePage | BeginPage) -> None:
        if self._look is not None:
            page.set_look(self._look)
        self._pages.addWidget(page)
