"""What stands at the top of a page: what it shows, cut where it is long, and the keys most needed there."""

from PyQt5.QtCore import QEvent, QSize, Qt
from PyQt5.QtGui import QPainter, QPaintEvent, QResizeEvent
from PyQt5.QtWidgets import QLabel, QSizePolicy, QWidget

from review.lettering import clean

_BETWEEN_KEYS = "   "
_BETWEEN_PARTS = " · "
_LEAST_LETTERS = 4
"""So many letters' heights of a part that is cut are left at least."""
_MOST_OF_TITLE = 0.7
"""What a long title takes of the width before it is cut; the keys have the rest."""


class ElidedLabel(QLabel):
    """One line of words that never holds its page wide: cut with an ellipsis, all of it as tool tip and read aloud.

    ``keeps_end``: of parts with ' · ' between, the longest is cut, a name say, and the day behind it stays.
    """

    def __init__(self, text: str = "", parent: QWidget | None = None, *, keeps_end: bool = False) -> None:
        super().__init__(parent)
        self._keeps_end = keeps_end
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setText(text)

    def setText(self, a0: str | None) -> None:
        """Say other words; ``text`` gives all of them."""
        whole = clean(a0 or "")
        super().setText(whole)
        self.setAccessibleName(whole)
        self.setToolTip(whole)

    @property
    def shown(self) -> str:
        """What there is room for."""
        metrics, room, right = self.fontMetrics(), self.contentsRect().width(), Qt.TextElideMode.ElideRight
        parts = self.text().split(_BETWEEN_PARTS)
        if self._keeps_end and metrics.horizontalAdvance(self.text()) > room:
            at = max(range(len(parts)), key=lambda n: len(parts[n]))
            rest_px = metrics.horizontalAdvance(_BETWEEN_PARTS.join((*parts[:at], "", *parts[at + 1 :])))
            parts[at] = metrics.elidedText(parts[at], right, max(room - rest_px, _LEAST_LETTERS * metrics.height()))
        return metrics.elidedText(_BETWEEN_PARTS.join(parts), right, room)

    def minimumSizeHint(self) -> QSize:
        """As narrow as it must be."""
        return QSize(1, super().minimumSizeHint().height())

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint what there is room for."""
        style = self.style()
        if style is not None:
            shown, place, inks = self.shown, self.contentsRect(), self.palette()
            style.drawItemText(
                QPainter(self), place, int(self.alignment()), inks, self.isEnabled(), shown, self.foregroundRole()
            )


class KeysLine(ElidedLabel):
    """Keys parted by three spaces, the most needed first; without room they go from behind, but never the very last."""

    @property
    def shown(self) -> str:
        """The keys there is room for."""
        *keys, last = self.text().split(_BETWEEN_KEYS)
        room = self.contentsRect().width()
        while keys and self.fontMetrics().horizontalAdvance(_BETWEEN_KEYS.join((*keys, last))) > room:
            keys.pop()
        return _BETWEEN_KEYS.join((*keys, last))

    def setText(self, a0: str | None) -> None:
        """Name other keys."""
        QLabel.setText(self, a0)
        self.setAccessibleName(a0 or "")
        self.setToolTip(a0 or "")


def keep_together(keys: str) -> str:
    """The same line of keys where lines may break between two of them, but not between a key and what it does."""
    return _BETWEEN_KEYS.join(key.replace(" ", "\u00a0") for key in keys.split(_BETWEEN_KEYS))


class PageHead(QWidget):
    """A title on the left, keys on the right, and what is to be said ``between`` where there is something."""

    def __init__(self, title: QLabel, keys: QLabel, between: QWidget | None = None) -> None:
        super().__init__()
        self._title, self._keys, self._between = title, keys, between
        for part in (title, keys, between):
            if part is not None:
                part.setParent(self)
        keys.setObjectName("quiet")
        keys.setAlignment(Qt.Alignment(Qt.AlignmentFlag.AlignRight) | Qt.AlignmentFlag.AlignVCenter)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """As high as the higher of both, and no width of its own."""
        return QSize(1, max(part.sizeHint().height() for part in (self._title, self._keys)))

    def event(self, a0: QEvent | None) -> bool:
        """Follow what is said."""
        if a0 is not None and a0.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
            self._place()
        return super().event(a0)

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Follow the width."""
        super().resizeEvent(a0)
        self._place()

    def _place(self) -> None:
        gap, width, height = self._keys.fontMetrics().height(), self.width(), self.height()
        keys_px = 0 if self._keys.isHidden() else self._keys.sizeHint().width() + gap
        title_px = min(self._title.sizeHint().width(), max(width - keys_px, round(_MOST_OF_TITLE * width)))
        said_px = 0
        if self._between is not None and not self._between.isHidden():
            most = width - title_px - round((1 - _MOST_OF_TITLE) * width)
            said_px = min(self._between.sizeHint().width(), max(most, width - title_px - keys_px))
            self._between.setGeometry(title_px, 0, said_px, height)
        self._title.setGeometry(0, 0, title_px, height)
        left = title_px + said_px + gap
        self._keys.setGeometry(left, 0, max(0, width - left), height)
