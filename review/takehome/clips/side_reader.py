"""One clip's pictures in their place of a video: each frame decoded and drawn on once, where there is room for that."""

from collections.abc import Iterator

import numpy as np

from review.media import Planes, PlanesFrame, VideoInfo
from review.pose import Landmark
from review.takehome.clip_sides import ClipSide
from review.takehome.clips.body_lines import find_body
from review.takehome.clips.dressing import Box, dress, make_cut
from review.takehome.clips.pointing import draw_pointer, find_point
from review.takehome.shown_frames import read_shown

_TRUNK = [Landmark.LEFT_SHOULDER, Landmark.RIGHT_SHOULDER, Landmark.LEFT_HIP, Landmark.RIGHT_HIP]
_MOST_KEPT_BYTES = 100_000_000
"""Of one clip's pictures, kept for the passages to come; with more, a later passage is decoded anew."""


class SideReader:
    """Gives the pictures of a clip for one passage after another, in order.

    ``crop`` are the columns shown, ``box`` their place; ``again`` the frames of all passages but the first.
    """

    def __init__(
        self, side: ClipSide, info: VideoInfo, crop: tuple[int, int], box: Box, again: frozenset[int] = frozenset()
    ) -> None:
        self._side, self._info, self._crop, self._box = side, info, crop, box
        has_room = len(again) * box.width * box.height * 1.5 <= _MOST_KEPT_BYTES
        self._wanted_later = again if has_room else frozenset[int]()
        self._kept: dict[int, Planes] = {}
        self._source: Iterator[PlanesFrame] = iter(())
        self._frame: PlanesFrame | None = None
        self._shown: tuple[int, Planes] | None = None

    def begin(self, wanted: frozenset[int], to_hold: frozenset[int]) -> None:
        """Begin a passage that shows the frames ``wanted``, those ``to_hold`` among them."""
        self._to_keep = self._wanted_later | to_hold
        if not wanted <= self._kept.keys():
            self._source, self._frame = read_shown(self._side, self._info, min(wanted), max(wanted) + 1), None

    def go_to(self, index: int) -> Planes:
        """Go on to a frame and return its picture, which must not be changed."""
        if index in self._kept:
            return self._kept[index]
        if self._shown is None or self._shown[0] != index:
            while self._frame is None or self._frame.index < index:
                self._frame = next(self._source)
                if self._frame.index in self._to_keep and self._frame.index not in self._kept:
                    self._kept[self._frame.index] = self._dress(self._frame)
            self._shown = index, self._kept[index] if index in self._kept else self._dress(self._frame)
        return self._shown[1]

    def hold(self, index: int, name: str) -> Planes:
        """Return a frame that was passed, with the arrows of a key frame; a picture of its own."""
        half = self.go_to(index).copy()
        body = find_body(self._side, float(self._info.time_s[index]))
        if body is None:
            return half
        placed = make_cut(self._info, self._crop, self._box).place(body)
        middle = np.nanmean(placed[_TRUNK], axis=0)
        for pointer in self._side.pointers:
            at = find_point(placed, pointer.body_point, self._side.handedness)
            if pointer.key_frame == name and at is not None and np.isfinite(middle).all():
                draw_pointer(half, at, middle, pointer.body_point, pointer.words)
        return half

    def _dress(self, frame: PlanesFrame) -> Planes:
        return dress(frame, self._side, self._info, self._crop, self._box)
