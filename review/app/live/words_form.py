"""A strip in which something is written while the lesson goes on: cue and feel, the club, why a shot is left out."""

from collections.abc import Callable, Sequence

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QHideEvent, QKeyEvent, QShowEvent
from PyQt5.QtWidgets import QLabel, QWidget

from review.app.language import tr
from review.app.live.earlier_field import EarlierField
from review.app.pupils.form import Form


class WordsForm(Form):
    """Asks for one to three lines; Enter hands them over, Esc leaves them for later.

    ``turned`` tells that it came up or went, ``put_aside`` that something half written was left.
    """

    turned = pyqtSignal(bool)
    put_aside = pyqtSignal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(say_words_keys(), parent)
        self.setAccessibleName(tr("Words"))
        self.fields = (EarlierField(self), EarlierField(self), EarlierField(self))
        for field in self.fields:
            self.add_row("", field)
        self.names = [label for label in self.findChildren(QLabel, "field") if label.buddy() in self.fields]
        self._then: Callable[..., object] = _nothing
        self._speak: Callable[[int], object] | None = None
        self.go_on: Callable[[], object] | None = None
        self.kept.connect(self._hand_over)
        self._about, self._given = "", list[tuple[str, str]]()
        self._drafts: dict[tuple[str, str], str] = {}
        self.left.connect(self._put_aside)
        self.hide()

    def ask(
        self,
        title: str,
        lines: Sequence[tuple[str, str, Sequence[str]]],
        then: Callable[..., object],
        speak: Callable[[int], object] | None = None,
        about: str = "",
        go_on: Callable[[], object] | None = None,
    ) -> None:
        """Ask for lines, each by its name, what it says so far and what is offered; ``then`` gets what was written.

        Where a line may be spoken instead, ``speak`` gets its place from 0 by Ctrl+R. A line that was left half
        written comes back where it is asked for again: by its name, and ``about`` or the title. ``go_on`` is called
        once it was kept or left.
        """
        self.begin(title)
        self._then, self._speak, self.go_on = then, speak, go_on
        self._about, self._given = about or title, [(name, text) for name, text, _ in lines]
        keys = say_words_keys()
        self._hint.setText(keys if speak is None else f"{keys}   {tr('Ctrl+R speak it')}")
        self._lay(is_beside=len(lines) == len(self.fields))
        for n, field in enumerate(self.fields):
            for part in (self.names[n], field):
                part.setVisible(n < len(lines))
            if n < len(lines):
                name, text, offered = lines[n]
                field.setText(self._drafts.get((self._about, name), text))
                field.offer(offered)
                field.setAccessibleName(name)
                self.names[n].setText(name)
        self.show()
        self.fields[0].setFocus()

    def _lay(self, *, is_beside: bool) -> None:
        """Three short lines stand beside each other: beneath each other they would take the chart's room."""
        for n, (name, field) in enumerate(zip(self.names, self.fields, strict=True)):
            row, column = (0, 2 * n) if is_beside else (n, 0)
            for part, at in ((name, column), (field, column + 1)):
                self.rows.removeWidget(part)
                self.rows.addWidget(part, row, at)
            if n:
                self.rows.setColumnStretch(2 * n + 1, int(is_beside))

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Ctrl+R speaks what the line asks for; the letters are for writing."""
        with_control = a0 is not None and bool(a0.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if a0 is not None and with_control and a0.key() == Qt.Key.Key_R and self._speak is not None:
            self._speak(next((n for n, field in enumerate(self.fields) if field.hasFocus()), 0))
        else:
            super().keyPressEvent(a0)

    def showEvent(self, a0: QShowEvent | None) -> None:
        """It came up."""
        super().showEvent(a0)
        self.turned.emit(True)

    def hideEvent(self, a0: QHideEvent | None) -> None:
        """It went."""
        super().hideEvent(a0)
        self.turned.emit(False)

    def forget_drafts(self) -> None:
        """The lesson is another: what was left half written was about the one before."""
        self._drafts.clear()

    def _put_aside(self) -> None:
        """Esc keeps what is half written for the next time, and tells it."""
        is_any = False
        for (name, text), field in zip(self._given, self.fields, strict=False):
            if field.text().strip() != text:
                self._drafts[self._about, name] = field.text()
                is_any = True
        self.hide()
        if is_any:
            self.put_aside.emit()
        self._leave_for()

    def _hand_over(self) -> None:
        for name, _ in self._given:
            self._drafts.pop((self._about, name), None)
        then, self._then = self._then, _nothing
        written = [field.text().strip() for field in self.fields if not field.isHidden()]
        self.hide()
        then(*written)
        self._leave_for()

    @property
    def is_between(self) -> bool:
        """Whether it is up and something is gone on with after it."""
        return not self.isHidden() and self.go_on is not None

    def _leave_for(self) -> None:
        go_on, self.go_on = self.go_on, None
        if go_on is not None:
            go_on()


def say_words_keys() -> str:
    """The keys of the strip."""
    return tr("↓ earlier words   Enter keeps   Esc later")


def _nothing(*_: str) -> None:
    """Nobody asked."""
