"""The bar that says what went wrong and what to do; it stays until the coach takes it away, and stops nothing."""

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeySequence, QResizeEvent, QShowEvent
from PyQt5.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QShortcut, QSizePolicy, QWidget

from review.app.language import tr
from review.app.look.painting import break_lines
from review.app.sentences import say_sentences

FEW_LINES, MOST_LINES = 2, 12
_LOW_PX = 560
"""In a window so low one line has to do: what is worked on needs the room."""


class ErrorBar(QFrame):
    """Hidden until there is something to say; of a long text two lines, the rest when asked for.

    Nothing of it is written anywhere: what goes wrong may name a pupil.
    """

    dismissed = pyqtSignal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("trouble")
        self.text, self._is_whole = "", False
        self._shown = QLabel(self)
        self._shown.setTextFormat(Qt.TextFormat.PlainText)
        self._shown.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._more = self._make_button()
        self._more.clicked.connect(self.toggle_whole)
        self._close = self._make_button()
        self._close.clicked.connect(self.dismiss)
        layout = QHBoxLayout(self)
        layout.addWidget(self._shown, 1)
        layout.addWidget(self._more)
        layout.addWidget(self._close)
        # before any page sees it: what is said must go where the coach says so
        self._close_key = QShortcut(QKeySequence(Qt.Key.Key_Escape), self.window())
        self._close_key.activated.connect(self.dismiss)
        self._close_key.setEnabled(False)
        self.set_words()
        self.hide()

    def set_words(self) -> None:
        """Name everything in the chosen language; what is said stays as it came."""
        self.setAccessibleName(tr("What went wrong"))
        for button, said in ((self._more, tr("All of it (F11)")), (self._close, tr("Close (Esc)"))):
            button.setText(said)
            button.setAccessibleName(said)

    @property
    def lines(self) -> list[str]:
        """What is to be read now, line by line."""
        return self._shown.text().split("\n")

    def say(self, text: str) -> None:
        """Say what went wrong."""
        self.text, self._is_whole = say_sentences(text), False
        self.setAccessibleDescription(self.text)
        self.show()
        self._close_key.setEnabled(True)
        self._fit()

    def toggle_whole(self) -> None:
        """Show all of a long text, or the beginning again."""
        self._is_whole = not self._is_whole
        self._fit()

    def dismiss(self) -> None:
        """Take it away."""
        self._close_key.setEnabled(False)
        self.hide()
        self.dismissed.emit()

    def _fit(self) -> None:
        few, most = self._break()
        if self._more.isHidden() != (few == most):  # the button takes of the width
            self._more.setVisible(few != most)
            if (layout := self.layout()) is not None:
                layout.activate()
            few, most = self._break()
        self._shown.setText("\n".join(most if self._is_whole else few))

    def _break(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        window = self.window()
        is_low = window is not None and window.height() < _LOW_PX
        few, most = (
            break_lines(self.text, self._shown.font(), self._shown.width(), n)
            for n in (1 if is_low else FEW_LINES, MOST_LINES)
        )
        return few, most

    def _make_button(self) -> QPushButton:
        button = QPushButton(self)
        button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        return button

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Break the lines anew."""
        super().resizeEvent(a0)
        self._fit()

    def showEvent(self, a0: QShowEvent | None) -> None:
        """Its place is known only now."""
        super().showEvent(a0)
        self._fit()
