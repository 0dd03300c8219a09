"""The pictures of a clip, one after another: what runs, what is held, names as they are reached."""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray
from review.media import Planes, PlanesFrame, VideoInfo
from review.takehome.clip_sides import ClipSide, Shown
from review.takehome.clips.body_lines import find_body
from review.takehome.clips.dressing import Box, dress, make_cut
from review.takehome.clips.passages import SLOW, Hold, Passage, count_held, list_instants, nearest_frames
from review.takehome.clips.patches import paste
from review.takehome.clips.pointing import draw_pointer, find_point
from review.takehome.clips.stage import Stage
from review.takehome.shown_frames import read_shown

_NAMED_S = {1.0: 0.25, SLOW: 0.6}
"""How long a key frame's name stays, in seconds of watching."""


@dataclass(frozen=True, eq=False)
class Composed:
    """One picture: the instant (true seconds from impact), the frames shown, whether it is held. Reused by the next."""

    planes: Planes
    instant_s: float
    frames: tuple[int, ...]
    is_held: bool


class SideReader:
    """One clip's frames for a passage, each read once and dressed when it is shown."""

    def __init__(self, side: ClipSide, info: VideoInfo, crop: tuple[int, int], box: Box, frames: tuple[int, int]):
        self.side, self._info, self._crop, self._box = side, info, crop, box
        self._source = read_shown(side, info, frames[0], frames[1] + 1)
        self._kept: dict[int, Planes] = {}
        self._frame: PlanesFrame = next(self._source)
        self.index, self.half = self._frame.index, self._dress()

    def go_to(self, index: int, keep: set[int]) -> Planes:
        """Go on to a frame and return its picture; those to ``keep`` on the way are kept for :meth:`hold`."""
        while self._frame.index < index:
            self._frame = next(self._source)
            if self._frame.index in keep and self._frame.index < index:
                self._kept[self._frame.index] = self._dress()
        if self.index != self._frame.index:
            self.index, self.half = self._frame.index, self._dress()
        if self.index in keep:
            self._kept[self.index] = self.half
        return self.half

    def hold(self, index: int, name: str) -> Planes:
        """Return a kept frame with its arrows."""
        half = self._kept.get(index, self.half).copy()
        time_s = float(self._info.time_s[index])
        body = find_body(self.side, time_s)
        if body is None:
            return half
        placed = make_cut(self._info, self._crop, self._box).place(body)
        middle = np.nanmean(placed[[11, 12, 23, 24]], axis=0)
        for pointer in self.side.pointers:
            at = find_point(placed, pointer.body_point, self.side.handedness)
            if pointer.key_frame == name and at is not None and np.isfinite(middle).all():
                draw_pointer(half, at, middle, pointer.body_point, pointer.words)
        return half

    def _dress(self) -> Planes:
        return dress(self._frame, self.side, self._info, self._crop, self._box)


def compose(
    shown: Shown, infos: tuple[VideoInfo, ...], stage: Stage, passage: Passage, holds: tuple[Hold, ...], rate_hz: int
) -> Iterator[Composed]:
    """Yield the pictures of a passage, the same planes again and again."""
    instants = list_instants(passage, rate_hz)
    frames = np.stack([nearest_frames(s, i, instants) for s, i in zip(shown.sides, infos, strict=True)], axis=1)
    held_frames = [_find_held(hold, shown, infos) for hold in holds]
    keep = [{f[i] for f in held_frames if f[i] is not None} for i in range(len(infos))]
    readers = []
    for i, (side, info) in enumerate(zip(shown.sides, infos, strict=True)):
        first = min([int(frames[0, i]), *(f for f in keep[i] if f is not None)])
        last = max([int(frames[-1, i]), *(f for f in keep[i] if f is not None)])
        readers.append(SideReader(side, info, stage.crops[i], stage.boxes[i], (first, last)))
    names = _Names(shown, instants, rate_hz, passage.speed)
    ground = stage.still.copy()
    if passage.speed < 1.0:
        paste(ground, stage.slow_chip, ground.y.shape[1] - stage.slow_chip.size[0] - 20, 18)
    lit_s = -np.inf
    picture = ground.copy()
    waiting = list(zip(holds, held_frames, strict=True))
    for n, instant in enumerate(instants.tolist()):
        stage.timeline.light(ground, lit_s, instant + 1e-9)
        lit_s = instant + 1e-9
        picture.take(ground)
        for i, (reader, box) in enumerate(zip(readers, stage.boxes, strict=True)):
            _put(picture, reader.go_to(int(frames[n, i]), {f for f in keep[i] if f is not None}), box)
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


def _find_held(hold: Hold, shown: Shown, infos: tuple[VideoInfo, ...]) -> list[int | None]:
    found: list[int | None] = []
    for side, info, time_s in zip(shown.sides, infos, hold.times_s, strict=True):
        wanted = None if time_s is None else nearest_frames(side, info, np.array([side.true_s(time_s)]))
        found.append(None if wanted is None else int(wanted[0]))
    return found


def _put(picture: Planes, half: Planes, box: Box) -> None:
    picture.cut(box.x, box.y, box.width, box.height).take(half)


def _put_names(picture: Planes, stage: Stage, names: list[str]) -> None:
    for name, chips, box in zip(names, stage.chips, stage.boxes, strict=True):
        if name in chips:
            paste(picture, chips[name], box.x + 12, box.y + box.height - chips[name].size[1] - 12)


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
