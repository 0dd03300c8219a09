"""Two clips of two swings on one control, side by side or one seen through the other."""

import time
from collections.abc import Sequence

import numpy as np
from PyQt5.QtCore import pyqtSignal
from PyQt5.QtWidgets import QLabel, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.side_by_side.feet import place_on_feet
from review.app.side_by_side.lock import Lock, lock_clips, next_name, shared_names, times_of, usual_name
from review.app.side_by_side.pair_screens import OpenClip, PairScreens
from review.app.side_by_side.place_words import say_altered, say_note, say_place
from review.app.side_by_side.seen_through import STEP, SeenThrough
from review.app.side_by_side.transport import Transport
from review.app.side_by_side.whose import tell_whose
from review.app.swing_view.playhead import ClipClock, Playhead
from review.app.swing_view.scrub_bar import ScrubBar
from review.jobs.showing.pair import PairShown, are_from_same_side

_SAY_EVERY_S = 0.1
"""How often the words of where it is follow while it plays: nobody reads them faster."""


class PairPlayer(QWidget):
    """Plays clip number ``views[0]`` of the first swing of a pair beside number ``views[1]`` of the second.

    ``clips_opened`` comes when both are open; its argument says whether both have review copies. ``refused`` tells in
    words why something that was asked for cannot be.
    """

    clips_opened = pyqtSignal(bool)
    refused = pyqtSignal(str)
    moved = pyqtSignal()

    def __init__(
        self, pair: PairShown, views: tuple[int, int], open_clip: OpenClip, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.pair = pair
        self.clips = (pair.first.clips[views[0]], pair.last.clips[views[1]])
        self.names = shared_names(self.clips)
        self.lock: Lock | None = None
        self._said_s = 0.0
        self.screens = PairScreens(pair, self.clips, open_clip)
        one, other = (screen.canvas for screen in self.screens.all)
        self.through = SeenThrough(one, other, self)
        self.through.hide()
        self.bar, self.place = ScrubBar(self), QLabel(self)
        self.place.setObjectName("quiet")
        self.transport = Transport(self)
        self.transport.moved.connect(self._show)
        self.transport.stood_still.connect(lambda: self.screens.set_smooth(True))
        self.screens.opened.connect(self._begin)
        self.screens.frame_shown.connect(lambda *_: self.through.update())
        self.bar.asked.connect(self.transport.go_to)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        for part, stretch in ((self.screens, 1), (self.through, 1), (self.bar, 0), (self.place, 0)):
            layout.addWidget(part, stretch)
        self.setAccessibleName(tr("Two swings side by side"))
        self._name_sides()

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        for part in (self.screens, self.through, self.bar):
            part.set_look(look)

    def close_clips(self) -> None:
        """Stop, and let go of the clips."""
        self.transport.pause()
        self.screens.close_clips()

    @property
    def aspect(self) -> float:
        """Width of both pictures beside each other by their height."""
        return sum(screen.canvas.aspect for screen in self.screens.all)

    @property
    def frames(self) -> tuple[int, ...]:
        """The frame of each clip that is asked for."""
        return () if self.transport.head is None else self.transport.head.frames

    @property
    def shown_frames(self) -> tuple[int | None, ...]:
        """The frame of each clip that is on the screen; one that cannot be read counts as if its only frame were."""
        return tuple(0 if screen.is_lost else screen.canvas.frame for screen in self.screens.all)

    # the lock

    def relock(self, at: str, is_stretched: bool | None = None) -> None:
        """Lock at a key frame, and go there; None stays stretched as it is."""
        if is_stretched is None:
            is_stretched = self.lock is not None and self.lock.is_time_altered
        head = self._lock(at, is_stretched)
        if head is not None:
            head.go_to(head.clock.frame_at(0.0))
            self.transport.take(head)

    def lock_next(self) -> None:
        """Lock at the next key frame that both have."""
        if not self.names:
            self.refused.emit(tr("The two clips share no key frame: measure the lesson, or mark impact in both."))
            return
        self.relock(next_name(self.names, "" if self.lock is None else self.lock.at))

    def toggle_stretch(self) -> None:
        """Let both meet at every key frame they share, or at the lock alone."""
        if self.lock is None or self.transport.head is None:
            return
        self.lock_here(self.lock.at, not self.lock.is_time_altered)
        if len(self.names) < 2:
            self.refused.emit(tr("To stretch the time between key frames, both clips need two of the same."))

    def lock_here(self, at: str, is_stretched: bool) -> None:
        """Lock anew; the frame that is on stays, and what plays plays on."""
        before, is_playing = self.transport.head, self.transport.is_playing
        head = self._lock(at, is_stretched)
        if head is not None and before is not None:
            head.go_to(before.frame)
            self.transport.take(head)
            if is_playing:
                self.transport.toggle_playing()

    def _lock(self, at: str, is_stretched: bool) -> Playhead | None:
        if not any(screen.time_s is not None for screen in self.screens.all):
            return None
        if any(screen.time_s is None and not screen.is_lost for screen in self.screens.all):
            return None
        times = [np.zeros(1) if screen.time_s is None else screen.time_s for screen in self.screens.all]
        self.lock = lock = lock_clips(self.clips, times, at, is_stretched)
        head = Playhead(lock.clocks)
        head.lead_with(lock.finer)
        if self.transport.head is not None:
            head.loop = self.transport.head.loop
        self.bar.show_clip(head.n_frames, self.clips[lock.finer].key_frames)
        self._name_sides()
        return head

    def last_passed(self, names: Sequence[str]) -> str:
        """Which of these key frames the finer clip passed last; '' before the first."""
        if self.lock is None or self.transport.head is None:
            return ""
        clip, time_s = self.clips[self.lock.finer], self.screens.all[self.lock.finer].time_s
        if time_s is None:
            return ""
        clock = ClipClock(time_s)
        frames = {name: clock.frame_at(at_s) for name, at_s in times_of(clip).items() if name in names}
        behind = [name for name, frame in frames.items() if frame <= self.transport.head.frame]
        return max(behind, key=lambda name: frames[name], default="")

    # steps

    @property
    def key_frames(self) -> tuple[int, ...]:
        """Frames of the finer clip that are key frames."""
        clip = self.clips[0 if self.lock is None else self.lock.finer]
        return tuple(sorted({key.frame for key in clip.key_frames}))

    def step_key_frame(self, by: int) -> None:
        """Jump to the finer clip's next key frame, or the one before."""
        if self.transport.head is not None:
            at = self.transport.head.frame
            beyond = [f for f in self.key_frames if (f - at) * by > 0]
            if beyond:
                self.transport.go_to(min(beyond, key=lambda frame: abs(frame - at)))

    def go_to_end(self) -> None:
        """Show the finer clip's last frame."""
        if self.transport.head is not None:
            self.transport.go_to(self.transport.head.n_frames - 1)

    def toggle_loop(self) -> None:
        """Play from the first key frame to the last over and over, all where there are none; or once."""
        head = self.transport.head
        if head is not None:
            ends = self.key_frames if len(self.key_frames) > 1 else (0, head.n_frames - 1)
            self.transport.set_loop(None if head.loop is not None else (ends[0], ends[-1]))

    def zoom(self, by: float | None) -> None:
        """Enlarge both so many times more; None = as filmed."""
        for screen in self.screens.all:
            if by is None:
                screen.canvas.reset()
            else:
                screen.canvas.zoom(by)
        self.through.update()

    def toggle_lines(self) -> None:
        """Draw the bodies over the pictures, or do not."""
        self.screens.toggle_lines()
        self.through.update()

    def redraw(self) -> None:
        """Draw anew what is said and drawn of both."""
        self.screens.redraw()
        self._name_sides()

    # one seen through the other

    def toggle_through(self) -> None:
        """Lay the second over the first, or put them side by side again; refused where the feet are not known."""
        if self.through.isHidden():
            found = place_on_feet(*self.clips)
            if isinstance(found, str):
                self.refused.emit(found)
                return
            self.through.placing = found
        is_on = self.through.isHidden()
        self.through.setVisible(is_on)
        self.screens.setVisible(not is_on)

    def strengthen(self, steps: int) -> None:
        """Let the second be seen more, or less, where one is seen through the other."""
        self.through.strengthen(steps * STEP)

    # inside

    def _begin(self) -> None:
        self.relock(usual_name(self.names))
        self.clips_opened.emit(self.screens.have_copies)

    def _show(self) -> None:
        head = self.transport.head
        if head is None or self.lock is None:
            return
        if self.transport.is_playing:
            self.screens.set_smooth(False)
        self.screens.ask(head.frames)
        self.bar.show_place(head.frame, head.loop)
        now_s = time.perf_counter()
        if not self.transport.is_playing or now_s - self._said_s >= _SAY_EVERY_S:
            self._said_s = now_s
            self.place.setText(say_place(self.lock, head.clock.moment_of(head.frame), head.speed))
        self.moved.emit()

    def _name_sides(self) -> None:
        """Say on each picture whose it is and what is to be known of it."""
        is_same_side, altered = are_from_same_side(*self.clips), say_altered(self.lock)
        for screen, side, own in zip(self.screens.all, self.pair.sides, ("", altered), strict=True):
            screen.canvas.note = say_note(side, is_same_side=is_same_side, is_in_step=bool(self.names), altered=own)
            screen.canvas.update()
        self.through.tell_whose(tell_whose(*self.pair.sides), altered)
