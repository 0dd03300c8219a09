"""The settings page: arrow keys up and down choose a setting, left and right change it, at once."""

from collections.abc import Callable

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QLabel, QListWidget, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.choice import Choice
from review.app.look.two_lines import TwoLines
from review.app.page import Page
from review.app.settings.rows import list_rows

_BY_KEY = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1, Qt.Key.Key_Space: 1}


class SettingsPage(Page):
    """Lists what is chosen; ``chosen`` when something is changed, ``left`` when the coach goes back."""

    chosen = pyqtSignal(object)
    house_asked = pyqtSignal()

    def __init__(self, choice: Callable[[], Choice], parent: QWidget | None = None) -> None:
        super().__init__(tr("Settings"), parent)
        title, hint = QLabel(tr("Settings"), self), QLabel(self)
        title.setObjectName("title")
        hint.setObjectName("quiet")
        hint.setText(tr("↑ ↓ choose   ← → change, kept at once   B backup and old clips   Esc back"))
        self.rows = _Rows(self)
        self.rows.setAccessibleName(tr("Settings"))
        self._lines = TwoLines(self.rows)
        self.rows.setItemDelegate(self._lines)
        self._layout = layout = QVBoxLayout(self)
        for part in (title, self.rows, hint):
            layout.addWidget(part)
        self.setFocusProxy(self.rows)
        self._choice = choice
        self._show(0)

    @property
    def row(self) -> int:
        """The row that is chosen, from 0."""
        return self.rows.currentRow()

    def renew(self) -> None:
        """Begin with the first row."""
        self._show(0)

    def _show(self, row: int) -> None:
        self.rows.clear()
        for said in list_rows(self._choice()):
            self.rows.addItem(f"{said.words}\n{said.more}")
        self.rows.setCurrentRow(row)

    def set_look(self, look: Look) -> None:
        """Take on a look, and show what else was chosen by another key."""
        self._show(max(0, self.row))
        self._lines.look = look
        self._layout.setContentsMargins(2 * look.quiet_px, look.plain_px, 2 * look.quiet_px, look.quiet_px)
        self._layout.setSpacing(look.quiet_px)
        self.rows.doItemsLayout()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Change the setting that is chosen, or go back."""
        if a0 is None:
            return
        by = _BY_KEY.get(Qt.Key(a0.key()))
        if by is not None and self.row >= 0:
            self.chosen.emit(list_rows(self._choice())[self.row].step(by))
        elif a0.key() == Qt.Key.Key_B:
            self.house_asked.emit()
        elif a0.key() in (Qt.Key.Key_Escape, Qt.Key.Key_F12):
            self.left.emit()
        else:
            super().keyPressEvent(a0)


class _Rows(QListWidget):
    """Keeps ↑ ↓ Home End for itself and leaves the other keys to the page."""

    def keyPressEvent(self, e: QKeyEvent | None) -> None:
        """Move, or leave it to the page."""
        if e is not None and e.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Home, Qt.Key.Key_End):
            super().keyPressEvent(e)
        elif e is not None:
            e.ignore()
