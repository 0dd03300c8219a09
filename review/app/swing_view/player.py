"""A swing to look at: its clips side by side, numbers and curves of the frame, the time line."""

import time
from collections.abc import Callable

from PyQt5.QtCore import Qt, QTimer, pyqtSignal
from PyQt5.QtWidgets import QGridLayout, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.swing_view.beside import Beside
from review.app.swing_view.canvas import Canvas
from review.app.swing_view.frame_pump import OpenSource
from review.app.swing_view.playhead import Playhead, bring_over
from review.app.swing_view.screens import Screens
from review.app.swing_view.scrub_bar import ScrubBar
from review.jobs.showing.swing import ClipShown, SwingShown
from review.lesson import KeyFrame

_TICK_MS = 8
_SLOW_EVERY_S = 0.1
"""How often numbers and curves follow while it plays: nobody reads them faster, and plots are slow to draw."""


class SwingPlayer(QWidget):
    """Plays a ``SwingShown``. ``frame_shown`` tells the frame of the leading clip, once it is on the screen.

    ``clips_opened`` comes when every clip is open; its argument says whether all have review copies.
    """

    frame_shown = pyqtSignal(int)
    clips_opened = pyqtSignal(bool)

    def __init__(
        self, shown: SwingShown, open_clip: Callable[[ClipShown], OpenSource], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.shown = shown
        self.playhead: Playhead | None = None
        self._ticked_s, self._slow_s = 0.0, 0.0
        self.bar, self.beside = ScrubBar(self), Beside(shown, self)
        self.numbers, self.curves, self.pressure = self.beside.numbers, self.beside.curves, self.beside.pressure
        self.screens = Screens(shown.clips, shown.pupil.handedness, open_clip, self)
        self.screens.swing_orders = (shown.swing.order,) * len(shown.clips)
        self.screens.opened.connect(self._begin)
        self.screens.looked_at.connect(self.lead_with)
        self.screens.frame_shown.connect(self._note_frame)
        self.bar.asked.connect(self.go_to)
        self.curves.asked.connect(self._go_to_moment)
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._tick)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Swing {n}", n=shown.swing.order))
        self._lay_out()

    def _lay_out(self) -> None:
        layout = QGridLayout(self)
        layout.setContentsMargins(8, 8, 8, 4)
        layout.addWidget(self.screens, 0, 0)
        layout.addWidget(self.beside, 0, 1)
        layout.addWidget(self.bar, 1, 0, 1, 2)
        layout.setColumnStretch(0, 3)
        layout.setColumnStretch(1, 2)
        layout.setRowStretch(0, 1)
        self._columns = layout

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        for part in (self.screens, self.bar, self.beside):
            part.set_look(look)

    def close_clips(self) -> None:
        """Stop, and let go of the clips."""
        self._timer.stop()
        self.screens.close_clips()

    def _begin(self) -> None:
        clocks = [screen.clock for screen in self.screens.all]
        self.playhead = Playhead(clocks)
        # a picture that is narrow leaves its room to the curves
        wide = sum(screen.canvas.aspect for screen in self.screens.all)
        self._columns.setColumnStretch(0, round(min(max(10 * wide, 8), 15)))
        self._columns.setColumnStretch(1, 10)
        self.beside.begin()
        self.lead_with(next(i for i, screen in enumerate(self.screens.all) if not screen.is_lost))
        self.go_to(0)
        self.clips_opened.emit(self.screens.have_copies)

    # where it is

    @property
    def frame(self) -> int:
        """The frame of the leading clip that is asked for."""
        return 0 if self.playhead is None else self.playhead.frame

    @property
    def is_playing(self) -> bool:
        """Whether it plays."""
        return self._timer.isActive()

    @property
    def leading(self) -> Canvas:
        """The picture of the clip that leads."""
        return self.screens.all[0 if self.playhead is None else self.playhead.lead].canvas

    @property
    def key_frames(self) -> tuple[int, ...]:
        """Frames of the leading clip that are key frames, in order."""
        return tuple(sorted({key.frame for key in self.named_frames}))

    @property
    def named_frames(self) -> tuple[KeyFrame, ...]:
        """Key frames of the leading clip: its own, and of other names those of the swing's other clips."""
        if self.playhead is None:
            return self.shown.clips[0].key_frames
        lead, clocks = self.playhead.lead, self.playhead.clocks
        named = list(self.shown.clips[lead].key_frames)
        for clock, clip in zip(clocks, self.shown.clips, strict=True):
            known = {key.name for key in named}
            named += bring_over([key for key in clip.key_frames if key.name not in known], clock, clocks[lead])
        return tuple(named)

    def go_to(self, frame: int) -> None:
        """Stop at a frame of the leading clip."""
        if self.playhead is not None:
            self.pause()
            self.playhead.go_to(frame)
            self._ask()

    def step(self, by: int) -> None:
        """Show the frame so many later."""
        self.go_to(self.frame + by)

    def go_to_end(self) -> None:
        """Show the last frame."""
        if self.playhead is not None:
            self.go_to(self.playhead.n_frames - 1)

    def step_key_frame(self, by: int) -> None:
        """Jump to the next key frame, or the one before."""
        beyond = [f for f in self.key_frames if (f - self.frame) * by > 0]
        if beyond:
            self.go_to(min(beyond, key=lambda frame: abs(frame - self.frame)))

    def lead_with(self, place: int) -> None:
        """Let a clip lead: frames are stepped and key frames shown in it."""
        if self.playhead is None or self.screens.all[place].is_lost:
            return
        self.playhead.lead_with(place)
        self.screens.set_leading(place)
        self.bar.show_clip(self.playhead.n_frames, self.named_frames)
        self._ask()

    def lead_with_next(self) -> None:
        """Let the next clip lead."""
        if self.playhead is not None:
            self.lead_with((self.playhead.lead + 1) % len(self.screens.all))  # a lost one does not take the lead

    # playing

    def toggle_playing(self) -> None:
        """Play, or stand still."""
        if self.playhead is None:
            return
        if self.is_playing:
            self.pause()
            return
        self.playhead.play()
        self.screens.set_smooth(False)
        self._ticked_s = time.perf_counter()
        self._timer.start(_TICK_MS)
        self._ask()

    def pause(self) -> None:
        """Stand still."""
        if self.playhead is not None and self.is_playing:
            self.playhead.pause()
            self._stand_still()

    def set_speed(self, speed: float) -> None:
        """Play at a part of true time."""
        if self.playhead is not None:
            self.playhead.speed = speed
            self._show_place()

    def toggle_loop(self) -> None:
        """Play over and over from the first key frame to the last, or all where there are none; or once."""
        if self.playhead is None:
            return
        if self.playhead.loop is not None:
            self.playhead.loop = None
        else:
            ends = self.key_frames if len(self.key_frames) > 1 else (0, self.playhead.n_frames - 1)
            self.playhead.set_loop(ends[0], ends[-1])
        self._ask()

    def set_loop_end(self, is_last: bool) -> None:
        """Let the loop begin, or end, at the key frame nearest to the frame that is on."""
        if self.playhead is None or len(self.key_frames) < 2:
            return
        nearest = min(self.key_frames, key=lambda frame: abs(frame - self.frame))
        first, last = self.playhead.loop or (self.key_frames[0], self.key_frames[-1])
        first, last = (first, nearest) if is_last else (nearest, last)
        if last > first:
            self.playhead.set_loop(first, last)
            self._ask()

    # inside

    def _go_to_moment(self, moment_s: float) -> None:
        if self.playhead is not None:
            self.go_to(self.playhead.clock.frame_at(moment_s))

    def _tick(self) -> None:
        now_s = time.perf_counter()
        elapsed_s, self._ticked_s = now_s - self._ticked_s, now_s
        if self.playhead is None:
            return
        if self.playhead.advance(elapsed_s):
            self._ask()
        if not self.playhead.is_playing:
            self._stand_still()

    def _stand_still(self) -> None:
        self._timer.stop()
        self.screens.set_smooth(True)
        self._show_place()

    def _ask(self) -> None:
        if self.playhead is not None:
            self.screens.ask(self.playhead.frames)
            self._show_place()

    def _note_frame(self, place: int, frame: int) -> None:
        if self.playhead is not None and place == self.playhead.lead:
            self.frame_shown.emit(frame)

    def _show_place(self) -> None:
        """Let time line, numbers and curves follow; while it plays the slow ones not every time."""
        if self.playhead is None:
            return
        self.bar.show_place(self.playhead.frame, self.playhead.loop)
        self.pressure.show_moment(self.playhead.clock.moment_of(self.playhead.frame))
        now_s = time.perf_counter()
        if self.is_playing and now_s - self._slow_s < _SLOW_EVERY_S:
            return
        self._slow_s = now_s
        self.beside.show_moment(self.playhead)
