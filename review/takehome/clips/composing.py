"""The pictures of a clip, one after another: what runs, what is held, names as they are reached."""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray
from review.media import Planes, VideoInfo
from review.takehome.clip_sides import Shown
from review.takehome.clips.dressing import Box
from review.takehome.clips.passages import SLOW, Hold, Passage, count_held, list_instants, nearest_frames
from review.takehome.clips.patches import paste
from review.takehome.clips.side_reader import SideReader
from review.takehome.clips.stage import Stage

_NAMED_S = {1.0: 0.25, SLOW: 0.6}
"""How long a key frame's name stays, in seconds of watching."""


@dataclass(frozen=True, eq=False)
class Composed:
    """One picture: the instant (true seconds from impact), the frames shown, whether it is held. Reused by the next."""

    planes: Planes
    instant_s: float
    frames: tuple[int, ...]
    is_held: bool


@dataclass(frozen=True, eq=False)
class Course:
    """What a passage shows, picture by picture.

    instants_s (n,) true seconds from impact; frames (n, k) of each clip; ``held`` each hold's own frames, None = as it
    runs.
    """

    passage: Passage
    holds: tuple[Hold, ...]
    instants_s: FloatArray
    frames: NDArray[np.int64]
    held: tuple[tuple[int | None, ...], ...]

    def to_hold(self, clip: int) -> frozenset[int]:
        """Return the frames of a clip that are held."""
        return frozenset(frame for own in self.held if (frame := own[clip]) is not None)

    def wanted(self, clip: int) -> frozenset[int]:
        """Return all frames of a clip that are shown."""
        return frozenset(self.frames[:, clip].tolist()) | self.to_hold(clip)


def plan_course(
    shown: Shown, infos: tuple[VideoInfo, ...], passage: Passage, holds: tuple[Hold, ...], rate_hz: int
) -> Course:
    """Return what a passage shows at so many pictures a second."""
    instants = list_instants(passage, rate_hz)
    frames = np.stack([nearest_frames(s, i, instants) for s, i in zip(shown.sides, infos, strict=True)], axis=1)
    return Course(passage, holds, instants, frames, tuple(_find_held(hold, shown, infos) for hold in holds))


def open_readers(
    shown: Shown, infos: tuple[VideoInfo, ...], stage: Stage, courses: tuple[Course, ...]
) -> tuple[SideReader, ...]:
    """Return what reads the clips for all passages."""
    return tuple(
        SideReader(side, info, crop, box, frozenset().union(*(course.wanted(i) for course in courses[1:])))
        for i, (side, info, crop, box) in enumerate(zip(shown.sides, infos, stage.crops, stage.boxes, strict=True))
    )


def compose(
    shown: Shown, stage: Stage, course: Course, readers: tuple[SideReader, ...], rate_hz: int
) -> Iterator[Composed]:
    """Yield the pictures of a passage, the same planes again and again."""
    passage, instants, frames = course.passage, course.instants_s, course.frames
    for i, reader in enumerate(readers):
        reader.begin(course.wanted(i), course.to_hold(i))
    names = _Names(shown, instants, rate_hz, passage.speed)
    ground = stage.still.copy()
    if passage.speed < 1.0:
        paste(ground, stage.slow_chip, ground.y.shape[1] - stage.slow_chip.size[0] - 20, 18)
    lit_s = -np.inf
    picture = ground.copy()
    waiting = list(zip(course.holds, course.held, strict=True))
    for n, instant in enumerate(instants.tolist()):
        stage.timeline.light(ground, lit_s, instant + 1e-9)
        lit_s = instant + 1e-9
        picture.take(ground)
        for i, (reader, box) in enumerate(zip(readers, stage.boxes, strict=True)):
            _put(picture, reader.go_to(int(frames[n, i])), box)
        stage.timeline.draw_playhead(picture, instant)
        bare = picture.copy() if waiting and waiting[0][0].at_s <= instant + 1e-9 else picture
        _put_names(picture, stage, names.at(n))
        yield Composed(picture, instant, tuple(frames[n].tolist()), False)
        while waiting and waiting[0][0].at_s <= instant + 1e-9:
            hold, own = waiting.pop(0)
            held = tuple(int(frames[n, i]) if f is None else f for i, f in enumerate(own))
            still = bare.copy()
            for i, (reader, box) in enumerate(zip(readers, stage.boxes, strict=True)):
                _put(still, reader.hold(held[i], hold.name), box)
            by = stage.held_chip.size[0] + (stage.slow_chip.size[0] if passage.speed < 1.0 else 0)
            paste(still, stage.held_chip, still.y.shape[1] - by - 20, 18)
            _put_names(still, stage, [hold.name if own[i] is not None else "" for i in range(len(own))])
            for _ in range(count_held(rate_hz)):
                yield Composed(still, instant, held, True)


def _find_held(hold: Hold, shown: Shown, infos: tuple[VideoInfo, ...]) -> tuple[int | None, ...]:
    return tuple(
        None if time_s is None else int(nearest_frames(side, info, np.array([side.true_s(time_s)]))[0])
        for side, info, time_s in zip(shown.sides, infos, hold.times_s, strict=True)
    )


def _put(picture: Planes, half: Planes, box: Box) -> None:
    picture.cut(box.x, box.y, box.width, box.height).take(half)


def _put_names(picture: Planes, stage: Stage, names: list[str]) -> None:
    for name, chips, box in zip(names, stage.chips, stage.boxes, strict=True):
        if name in chips:
            paste(picture, chips[name], box.x + 12, box.y + 12)


class _Names:
    """Which key frame is named on each clip: for a moment from the picture on which it is reached."""

    def __init__(self, shown: Shown, instants_s: FloatArray, rate_hz: int, speed: float) -> None:
        self._reached = [sorted((s.true_s(k.time_s), k.name) for k in s.key_frames) for s in shown.sides]
        self._instants: NDArray[np.float64] = instants_s
        self._step_s, self._long_s = speed / rate_hz, _NAMED_S.get(speed, 0.6) * speed

    def at(self, n: int) -> list[str]:
        """Names for picture ``n``, '' where none."""
        at_s = float(self._instants[n]) + 1e-9
        first_s = float(self._instants[0]) - self._step_s
        found = []
        for reached in self._reached:
            latest = bisect_right(reached, at_s, key=lambda item: item[0]) - 1
            is_new = latest >= 0 and reached[latest][0] > max(at_s - self._long_s, first_s)
            found.append(reached[latest][1] if is_new else "")
        return found
