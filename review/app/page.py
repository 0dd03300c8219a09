"""What every page of the window is: it takes on a look, takes the keyboard, and tells when the coach goes back."""

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtWidgets import QWidget

from review.app.look import Look


class Page(QWidget):
    """One page of the window; ``left`` when the coach goes back to where it was opened."""

    left = pyqtSignal()

    def __init__(self, accessible_name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(accessible_name)

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes; what comes from the style sheet comes by itself."""

    def take_focus(self) -> None:
        """Let the keyboard go where it belongs on this page."""
        self.setFocus()

    def renew(self) -> None:
        """Begin anew: the page was asked for by its key."""

    def finish(self) -> None:
        """Wait until nothing of its own runs: nothing may outlive the window."""
