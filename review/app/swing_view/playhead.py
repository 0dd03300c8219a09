"""Where a swing is being looked at, without Qt: one moment for all its clips, frame-exact on the one that leads."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from review.lesson import FloatArray, KeyFrame

SPEEDS = (1.0, 0.5, 0.25, 0.125)
"""Parts of true time."""


@dataclass(frozen=True, eq=False)
class ClipClock:
    """The frames of one clip on the swing's clock: true seconds after the moment that all clips share.

    time_s : (n_frames,) presentation times, increasing.
    time_scale : true time = presentation time x ``time_scale``.
    lock_s : presentation time of the shared moment (impact) in this clip.
    """

    time_s: FloatArray
    time_scale: float = 1.0
    lock_s: float = 0.0

    @property
    def moments_s(self) -> FloatArray:
        """(n_frames,) when each frame is, in true seconds after the shared moment."""
        return (self.time_s - self.lock_s) * self.time_scale

    def moment_of(self, frame: int) -> float:
        """When a frame is."""
        return (float(self.time_s[frame]) - self.lock_s) * self.time_scale

    def frame_at(self, moment_s: float) -> int:
        """The frame nearest to a moment; at its ends the first or the last."""
        wanted = moment_s / self.time_scale + self.lock_s
        right = int(np.clip(np.searchsorted(self.time_s, wanted), 1, max(1, len(self.time_s) - 1)))
        if right >= len(self.time_s):
            return len(self.time_s) - 1
        return right if self.time_s[right] - wanted < wanted - self.time_s[right - 1] else right - 1

    def frame_shown_at(self, moment_s: float) -> int:
        """The frame that is on while it plays: the last one begun."""
        # half a microsecond: a moment that was reckoned from a frame must give that frame
        wanted = moment_s / self.time_scale + self.lock_s + 5e-7
        return int(np.clip(np.searchsorted(self.time_s, wanted, side="right") - 1, 0, len(self.time_s) - 1))


def bring_over(key_frames: Sequence[KeyFrame], clock: ClipClock, to: ClipClock) -> tuple[KeyFrame, ...]:
    """Key frames of one clip as frames of another at the same moments; those beyond its ends are left out."""
    brought = []
    for key in key_frames:
        time_s = (key.time_s - clock.lock_s) * clock.time_scale / to.time_scale + to.lock_s
        if to.time_s[0] <= time_s <= to.time_s[-1]:
            frame = to.frame_at((time_s - to.lock_s) * to.time_scale)
            brought.append(replace(key, time_s=time_s, frame=frame))
    return tuple(brought)


class Playhead:
    """The frame of the leading clip, playing or still, once or in a loop; the others follow by time.

    ``loop`` is (first, last) frame of the leading clip, None = the whole clip, once.
    """

    def __init__(self, clocks: Sequence[ClipClock]) -> None:
        if not clocks:
            raise ValueError("a swing without a clip cannot be played")
        self.clocks = tuple(clocks)
        self.lead = 0
        self.frame = 0
        self.speed = SPEEDS[2]
        self.is_playing = False
        self.loop: tuple[int, int] | None = None
        self._moment_s = self.clock.moment_of(0)

    @property
    def clock(self) -> ClipClock:
        """The clock of the clip that leads."""
        return self.clocks[self.lead]

    @property
    def n_frames(self) -> int:
        """Frames of the leading clip."""
        return len(self.clock.time_s)

    @property
    def frames(self) -> tuple[int, ...]:
        """The frame of every clip."""
        moment_s = self.clock.moment_of(self.frame)
        return tuple(self.frame if i == self.lead else clock.frame_at(moment_s) for i, clock in enumerate(self.clocks))

    def go_to(self, frame: int) -> None:
        """Show a frame of the leading clip; beyond its ends the first or the last."""
        self.frame = min(max(frame, 0), self.n_frames - 1)
        self._moment_s = self.clock.moment_of(self.frame)

    def step(self, by: int) -> None:
        """Stop, and show the frame so many later."""
        self.is_playing = False
        self.go_to(self.frame + by)

    def lead_with(self, place: int) -> None:
        """Let another clip lead, at the same moment."""
        frame = self.frames[place]
        ends = None if self.loop is None else [self.clock.moment_of(f) for f in self.loop]
        self.lead = place
        self.go_to(frame)
        self.loop = None if ends is None else (self.clock.frame_at(ends[0]), self.clock.frame_at(ends[1]))

    def play(self) -> None:
        """Play on; from the end, or from outside the loop, at its beginning."""
        first, last = self._ends()
        if not first <= self.frame < last:
            self.go_to(first)
        self.is_playing = self.n_frames > 1

    def pause(self) -> None:
        """Stand still."""
        self.is_playing = False

    def set_loop(self, first: int, last: int) -> None:
        """Play from ``first`` to ``last`` over and over; the frame goes to the loop when it is outside."""
        first, last = sorted(min(max(f, 0), self.n_frames - 1) for f in (first, last))
        self.loop = (first, last) if last > first else None
        if self.loop is not None and not first <= self.frame <= last:
            self.go_to(first)

    def advance(self, elapsed_s: float) -> bool:
        """Let so many seconds of the wall's clock go by while it plays; return whether another frame is on."""
        if not self.is_playing:
            return False
        before = self.frame
        first, last = self._ends()
        begin_s, end_s = self.clock.moment_of(first), self.clock.moment_of(last)
        self._moment_s += elapsed_s * self.speed
        if self._moment_s >= end_s and self.loop is not None:
            # the last frame is on as long as the others
            length_s = (end_s - begin_s) * (1 + 1 / (last - first))
            self._moment_s = begin_s + (self._moment_s - begin_s) % length_s
        elif self._moment_s >= end_s:
            self._moment_s, self.is_playing = end_s, False
        self.frame = min(max(self.clock.frame_shown_at(self._moment_s), first), last)
        return self.frame != before

    def _ends(self) -> tuple[int, int]:
        return self.loop or (0, self.n_frames - 1)
