"""Two swings, for the coach on a page of the window and for the pupil on a screen of its own; made when first shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt5.QtWidgets import QStackedWidget, QWidget

from review.app.look import Look
from review.app.state import ReviewState

if TYPE_CHECKING:  # loaded with the page
    from review.app.pupil_view.view import PupilView
    from review.app.side_by_side.view import SideBySide


class TwoSwings:
    """Shows them; ``show`` puts a page up, ``leave`` goes back to the lesson, ``come_back`` to the window."""

    def __init__(
        self,
        state: ReviewState,
        pages: QStackedWidget,
        show: Callable[[QWidget], None],
        leave: Callable[[], None],
        come_back: Callable[[], None],
    ) -> None:
        self._state, self._pages = state, pages
        self._show, self._leave, self._come_back = show, leave, come_back
        self._look: Look | None = None
        self._idle_s = 0.0
        self.page: SideBySide | None = None
        self.view: PupilView | None = None

    @property
    def chosen(self) -> tuple[str, str]:
        """The two swings of the page, by id; empty where none are open."""
        return ("", "") if self.page is None else self.page.chosen[:2]

    def show_page(self, first_id: str = "", last_id: str = "") -> SideBySide:
        """Show two swings side by side; without ids the typical ones of the first and the last batch."""
        if self.page is None:
            from review.app.side_by_side.view import SideBySide

            self.page = SideBySide(self._state, self._pages)
            self.page.left.connect(self._leave)
            if self._look is not None:
                self.page.set_look(self._look)
            self._pages.addWidget(self.page)
        self._show(self.page)
        self.page.open_pair(first_id, last_id)
        return self.page

    def show_view(self) -> PupilView:
        """Turn the screen to the pupil: the swings that are side by side, or the typical ones."""
        if self.view is None:
            from review.app.pupil_view.view import PupilView

            self.view = PupilView(self._state, self._pages.window())
            self.view.left.connect(self._come_back)
            if self._look is not None:
                self.view.set_theme(self._look.theme)
            if self._idle_s:
                self.view.set_idle_s(self._idle_s)
        self.view.open(*(() if self.page is None else self.page.chosen))
        return self.view

    def hold_still(self, is_swing_on: bool) -> None:
        """While a swing is on nothing plays, on the page or in front of the pupil."""
        if is_swing_on and self.page is not None and self.page.player is not None:
            self.page.player.transport.pause()
        if self.view is not None:
            self.view.hold_still(is_swing_on)

    def set_look(self, look: Look) -> None:
        """Let both take on a look."""
        self._look = look
        if self.page is not None:
            self.page.set_look(look)
        if self.view is not None:
            self.view.set_theme(look.theme)

    def set_idle_s(self, idle_s: float) -> None:
        """Say after how long without a key the pupil view hides."""
        self._idle_s = idle_s
        if self.view is not None:
            self.view.set_idle_s(idle_s)

    def finish(self) -> None:
        """Close both, and wait until nothing runs: nothing may outlive the window."""
        if self.page is not None:
            self.page.finish()
        if self.view is not None:
            self.view.finish()
            self.view.deleteLater()
            self.view = None
