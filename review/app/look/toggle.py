"""Something to tick: the mark is a sign in the text, so that it is never told by colour alone."""

from PyQt5.QtWidgets import QPushButton, QWidget

_ON, _OFF = "☑", "☐"


class Toggle(QPushButton):
    """Ticked or not, by Space or a click."""

    def __init__(self, text: str, parent: QWidget | None = None, is_on: bool = False) -> None:
        super().__init__(parent)
        self._said = text
        self.setObjectName("toggle")
        self.setCheckable(True)
        self.setChecked(is_on)
        self.setAccessibleName(text)
        self.setAutoDefault(False)
        self.toggled.connect(self._say)
        self._say()

    def _say(self) -> None:
        self.setText(f"{_ON if self.isChecked() else _OFF}  {self._said}")
