"""The holds of the open lesson's pupil: marked, read in both ways of measuring, kept, undone."""

from collections.abc import Callable
from pathlib import Path

from PyQt5.QtCore import QObject, pyqtSignal

from review.app.language import tr
from review.app.setups.holds import HoldsDraft
from review.app.state import ReviewState
from review.app.undoing import Step
from review.app.worker import Task
from review.body import Hold
from review.jobs.measuring.player_marking import (
    HoldsRead,
    Kept,
    keep_read,
    list_clips,
    put_player_setups,
    read_holds_apart,
)
from review.lesson import Clip
from review.progress import Progress

Asked = tuple[str, tuple[Hold, ...]]


class PlayerDesk(QObject):
    """``came`` tells that there is another clip to mark on, ``changed`` that holds are others or were read.

    ``refused`` says why nothing was read. What is marked stays while the window is open, clip by clip.
    """

    came = pyqtSignal()
    changed = pyqtSignal()
    refused = pyqtSignal(str)

    def __init__(self, state: ReviewState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._drafts: dict[tuple[str, str], HoldsDraft] = {}
        self.lesson_id = ""
        self.clips: tuple[Clip | Path, ...] = ()
        self._at = 0
        self.read: HoldsRead | None = None
        self.is_reading = False
        self._asked: Asked | None = None

    @property
    def clip(self) -> Clip | Path | None:
        """The clip that is marked on, of the lesson or a file elsewhere."""
        return self.clips[self._at] if self._at < len(self.clips) else None

    @property
    def _key(self) -> tuple[str, str]:
        clip = self.clip
        return self.lesson_id, clip.id if isinstance(clip, Clip) else str(clip)

    @property
    def draft(self) -> HoldsDraft:
        """What is marked on it so far."""
        return self._drafts.get(self._key, HoldsDraft())

    def begin(self) -> None:
        """Read which clips the open lesson has."""
        lesson = self._state.lesson
        lesson_id = "" if lesson is None else lesson.lesson.id
        if lesson_id != self.lesson_id:
            self.clips, self._at, self.read = (), 0, None
        self.lesson_id = lesson_id
        if not lesson_id:
            self.came.emit()
            return
        folder = self._state.library

        def work(progress: Progress) -> tuple[str, tuple[Clip, ...]]:
            return lesson_id, list_clips(folder, lesson_id, progress)

        self._add(tr("Reading the clips"), work, self._take_clips)

    def _take_clips(self, read: tuple[str, tuple[Clip, ...]]) -> None:
        lesson_id, found = read
        if lesson_id == self.lesson_id:
            elsewhere = tuple(clip for clip in self.clips if isinstance(clip, Path))
            chosen, ids = self.clip, [clip.id for clip in found]
            self.clips = (*found, *elsewhere)
            if isinstance(chosen, Clip):
                self._at = ids.index(chosen.id) if chosen.id in ids else 0
            elif chosen is not None:
                self._at = self.clips.index(chosen)
            self.came.emit()

    def step_clip(self, by: int = 1) -> None:
        """Mark on the next clip; the longest come first."""
        if len(self.clips) > 1:
            self._at, self.read = (self._at + by) % len(self.clips), None
            self.came.emit()

    def open_file(self, path: Path) -> None:
        """Mark on a file that is not of the lesson."""
        if path not in self.clips:
            self.clips = (*self.clips, path)
        self._at, self.read = self.clips.index(path), None
        self.came.emit()

    def set_draft(self, draft: HoldsDraft) -> None:
        """Take over what is marked; what was read of other holds counts no longer."""
        if draft.holds != self.draft.holds:
            self.read, self.is_reading = None, False
        if self.clip is not None:
            self._drafts[self._key] = draft
        self.changed.emit()

    def read_holds(self) -> None:
        """Read the holds that are marked whole, and keep with the lesson what can be used."""
        clip, holds, folder, lesson_id = self.clip, self.draft.holds, self._state.library, self.lesson_id
        if clip is None:
            return
        asked = self._asked = (str(self._key), holds)

        def work(progress: Progress) -> tuple[Asked, str, HoldsRead]:
            return asked, lesson_id, read_holds_apart(folder, lesson_id, clip, holds, progress)

        self.is_reading = True
        self.changed.emit()
        self._state.line.add(Task(tr("Reading the holds"), work, self._take_read, self._take_refusal))

    def _take_refusal(self, why: str) -> None:
        self.is_reading = False
        self.changed.emit()
        self.refused.emit(why)

    def _take_read(self, what: tuple[Asked, str, HoldsRead]) -> None:
        asked, lesson_id, read = what
        self.is_reading = False
        if asked == (str(self._key), self.draft.holds):
            self.read = read
        self.changed.emit()
        if read.is_usable:
            self._keep(lesson_id, read)

    def _keep(self, lesson_id: str, read: HoldsRead) -> None:
        folder = self._state.library
        before: Kept = ()

        def keep(_: Progress) -> None:
            nonlocal before
            before = keep_read(folder, lesson_id, read)

        def put_back(_: Progress) -> None:
            put_player_setups(folder, lesson_id, read.place, before)

        name = tr("Keeping the player set-up")

        def do(work: Callable[[Progress], None]) -> Callable[[], None]:
            return lambda: self._add(name, work, _nothing, keeps=True)

        self._state.do(Step(tr("player set-up kept"), do(keep), do(put_back)))

    def _add(
        self, name: str, work: Callable[[Progress], object], done: Callable[..., None], keeps: bool = False
    ) -> None:
        self._state.line.add(Task(name, work, done, self._state.trouble_came.emit, keeps=keeps))


def _nothing(_: object) -> None:
    """Nothing is shown of it."""
