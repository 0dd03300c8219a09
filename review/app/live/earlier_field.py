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
    """What is typed first narrows what is offered to what begins like it; ``after_typing``: nothing before that.

    ``is_list``: several may stand there with commas between; after one that was offered the comma comes by itself.
    """

    def __init__(self, parent: QWidget | None = None, *, after_typing: bool = False, is_list: bool = False) -> None:
        super().__init__(parent)
        self._is_after_typing, self._is_list, self._head = after_typing, is_list, ""
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
            if a0 is not None and self._is_list and self._at >= 0 and self._is_next(a0):
                self.insert(", ")
            if a0 is None or a0.text() != " " or not self.text().endswith(", "):
                super().keyPressEvent(a0)

    def _is_next(self, pressed: QKeyEvent) -> bool:
        """Whether a key begins to write another one after what was offered."""
        is_writing = pressed.text().isprintable() and pressed.text() not in ("", ",", ";")
        return is_writing and self.cursorPosition() == len(self.text())

    def _begin(self, text: str) -> None:
        places = [n + 1 for n, letter in enumerate(text) if letter in ",;"] if self._is_list else []
        self._head = f"{text[: places[-1]]} " if places else ""
        self._begun, self._at = text[places[-1] :].strip() if places else text, -1

    def _step(self, by: int) -> None:
        if self._is_after_typing and not self._begun.strip():
            return
        fitting = [word for word in self.offered if word.casefold().startswith(self._begun.casefold())]
        self._at = min(max(self._at + by, -1), len(fitting) - 1)
        self.setText(self._head + (fitting[self._at] if self._at >= 0 else self._begun))
