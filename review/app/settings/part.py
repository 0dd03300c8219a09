"""The settings page among the pages of the window; made when it is first shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt5.QtWidgets import QStackedWidget, QWidget

from review.app.look import Look
from review.app.look.choice import Choice

if TYPE_CHECKING:
    from review.app.settings.view import SettingsPage


class SettingsPart:
    """Shows it by way of ``show``; ``leave`` goes back, ``choose`` takes on what was changed."""

    def __init__(
        self,
        pages: QStackedWidget,
        show: Callable[[QWidget], None],
        leave: Callable[[], None],
        choice: Callable[[], Choice],
        choose: Callable[[Choice], None],
    ) -> None:
        self._pages, self._show, self._leave, self._choice, self._choose = pages, show, leave, choice, choose
        self._look: Look | None = None
        self.page: SettingsPage | None = None

    @property
    def row(self) -> int | None:
        """The row that is chosen while the page is up, else None."""
        return self.page.row if self.page is not None and self._pages.currentWidget() is self.page else None

    def show_page(self, row: int | None = 0) -> None:
        """Show it with a row chosen; None leaves what is shown."""
        if row is None:
            return
        if self.page is None:
            from review.app.settings.view import SettingsPage

            self.page = SettingsPage(self._choice(), self._pages)
            self.page.left.connect(self._leave)
            self.page.chosen.connect(self._choose)
            self._pages.addWidget(self.page)
        self.page.show_choice(self._choice(), row)
        if self._look is not None:
            self.page.set_look(self._look)
        self._show(self.page)

    def set_look(self, look: Look) -> None:
        """Take on a look, and show what else was chosen by another key."""
        self._look = look
        if self.page is not None:
            self.page.show_choice(self._choice())
            self.page.set_look(look)
