"""The words beside the picture of the pressure: batch by batch, as large as there is room for, to be read from afar."""

from typing import Any

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from review.app.ground.words import say_foot, say_means, say_missing, say_pattern
from review.app.language import tr
from review.app.look import Look
from review.app.sentences import say_sentences
from review.jobs.pressure.ground_shown import GroundShown
from review.pressure import BOTH_WAYS

_BATCH, _NUMBER, _PATTERN, _FOOT, _NOTE = range(5)
_LARGE_NUMBERS = ("heading", "number", "quiet", "quiet", "quiet")
_SIZES = (
    (("heading", "number", "number", "", "quiet"), 1),
    (("heading", "number", "", "quiet", "quiet"), 1),
    (("heading", "number", "", "quiet", "quiet"), 3),
    (("heading", "number", "", "quiet", "quiet"), 6),
    (_LARGE_NUMBERS, 4),
    (("heading", "", "", "quiet", "quiet"), 3),
    (("heading", "", "quiet", "quiet", "quiet"), 4),
)
"""Names in the style sheet of the five kinds of lines and how much closer they stand, from most room to least."""


class GroundWords(QScrollArea):
    """Says what each batch's pressure does, under it what the pictures say of the trail foot."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._gap_px = 0
        self._inside = QWidget(self)
        self._layout = QVBoxLayout(self._inside)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self.setWidget(self._inside)
        self.setWidgetResizable(True)
        for part in (self.viewport(), self._inside):
            if part is not None:
                part.setAutoFillBackground(False)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(tr("What the pressure does"))
        self._lines: list[tuple[QLabel, int]] = []

    def set_look(self, look: Look) -> None:
        """Take on sizes."""
        self._gap_px = look.quiet_px
        self._fit()

    def text(self) -> str:
        """Everything said, line by line."""
        return "\n".join(label.text() for label, _ in self._lines)

    def say_only(self, text: str) -> None:
        """Say one sentence instead."""
        self._show([(text, _FOOT)])

    def say(self, ground: GroundShown) -> None:
        """Say what is known of the batches, and what is not."""
        lines = [(say_sentences(ground.doubt), _PATTERN)] if ground.doubt else []
        for batch in ground.batches:
            lines += [(tr("Batch {n}", n=batch.number), _BATCH)]
            lines += [(text, _NUMBER) for text in say_means(batch, ground.handedness)]
            if batch.pattern or not ground.doubt:  # which says why, once
                lines += [(say_pattern(batch), _PATTERN)]
            lines += [(say_foot(mean, batch.n_swings, ground.handedness), _FOOT) for mean in batch.foot]
        notes = [tr("0 % trail foot, 100 % lead foot; ±: 9 times of 10 inside.")] if _have_means(ground) else []
        notes += [say_sentences(BOTH_WAYS)] if ground.is_told else []
        notes += say_missing(ground.foot_missing)
        if ground.note:
            lines += [(say_sentences(ground.note), _NOTE if ground.batches else _PATTERN)]
        self._show([*lines, *((text, _NOTE) for text in notes)])

    def go_on(self, by_pages: int) -> None:
        """Show what lies below (or above, negative) where there is no room for all."""
        if (bar := self.verticalScrollBar()) is not None:
            bar.setValue(bar.value() + by_pages * bar.pageStep() // 2)

    def resizeEvent(self, a0: Any) -> None:
        """As large as there is room for."""
        super().resizeEvent(a0)
        self._fit()

    def height_of_words(self, with_notes: bool = True) -> int:
        """How high all lines are; the layout would leave out those not shown yet."""
        width = self.maximumViewportSize().width()
        lines = [label for label, kind in self._lines if with_notes or kind != _NOTE]
        return sum(label.heightForWidth(width) + self._layout.spacing() for label in lines)

    def _show(self, lines: list[tuple[str, int]]) -> None:
        while (item := self._layout.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.deleteLater()
        self._lines.clear()
        for text, kind in lines:
            label = QLabel(text, self._inside)
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            self._layout.addWidget(label)
            self._lines.append((label, kind))
        self._layout.addStretch(1)
        self.setAccessibleDescription(self.text())
        self._fit()

    def _fit(self) -> None:
        """Choose the larger lettering where all is seen without scrolling; for large numbers notes may be below."""
        room = self.maximumViewportSize()
        for names, closer in _SIZES:
            self._layout.setSpacing(self._gap_px // (3 * closer))
            for n, (label, kind) in enumerate(self._lines):
                label.setObjectName(names[kind])
                label.setContentsMargins(0, self._gap_px // closer if n and kind == _BATCH else 0, 0, 0)
                if (style := label.style()) is not None:
                    style.unpolish(label)
                    style.polish(label)
            if self.height_of_words() <= room.height():
                break
            if names == _LARGE_NUMBERS and self.height_of_words(with_notes=False) <= room.height():
                self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
                return
        else:
            self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
            return
        # a bar that came with larger letters would take the room that smaller ones need
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)


def _have_means(ground: GroundShown) -> bool:
    return any(batch.means for batch in ground.batches)
