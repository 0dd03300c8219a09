"""The line at the foot: what runs and waits, free space. Out of the way until wanted."""

import shutil
from collections.abc import Sequence
from pathlib import Path

from PyQt5.QtCore import QTimer
from PyQt5.QtWidgets import QFrame, QHBoxLayout, QLabel, QWidget

from review.app.language import say_count, say_number, tr
from review.app.sentences import say_sentences
from review.app.worker import Line
from review.jobs.free_space import LOW_BYTES

_SAID_MS = 8000
"""How long words on what was done stay: enough to look down and read."""


class StatusLine(QFrame):
    """Shows the lines of work and the space on the library's disk."""

    def __init__(self, lines: Sequence[Line], library: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("status")
        self.setAccessibleName(tr("State of the work"))
        self._lines, self._library = lines, library
        self._said, self._work, self._asked, self._space = QLabel(self), QLabel(self), QLabel(self), QLabel(self)
        layout = QHBoxLayout(self)
        for label in (self._said, self._work, self._asked, self._space):
            label.setObjectName("quiet")
            layout.addWidget(label)
        layout.setStretch(0, 1)
        layout.setStretch(1, 1)
        self._said.hide()
        self._forget_soon = QTimer(self)
        self._forget_soon.setSingleShot(True)
        self._forget_soon.timeout.connect(lambda: self.say(""))
        self._n_asked = self._n_live = 0
        for line in lines:
            line.changed.connect(self._update_work)
        self.is_wanted = False
        self.show_if_needed()

    def toggle(self) -> None:
        """Show it, or put it away."""
        self.is_wanted = not self.is_wanted
        self.show_if_needed()

    def show_if_needed(self) -> None:
        """Show it when it is wanted, there is little room left, or something is to be asked."""
        free = find_free_bytes(self._library)
        space = tr("{size} GB free · {folder}", size=f"{free / 1e9:.0f}", folder=self._library)
        if free < LOW_BYTES:
            space = tr(
                "Little room: {size} GB free. Copies for stepping that are long unused are removed and made again when "
                "needed; make room before the next lesson.",
                size=say_number(free / 1e9, 1),
            )
        self._space.setText(space)
        self._space.setVisible(self.is_wanted or free < LOW_BYTES)
        self._asked.setText(say_count(self._n_asked, "1 question (F7)", "{n} questions (F7)") if self._n_asked else "")
        self._update_work()
        self.setVisible(self.is_wanted or free < LOW_BYTES or self._n_asked > 0 or bool(self._said.text()))

    def say(self, words: str) -> None:
        """Say for a while what was done, in the place of what runs."""
        words = say_sentences(words)
        self._said.setText(words)
        self._said.setVisible(bool(words))
        self._work.setVisible(not words)
        self.setAccessibleDescription(words)
        if words:
            self._forget_soon.start(_SAID_MS)
        self.show_if_needed()

    def show_questions(self, n: int) -> None:
        """Show how many questions are open."""
        self._n_asked = n
        self.show_if_needed()

    def show_live(self, n: int) -> None:
        """Show how many clips of the lesson that goes on are being measured or wait for it."""
        self._n_live = n
        self._update_work()

    def _update_work(self) -> None:
        self._work.setText(say_work(self._lines, self._n_live))


def say_work(lines: Sequence[Line], n_live: int = 0) -> str:
    """Say what runs and how much waits; ``n_live`` clips are measured while the lesson goes on."""
    said = [_say_line(line) for line in lines if line.running is not None]
    if n_live:
        said.append(say_count(n_live, "Measuring meanwhile: 1 clip", "Measuring meanwhile: {n} clips"))
    return "   ".join(said) or tr("Nothing to do")


def _say_line(line: Line) -> str:
    name = "" if line.running is None else line.running.name
    done, total = line.progress
    share = f" {100 * done // total} %" if total else ""
    waiting = len(line) - 1
    return f"{name}{share}" + (tr(", {n} waiting", n=waiting) if waiting else "")


def find_free_bytes(folder: Path) -> int:
    """Free space on the disk of a folder, or of the nearest one above it that is there."""
    there = next((path for path in (folder, *folder.parents) if path.exists()), Path.cwd())
    return shutil.disk_usage(there).free
