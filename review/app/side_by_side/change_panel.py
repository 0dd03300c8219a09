"""What changed from the first batch to the last, beneath two clips or beside them: words, no tiles."""

from PyQt5.QtCore import QSize, Qt
from PyQt5.QtGui import QPainter, QPaintEvent, QResizeEvent
from PyQt5.QtWidgets import QBoxLayout, QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.painting import paint_mark
from review.app.side_by_side.words import MOST_MEASURED, Told

_LINES_BENEATH = 3
_WAYS_BESIDE = ((MOST_MEASURED, 2), (MOST_MEASURED, 1), (3, 1), (2, 1), (2, 0), (1, 0), (0, 1), (0, 0))
"""Lines of what was measured, and reasons: from all of it to the least."""


class BatchMark(QWidget):
    """The mark of a batch, as large as a line of text."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._number, self._look = 1, None  # type: tuple[int, Look | None]
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def show_batch(self, number: int, look: Look) -> None:
        """Show another batch's."""
        self._number, self._look = number, look
        self.setAccessibleName(tr("batch {n}", n=number))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """A square."""
        side = 0 if self._look is None else self._look.number_px
        return QSize(side, side)

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint it."""
        if self._look is not None:
            painter, half = QPainter(self), self.height() / 2
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            paint_mark(painter, self._number, self._look.theme.colour_of(self._number), half, half, 0.8 * half)


class ChangePanel(QWidget):
    """Shows a ``Told``; beside the clips its parts stand below each other, beneath them side by side."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look: Look | None = None
        self._told: Told | None = None
        self._is_beside, self._is_making_room = False, False
        self.label, self.first, self.last, self.change = (self._text(name) for name in ("quiet", *3 * ("number",)))
        self.verdict, self.interval, self.why = self._text("verdict"), self._text("quiet"), self._text("quiet")
        self.felt_head, self.felt = self._text("heading"), self._text("")
        self.measured_head, self.measured = self._text("heading"), self._text("")
        self.marks = BatchMark(self), BatchMark(self)
        self.batches = self._text("heading"), self._text("heading")
        self._parts = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._parts.setContentsMargins(0, 0, 0, 0)
        both, changed, felt, measured = (QVBoxLayout() for _ in range(4))
        both.addWidget(self.label)
        for mark, batch, text in zip(self.marks, self.batches, (self.first, self.last), strict=True):
            row = QHBoxLayout()
            row.setSpacing(10)
            for part in (mark, batch):
                row.addWidget(part, 0, Qt.AlignmentFlag.AlignVCenter)
            row.addWidget(text, 1)
            both.addLayout(row)
        changed.addWidget(self.change)
        chip = QHBoxLayout()
        chip.addWidget(self.verdict)
        chip.addStretch(1)
        changed.addLayout(chip)
        for text in (self.interval, self.why):
            changed.addWidget(text)
        for text in (self.felt_head, self.felt):
            felt.addWidget(text)
        for text in (self.measured_head, self.measured):
            measured.addWidget(text)
        for column, stretch in ((both, 4), (changed, 4), (felt, 3), (measured, 4)):
            column.addStretch(1)
            column.setSpacing(2)
            self._parts.addLayout(column, stretch)
        self.setAccessibleName(tr("First batch against last"))

    def _text(self, name: str) -> QLabel:
        text = QLabel(self)
        text.setObjectName(name)
        text.setWordWrap(name not in ("verdict", "heading"))
        text.setTextFormat(Qt.TextFormat.PlainText)
        return text

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self._parts.setSpacing(look.plain_px)
        theme = look.theme
        self.verdict.setStyleSheet(
            f"background: {theme.ink}; color: {theme.ground}; font-weight: bold; border-radius: 4px; padding: 2px 10px;"
        )
        self.change.setStyleSheet("font-weight: bold;")

    def stand(self, is_beside: bool) -> None:
        """Stand beside the clips, or beneath them."""
        directions = QBoxLayout.Direction
        self._is_beside = is_beside
        # beneath, each line of words takes height from the pictures
        for text in (self.felt, self.measured):
            text.setObjectName("" if is_beside else "quiet")
            text.setStyleSheet(text.styleSheet())  # takes on the style of its new name
        self._parts.setDirection(directions.TopToBottom if is_beside else directions.LeftToRight)
        self._make_room()

    def show_told(self, told: Told) -> None:
        """Show what is told; what is empty leaves no room."""
        self._told = told
        self._make_room()

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Beside the clips as much is told as there is room for."""
        super().resizeEvent(a0)
        if self._is_beside:
            self._make_room()

    def _make_room(self) -> None:
        """Tell less until all of it can be read: first without the reason, last without what was felt."""
        if self._told is None or self._is_making_room:
            return
        self._is_making_room = True  # what comes or goes gives it another size at once
        ways = _WAYS_BESIDE if self._is_beside else ((_LINES_BENEATH, 2),)
        for n_measured, n_reasons in ways:
            self._tell(self._told, n_measured, n_reasons)
            self._parts.invalidate()
            self._parts.activate()  # else the columns within it keep their old heights
            if self._parts.heightForWidth(self.width()) <= self.height():
                break
        self._is_making_room = False

    def _tell(self, told: Told, n_measured: int, n_reasons: int = 2) -> None:
        """Tell with so many lines of what was measured, beside what was felt (0 = neither), and so many reasons."""
        change, look = told.change, self._look
        has_felt = bool(told.felt) and n_measured > 0
        why = told.instead if change is None else change.why
        for text, words in (
            (self.label, told.label),
            (self.first, "" if change is None else change.first_words),
            (self.last, "" if change is None else change.last_words),
            (self.change, "" if change is None else change.change),
            (self.verdict, "" if change is None else change.verdict),
            (self.interval, "" if change is None or n_reasons < 1 else change.interval),
            (self.why, why if change is None or n_reasons > 1 else ""),
            (self.felt_head, tr("felt") if has_felt else ""),
            (self.felt, tr("“{words}”", words=told.felt) if has_felt else ""),
            (self.measured_head, tr("measured") if has_felt and told.measured else ""),
            (self.measured, "\n".join(told.measured[:n_measured]) if has_felt else ""),
        ):
            text.setText(words)
            text.setVisible(bool(words))
        numbers = (1, 1) if change is None else (change.first, change.last)
        for mark, batch, number in zip(self.marks, self.batches, numbers, strict=True):
            mark.setVisible(change is not None)
            batch.setVisible(change is not None)
            batch.setText(tr("batch {n}", n=number))
            if look is not None:
                mark.show_batch(number, look)
