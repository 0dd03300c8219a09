"""The bar that says what went wrong and what to do; it stays until the coach takes it away, and stops nothing."""

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from review.app.language import tr


class ErrorBar(QFrame):
    """Hidden until there is something to say."""

    dismissed = pyqtSignal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("trouble")
        self.setAccessibleName(tr("What went wrong"))
        self._text = QLabel(self)
        self._text.setWordWrap(True)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        close = QPushButton(tr("Close (Esc)"), self)
        close.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        close.clicked.connect(self.dismiss)
        layout = QHBoxLayout(self)
        layout.addWidget(self._text, 1)
        layout.addWidget(close)
        self.hide()

    @property
    def text(self) -> str:
        """What it says."""
        return self._text.text()

    def say(self, text: str) -> None:
        """Say what went wrong."""
        self._text.setText(text)
        self.setAccessibleDescription(text)
        self.show()

    def dismiss(self) -> None:
        """Take it away."""
        self.hide()
        self.dismissed.emit()
