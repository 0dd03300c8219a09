"""The pages of a lesson that is over: its chart, and one of its swings; made when first shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt5.QtWidgets import QStackedWidget, QWidget

from review.app.look import Look
from review.app.state import ReviewState

if TYPE_CHECKING:  # loaded with the first lesson
    from review.app.lesson_chart.view import LessonChart
    from review.app.swing_view.page import SwingPage


class LessonPages:
    """Shows them by way of ``show``; ``leave`` goes back from a swing, ``look`` is how they look at first."""

    def __init__(
        self,
        state: ReviewState,
        pages: QStackedWidget,
        show: Callable[[QWidget], None],
        leave: Callable[[], None],
        look: Callable[[], Look],
    ) -> None:
        self._state, self._pages = state, pages
        self._show, self._leave, self._look = show, leave, look
        self.chart: LessonChart | None = None
        self.swing: SwingPage | None = None

    def show_chart(self) -> None:
        """Show the chart of the open lesson."""
        if self.chart is None:
            from review.app.lesson_chart.view import LessonChart

            self.chart = LessonChart(self._state, self._pages)
            self.chart.resize(self._pages.size())
            self.chart.set_look(self._look())
            self._pages.addWidget(self.chart)
        self._show(self.chart)

    def show_swing(self, swing_id: str) -> None:
        """Show one of its swings."""
        if self.swing is None:
            from review.app.swing_view.page import SwingPage

            self.swing = SwingPage(self._state, self._pages)
            self.swing.set_look(self._look())
            self.swing.left.connect(self._leave)
            self._pages.addWidget(self.swing)
        self._show(self.swing)
        self.swing.open_swing(swing_id)

    def close_swing(self) -> None:
        """Let go of the swing that is open."""
        if self.swing is not None:
            self.swing.close_swing()

    def tell(self, words: str) -> bool:
        """Say what was done beside what a coach who draws looks at; whether one draws."""
        is_drawing = self.swing is not None and self.swing.desk.is_on
        if self.swing is not None and is_drawing:
            self.swing.desk.strip.tell(words)
        return is_drawing

    def hold_still(self, is_swing_on: bool) -> None:
        """While a swing is on nothing is recorded."""
        if self.swing is not None:
            self.swing.talk.set_swing_on(is_swing_on)

    def set_look(self, look: Look) -> None:
        """Let both take on a look."""
        for page in (self.chart, self.swing):
            if page is not None:
                page.set_look(look)

    def finish_swing(self) -> None:
        """Wait until nothing of a swing runs."""
        if self.swing is not None:
            self.swing.finish()

    def finish(self) -> None:
        """Keep what is being spoken, and wait until nothing runs: nothing may outlive the window."""
        if self.chart is not None and self.chart.strip is not None:
            self.chart.strip.voice.finish()
        self.finish_swing()
