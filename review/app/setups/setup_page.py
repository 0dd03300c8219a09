"""What both set-up pages are: a still with what is marked on it, beside it a panel that asks."""

from PyQt5.QtCore import pyqtSignal
from PyQt5.QtGui import QHideEvent, QShowEvent
from PyQt5.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from review.app.look import Look
from review.app.page import Page
from review.app.setups.panel import Panel
from review.app.setups.still import Still
from review.app.state import ReviewState


class SetupPage(Page):
    """``measure_asked`` when the coach wants numbers; the clip is open only while the page is shown."""

    measure_asked = pyqtSignal()

    def __init__(self, name: str, still_name: str, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self._state = state
        self.still, self.panel = Still(still_name, self), Panel(self)
        self._left = QVBoxLayout()
        self._left.setSpacing(0)
        self._left.addWidget(self.still, 1)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(self._left, 1)
        layout.addWidget(self.panel)
        self.panel.passed_on.connect(self.keyPressEvent)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self.still.set_look(look)
        self.panel.set_look(look)

    def take_focus(self) -> None:
        """Let the keyboard go to the field, where a number is asked for."""
        (self.setFocus if self.panel.field.isHidden() else self.panel.field.setFocus)()

    def showEvent(self, a0: QShowEvent | None) -> None:
        """Open the clip again that was let go of."""
        super().showEvent(a0)
        if self._has_clip() and not self.still.is_open:
            self._open_clip()

    def hideEvent(self, a0: QHideEvent | None) -> None:
        """Let go of the clip."""
        super().hideEvent(a0)
        self.still.close_clip()

    def finish(self) -> None:
        """Wait until nothing runs: nothing may outlive the window."""
        self.still.finish()

    def _ask_number(self, text: str | None, asked: str) -> None:
        """Let a number be typed, or put the field away and take the keyboard back from it."""
        had_focus = self.panel.field.hasFocus()
        self.panel.ask_number(text, asked)
        if had_focus and text is None:
            self.setFocus()

    def _has_clip(self) -> bool:
        """Whether there is a clip to mark on."""
        raise NotImplementedError

    def _open_clip(self) -> None:
        """Open it."""
        raise NotImplementedError
