"""A line for where a file lies, and a button that looks for it."""

from pathlib import Path

from PyQt5.QtCore import pyqtSignal
from PyQt5.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QWidget

from review.app.language import tr
from review.app.look.files import ask_file


class FileField(QWidget):
    """``chosen`` when a file was chosen in the dialog."""

    chosen = pyqtSignal()

    def __init__(self, wanted: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._wanted = wanted
        self.line, self.button = QLineEdit(self), QPushButton(tr("Choose (Ctrl+O)"), self)
        self.line.setAccessibleName(wanted)
        self.button.setAccessibleName(tr("Choose: {what}", what=wanted))
        self.button.setAutoDefault(False)
        self.button.clicked.connect(lambda _: self.ask())
        self.setFocusProxy(self.line)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.line, 1)
        layout.addWidget(self.button)

    @property
    def path(self) -> Path | None:
        """What is named, None where nothing is."""
        said = self.line.text().strip().strip("'\"")
        return Path(said).expanduser() if said else None

    def ask(self) -> None:
        """Ask for the file, beginning where the one named lies."""
        said = ask_file(self, self._wanted, None if self.path is None else self.path.parent)
        if said is not None:
            self.line.setText(str(said))
            self.chosen.emit()
