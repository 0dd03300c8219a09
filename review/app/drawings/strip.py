"""The strip at the foot of a swing while the coach draws: what to press next, and the words of a text."""

from PyQt5.QtCore import pyqtSignal
from PyQt5.QtWidgets import QFrame, QHBoxLayout, QLabel, QLineEdit, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.painting import font_of, line_px


class Strip(QFrame):
    """Says words; ``typed`` brings what was written after ``ask``."""

    typed = pyqtSignal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("status")
        self.setAccessibleName(tr("What can be drawn"))
        self.label, self.told, self.edit = QLabel(self), QLabel(self), QLineEdit(self)
        self.told.setObjectName("quiet")
        self.label.setWordWrap(True)
        self.told.setWordWrap(True)
        self.edit.setAccessibleName(tr("Words of the drawing"))
        self.edit.setMaxLength(60)
        self.edit.returnPressed.connect(lambda: self.typed.emit(self.edit.text().strip()))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 4, 12, 4)
        layout.addWidget(self.edit, 4)  # a note of the longest is read whole while it is typed
        layout.addWidget(self.label, 3)
        layout.addWidget(self.told, 1)
        for part in (self.edit, self.told, self):
            part.hide()

    @property
    def is_asking(self) -> bool:
        """Whether words are being typed."""
        return not self.edit.isHidden()

    def say(self, words: str) -> None:
        """Say what to press."""
        self.label.setText(words)
        self.setAccessibleDescription(words)

    def tell(self, words: str) -> None:
        """Tell what was done."""
        self.told.setText(words)
        self.told.setVisible(bool(words))

    def set_look(self, look: Look) -> None:
        """Take two lines, whatever is said: the picture above keeps its size."""
        self.setFixedHeight(round(2.3 * line_px(font_of(look.plain_px))) + 8)

    def ask(self) -> None:
        """Let words be typed."""
        self.edit.clear()
        self.edit.show()
        self.edit.setFocus()

    def ask_for(self, words: str, text: str = "") -> None:
        """Come up and ask for words; ``text`` stands there already."""
        self.say(words)
        self.show()
        self.ask()
        self.edit.setText(text)

    def stop_asking(self, page: QWidget) -> None:
        """Put the field away, where it is there; the keyboard goes back to the page."""
        if self.is_asking:
            self.edit.hide()
            page.setFocus()
