"""A strip in which something is written while the lesson goes on: cue and feel, the club, why a shot is left out."""

from collections.abc import Callable, Sequence

from PyQt5.QtCore import pyqtSignal
from PyQt5.QtGui import QHideEvent, QShowEvent
from PyQt5.QtWidgets import QLabel, QWidget

from review.app.language import tr
from review.app.live.earlier_field import EarlierField
from review.app.pupils.form import Form


class WordsForm(Form):
    """Asks for one to three lines; Enter hands them over, Esc skips. ``turned`` tells that it came up or went."""

    turned = pyqtSignal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("↓ earlier words   Enter keeps   Esc skips"), parent)
        self.setAccessibleName(tr("Words"))
        self.fields = (EarlierField(self), EarlierField(self), EarlierField(self))
        for field in self.fields:
            self.add_row("", field)
        self.names = [label for label in self.findChildren(QLabel, "field") if label.buddy() in self.fields]
        self._then: Callable[..., object] = _nothing
        self.kept.connect(self._hand_over)
        self.left.connect(self.hide)
        self.hide()

    def ask(
        self,
        title: str,
        lines: Sequence[tuple[str, str, Sequence[str]]],
        then: Callable[..., object],
    ) -> None:
        """Ask for lines, each by its name, what it says so far and what is offered; ``then`` gets what was written."""
        self.begin(title)
        self._then = then
        for n, field in enumerate(self.fields):
            self.show_row(field, n < len(lines))
            if n < len(lines):
                name, text, offered = lines[n]
                field.setText(text)
                field.offer(offered)
                field.setAccessibleName(name)
                self.names[n].setText(name)
        self.show()
        self.fields[0].setFocus()

    def showEvent(self, a0: QShowEvent | None) -> None:
        """It came up."""
        super().showEvent(a0)
        self.turned.emit(True)

    def hideEvent(self, a0: QHideEvent | None) -> None:
        """It went."""
        super().hideEvent(a0)
        self.turned.emit(False)

    def _hand_over(self) -> None:
        then, self._then = self._then, _nothing
        written = [field.text().strip() for field in self.fields if not field.isHidden()]
        self.hide()
        then(*written)


def _nothing(*_: str) -> None:
    """Nobody asked."""
