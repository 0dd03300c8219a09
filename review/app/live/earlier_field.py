"""A line to write in that offers what was written before: ↓ and ↑ go through it, most used first.

The pupil may look on: earlier words come up by a key only, and names only once the first letter is typed.
"""

from collections.abc import Sequence

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QLineEdit, QWidget

from review.app.language import tr

_SHOWN = 3


class EarlierField(QLineEdit):
    """What is typed first narrows what is offered to what begins like it; ``after_typing``: nothing before that."""

    def __init__(self, parent: QWidget | None = None, *, after_typing: bool = False) -> None:
        super().__init__(parent)
        self._is_after_typing = after_typing
        self.offered: tuple[str, ...] = ()
        self._begun, self._at = "", -1
        self.textEdited.connect(self._begin)

    def offer(self, words: Sequence[str], is_shown: bool = False) -> None:
        """Offer other words; ``is_shown`` where anybody may read them in the empty line."""
        self.offered = tuple(words)
        self._begin(self.text())
        hint = tr("↓ {words}", words=" · ".join(self.offered[:_SHOWN])) if is_shown else tr("↓ earlier words")
        self.setPlaceholderText(hint if self.offered and not self._is_after_typing else "")

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Down and up go through what is offered; all else is written."""
        if a0 is not None and a0.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            self._step(1 if a0.key() == Qt.Key.Key_Down else -1)
        elif a0 is not None and a0.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            a0.ignore()
        else:
            super().keyPressEvent(a0)

    def _begin(self, text: str) -> None:
        self._begun, self._at = text, -1

    def _step(self, by: int) -> None:
        if self._is_after_typing and not self._begun.strip():
            return
        fitting = [word for word in self.offered if word.casefold().startswith(self._begun.casefold())]
        self._at = min(max(self._at + by, -1), len(fitting) - 1)
        self.setText(fitting[self._at] if self._at >= 0 else self._begun)
