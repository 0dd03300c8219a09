"""The words beside the picture of the pressure: batch by batch, large enough to be read from where the pupil stands."""

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from review.app.ground.words import say_foot, say_missing, say_pattern
from review.app.language import tr
from review.app.look import Look
from review.app.sentences import say_sentences
from review.jobs.pressure.showing import GroundShown


class GroundWords(QScrollArea):
    """Says what each batch's pressure does, under it what the pictures say of the trail foot."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look: Look | None = None
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
        self._labels: list[QLabel] = []

    def set_look(self, look: Look) -> None:
        """Take on sizes."""
        self._look = look
        self._layout.setSpacing(look.quiet_px // 3)

    def text(self) -> str:
        """Everything said, line by line."""
        return "\n".join(label.text() for label in self._labels)

    def say_only(self, text: str) -> None:
        """Say one sentence instead."""
        self._begin()
        self._add(text)
        self._end()

    def say(self, ground: GroundShown) -> None:
        """Say what is known of the batches, and what is not."""
        self._begin()
        for n, batch in enumerate(ground.batches):
            if n and self._look is not None:
                self._layout.addSpacing(self._look.quiet_px)
            self._add(tr("Batch {n}", n=batch.number), "heading")
            self._add(say_pattern(batch))
            for mean in batch.foot:
                self._add(say_foot(mean, batch.n_swings, ground.handedness), "quiet")
        for text in (*say_missing(ground.foot_missing), *([say_sentences(ground.note)] if ground.note else ())):
            self._add(text, "quiet")
        self._end()

    def _begin(self) -> None:
        while (item := self._layout.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.deleteLater()
        self._labels.clear()

    def _add(self, text: str, kind: str = "") -> None:
        label = QLabel(text, self._inside)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setObjectName(kind)
        self._layout.addWidget(label)
        self._labels.append(label)

    def _end(self) -> None:
        self._layout.addStretch(1)
        self.setAccessibleDescription(self.text())
