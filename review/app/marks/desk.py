"""The coach's marks on the time line of a swing: each kept beside the window, then measured at, and undone by steps."""

from typing import Any

from PyQt5.QtCore import QObject, Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QWidget

from review.app.drawings.strip import Strip
from review.app.language import tr
from review.app.marks.notes import NoteDesk
from review.app.marks.renewing import renew_marks
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.swing_view.player import SwingPlayer
from review.app.undoing import Step
from review.app.worker import Task, Work
from review.jobs.marks import choose_nearest, set_mark
from review.jobs.showing.swing import ClipShown, SwingShown, show_swing
from review.lesson import KeyFrame, KeyFrameName


class MarkDesk(QObject):
    """Keys and pointer change marks of the leading clip; ``strip`` asks for a name and says what was done."""

    def __init__(self, state: ReviewState, page: QWidget) -> None:
        super().__init__(page)
        self._state, self._page = state, page
        self._player: SwingPlayer | None = None
        self._at = 0
        self._measuring: tuple[str, Task] | None = None
        self.strip = Strip(page)
        self.strip.setAccessibleName(tr("Marks on the time line"))
        self.strip.edit.setAccessibleName(tr("Name of the mark"))
        self.strip.edit.setMaxLength(30)
        self.strip.typed.connect(self._take_name)
        self.notes = NoteDesk(state, page, self._renew)

    def begin(self, player: SwingPlayer) -> None:
        """Take care of another swing."""
        self._player = player
        self.notes.begin(player)
        player.bar.moved.connect(self.move)

    def end(self) -> None:
        """Let go of the swing."""
        self._player = None
        self.notes.end()
        self.stop()

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key says; False where it says nothing here."""
        if self.strip.is_asking:
            if event.key() == Qt.Key.Key_Escape:
                self.stop()
            return event.key() < Qt.Key.Key_F1
        if self.notes.press(event):
            return True
        if self._player is None or self._player.playhead is None or event.modifiers():
            return False
        player = self._player
        if event.key() == Qt.Key.Key_K:
            nearest = choose_nearest(player.named_frames, player.frame)
            if nearest is None:
                self._state.step_told.emit(tr("There is no key frame on this clip. N sets one of your own."))
            else:
                self.move(nearest.name, player.frame)
        elif event.key() == Qt.Key.Key_N:
            player.pause()
            self._at = player.frame
            self.strip.ask_for(
                tr("Name of the mark at this frame, such as impact or your own word; Enter keeps it, Esc not")
            )
        elif event.key() == Qt.Key.Key_Delete:
            own = choose_nearest(self._clip.key_frames, player.frame, is_own=True)
            if own is None:
                self._state.step_told.emit(tr("There is no mark of yours on this clip."))
            else:
                self._change(own.name, None, tr("your mark of {name} taken away", name=tr(own.name)))
        else:
            return False
        return True

    def move(self, name: str, frame: int) -> None:
        """Put a key frame of the leading clip to a frame; it is the coach's then."""
        if self._player is not None and self._player.playhead is not None:
            self._player.pause()
            note = next((key.note for key in self._clip.key_frames if key.name == name), "")
            mark = KeyFrame(name, float(self._player.playhead.clock.time_s[frame]), frame, 1.0, "coach", note)
            self._change(name, mark, tr("{name} set to frame {n}, your mark", name=tr(name), n=frame + 1))

    def stop(self) -> None:
        """Ask for no name any longer."""
        self.strip.stop_asking(self._page)
        self.strip.hide()

    # inside

    @property
    def _clip(self) -> ClipShown:
        assert self._player is not None
        assert self._player.playhead is not None
        return self._player.shown.clips[self._player.playhead.lead]

    def _take_name(self, typed: str) -> None:
        at = self._at
        self.stop()
        if typed:
            known = {tr(name.value).casefold(): name.value for name in KeyFrameName}
            self.move(known.get(typed.casefold(), typed), at)

    def _change(self, name: str, mark: KeyFrame | None, what: str) -> None:
        assert self._player is not None
        state, clip, lesson = self._state, self._clip, self._state.lesson
        if lesson is None:
            return
        folder, lesson_id, swing_id = state.library, lesson.lesson.id, self._player.shown.swing.id
        replaced: list[KeyFrame | None] = []  # what stood there when it was done: marks before it may be under way now
        is_measured = any(one.track is not None for one in self._player.shown.clips)

        def read(progress: Any) -> SwingShown:
            return show_swing(folder, lesson_id, swing_id, progress)

        def keep(progress: Any) -> SwingShown:
            replaced[:] = [set_mark(folder, lesson_id, clip.clip.id, name, mark)]
            return read(progress)

        def take_back(progress: Any) -> SwingShown:
            if replaced:
                set_mark(folder, lesson_id, clip.clip.id, name, replaced[0])
            return read(progress)

        def measure(progress: Any) -> SwingShown:
            from review.jobs.measuring.apart import measure_apart

            done = measure_apart(folder, lesson_id, progress=progress, only=(swing_id,))
            for problem in done.problems.values():
                state.step_told.emit(say_sentences(problem))
            return read(progress)

        def kept(shown: SwingShown) -> None:
            self._renew(shown)
            if is_measured:
                stop_measuring()
                task = Task(tr("Measuring at your mark"), measure, measured, state.trouble_came.emit)
                self._measuring = swing_id, task
                state.line.add(task)

        def measured(shown: SwingShown) -> None:
            self._renew(shown)
            state.renew_from_library(lesson_id)

        def stop_measuring() -> None:
            if self._measuring is not None and self._measuring[0] == swing_id:
                state.line.stop(self._measuring[1])  # in vain: it is measured at the mark as it will be

        def put(work: Work) -> None:
            stop_measuring()
            state.line.add(Task(tr("Keeping a mark"), work, kept, state.trouble_came.emit, keeps=True))

        state.do(Step(what, lambda: put(keep), lambda: put(take_back)))

    def _renew(self, shown: SwingShown) -> None:
        if self._player is not None and self._player.shown.swing.id == shown.swing.id:
            renew_marks(self._player, shown)
            self.notes.refresh()
