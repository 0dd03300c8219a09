"""The steps of the pupil view that hold words: three numbers, and what was felt beside what was measured."""

from collections.abc import Sequence

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.lesson_chart.first_last import FirstLast
from review.app.look import Look
from review.app.side_by_side.change_panel import BatchMark


def large_label(text: str, parent: QWidget, name: str = "") -> QLabel:
    """A text that is never taken for markup."""
    label = QLabel(text, parent)
    label.setObjectName(name)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label


class Numbers(QWidget):
    """Up to three numbers, first batch and last, and below each what changed."""

    def __init__(self, numbers: Sequence[tuple[str, FirstLast]], look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(look.plain_px, look.plain_px // 2, look.plain_px, look.plain_px // 2)
        layout.setSpacing(look.plain_px // 5)
        first, last = numbers[0][1].first, numbers[0][1].last
        batches = [tr("batch {n}", n=number) for number in (first, last)]
        layout.addLayout(self._row((first, last), (batches[0], batches[1]), "quiet", look))
        for name, said in numbers:
            layout.addStretch(1)
            layout.addWidget(large_label(name, self, "quiet"))
            layout.addLayout(self._row((said.first, said.last), (said.first_words, said.last_words), "number", look))
            change = " · ".join(filter(None, (said.change, said.verdict)))
            if change:
                layout.addWidget(large_label(change, self, "strong" if said.is_firm else "open"))
        self.setAccessibleName(tr("Numbers, first and last"))

    def _row(self, batches: tuple[int, int], words: tuple[str, str], name: str, look: Look) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(look.plain_px // 2)
        for place, (number, text) in enumerate(zip(batches, words, strict=True)):
            mark = BatchMark(self)
            mark.show_batch(number, look)
            if place:
                row.addWidget(QLabel("→", self))
            row.addWidget(mark, 0, Qt.AlignmentFlag.AlignVCenter)
            row.addWidget(large_label(text, self, name), 1)
        return row


class Felt(QWidget):
    """What the pupil felt in the last batch, and what was measured."""

    def __init__(self, felt: str, measured: Sequence[str], look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(look.plain_px, look.plain_px // 2, look.plain_px, look.plain_px // 2)
        layout.setSpacing(look.plain_px // 5)
        layout.addStretch(1)
        layout.addWidget(large_label(tr("felt"), self, "quiet"))
        layout.addWidget(large_label(tr("“{words}”", words=felt), self, "strong"))
        layout.addStretch(1)
        if measured:
            layout.addWidget(large_label(tr("measured"), self, "quiet"))
            for line in measured:
                layout.addWidget(large_label(line, self))
            layout.addStretch(1)
        self.setAccessibleName(tr("Felt and measured"))
