"""Writes the phone's clip and a typical swing of the batch beside each other as a video, where the coach says."""

from pathlib import Path

from PyQt5.QtCore import pyqtSignal
from PyQt5.QtWidgets import QFileDialog, QPushButton, QWidget

from review.app.language import tr
from review.app.state import ReviewState
from review.app.worker import Task
from review.jobs.history.phone_clip import PhoneClip
from review.jobs.history.phone_showing import write_pair
from review.lesson import Swing
from review.progress import Progress


class PairButton(QPushButton):
    """Shown once a clip is measured; ``told`` brings what happens, ``ended`` that nothing is written any longer."""

    told = pyqtSignal(str)
    ended = pyqtSignal(str)

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Write both (Ctrl+S)"), parent)
        self.setAccessibleName(tr("Write the clip and a swing of the batch side by side"))
        self._state = state
        self._measured: PhoneClip | None = None
        self._task: Task | None = None
        self.clicked.connect(self.ask_file)
        state.long_line.changed.connect(self._show_progress)
        self.hide()

    @property
    def is_writing(self) -> bool:
        """Whether a video is being written."""
        return self._task is not None

    def show_measured(self, measured: PhoneClip | None) -> None:
        """Offer it for a clip, or for none."""
        self._measured = measured
        self.setVisible(measured is not None)

    def ask_file(self) -> None:
        """Ask in the usual way where the video goes."""
        measured = self._measured
        if measured is None or self.is_writing:
            return
        proposed = str(measured.path.with_name(f"{measured.path.stem}_beside.mp4"))
        said, _ = QFileDialog.getSaveFileName(self, tr("Both side by side"), proposed, f"{tr('Clips')} (*.mp4)")
        if said:
            to = Path(said)
            self._write(measured, to if to.suffix else to.with_suffix(".mp4"))

    def stop(self) -> None:
        """Stop writing; nothing of it stays."""
        if self._task is not None:
            self._state.long_line.stop(self._task)

    def _write(self, measured: PhoneClip, to: Path) -> None:
        folder = self._state.library

        def work(progress: Progress) -> Swing:
            return write_pair(folder, measured, to, progress)

        def take(swing: Swing) -> None:
            self._end(tr("Swing {n} and the clip side by side: {file}", n=swing.order, file=str(to)))

        name = tr("Writing both side by side")
        self._task = Task(name, work, take, self._end, on_stopped=lambda: self._end(tr("Stopped. Nothing is written.")))
        self.told.emit(tr("Writing …"))
        self._state.long_line.add(self._task)

    def _show_progress(self) -> None:
        line = self._state.long_line
        done, total = line.progress
        if self._task is not None and line.running is self._task and total:
            self.told.emit(tr("Writing … {n}%", n=100 * done // total))

    def _end(self, words: str) -> None:
        self._task = None
        self.ended.emit(words)
