"""Frames of a clip: in order, or any one of them."""

from collections import OrderedDict
from collections.abc import Iterator
from dataclasses import dataclass
from types import TracebackType
from typing import Self

import numpy as np
from av.video.frame import VideoFrame
from numpy.typing import NDArray

from review.errors import BadInputError
from review.media.decoding import UprightConverter, decode_from
from review.media.footage import VideoSource, as_footage, path_in
from review.media.index import FrameIndex, read_index
from review.media.probing import VideoInfo, info_of

_CACHE_BYTES = 96 * 1024 * 1024
"""Room for decoded pictures: about 30 of 1920x1080, so that stepping backward seldom decodes again."""


@dataclass(frozen=True, eq=False)
class Frame:
    """One picture of a clip.

    ``index`` counts shown frames from 0, ``time_s`` is its presentation time in seconds, ``rgb``
    is (h, w, 3) upright.
    """

    index: int
    time_s: float
    rgb: NDArray[np.uint8]

    def __post_init__(self) -> None:
        if self.rgb.ndim != 3 or self.rgb.shape[2] != 3 or self.rgb.dtype != np.uint8:
            raise ValueError(f"rgb must be uint8 of shape (h, w, 3), got {self.rgb.dtype} {self.rgb.shape}")


def read_frames(
    source: VideoInfo | VideoSource,
    start: int = 0,
    stop: int | None = None,
    step: int = 1,
    max_height_px: int | None = None,
) -> Iterator[Frame]:
    """Read frames ``start``, ``start + step``, ... before ``stop`` in order.

    Parameters
    ----------
    source
        What ``probe_video`` gave, or a path, or a part of a file.
    start, stop, step
        Frame numbers as in ``range``, counted from the part's first; ``stop`` None or beyond the end means the end.
    max_height_px
        Pictures higher than this (as displayed) are made smaller, keeping their proportions.

    Returns
    -------
    iterator of Frame
        Exactly the frames asked for, each with its number and the time from the file.

    Raises
    ------
    BadInputError
        The file cannot be used, has changed since it was probed, or a frame does not decode.
    MachineError
        It may not be read, or the disk failed.
    """
    if start < 0 or step < 1 or (stop is not None and stop < 0):
        raise ValueError(f"start and stop must not be negative and step at least 1, got {start}, {stop}, {step}")
    if max_height_px is not None and max_height_px < 1:
        raise ValueError(f"max_height_px must be positive, got {max_height_px}")
    index, info = open_indexed(source)
    end = info.n_frames if stop is None else min(stop, info.n_frames)
    return _read(index, info, range(start, end, step), max_height_px)


def open_indexed(source: VideoInfo | VideoSource) -> tuple[FrameIndex, VideoInfo]:
    """Return the frame table of a source and what it is; ``BadInputError`` when it changed since it was probed."""
    if not isinstance(source, VideoInfo):
        index = read_index(path_in(source))
        return index, info_of(index, as_footage(source))
    index = read_index(source.path)
    found = index.time_s[source.first_frame : source.first_frame + source.n_frames]
    if not np.array_equal(found, source.time_s):
        raise BadInputError(
            f"Expected '{index.path.name}' as it was when it was first read, but it has changed since "
            f"({source.n_frames} frames then, {len(found)} now). Add the clip again."
        )
    return index, source


def _read(index: FrameIndex, info: VideoInfo, wanted: range, max_height_px: int | None) -> Iterator[Frame]:
    if not wanted:
        return
    converter = UprightConverter(index, max_height_px)
    for in_file, picture in decode_from(index, info.first_frame + wanted.start):
        number = in_file - info.first_frame
        if number in wanted:
            yield Frame(number, float(info.time_s[number]), converter.convert(picture))
        if number >= wanted[-1]:
            return


class FrameReader:
    """Any frame of one clip by its number, counted from its first; use it in a ``with`` block and from one thread.

    Decoding starts at the keyframe before the frame and every picture is told by its presentation
    stamp, so frame N is the Nth shown whatever the frame rate or the order of storage. Pictures
    decoded on the way are kept for stepping backward.

    Raises
    ------
    BadInputError, MachineError
        As for ``read_frames``.
    """

    def __init__(self, source: VideoInfo | VideoSource, max_height_px: int | None = None) -> None:
        self._index, self.info = open_indexed(source)
        self._converter = UprightConverter(self._index, max_height_px)
        self._frames: Iterator[tuple[int, VideoFrame]] | None = None
        self._next = 0
        self._cache: OrderedDict[int, VideoFrame] = OrderedDict()
        frame_bytes = self._index.width_px * self._index.height_px * 3 // 2
        self._capacity = max(8, _CACHE_BYTES // max(1, frame_bytes))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file and the kept pictures."""
        self._stop_decoding()
        self._cache.clear()

    def _stop_decoding(self) -> None:
        closing = getattr(self._frames, "close", None)
        if closing is not None:
            closing()
        self._frames = None

    def frame(self, index: int) -> Frame:
        """Return frame ``index`` (0 <= index < n_frames).

        Raises
        ------
        IndexError
            There is no such frame.
        BadInputError
            The frame does not decode.
        """
        in_file = self._place(index)
        picture = self._cache.get(in_file)
        if picture is None:
            picture = self._decode(in_file)
        else:
            self._cache.move_to_end(in_file)
        return Frame(index, float(self.info.time_s[index]), self._converter.convert(picture))

    def load(self, index: int) -> bool:
        """Decode frame ``index`` before it is asked for; False when it is there already. Raises as ``frame``."""
        in_file = self._place(index)
        if in_file in self._cache:
            return False
        self._decode(in_file)
        return True

    def _place(self, index: int) -> int:
        """Return the number in the file of a frame of the part."""
        if not 0 <= index < self.info.n_frames:
            raise IndexError(f"frame must lie in 0..{self.info.n_frames - 1}, got {index}")
        return self.info.first_frame + index

    def _decode(self, index: int) -> VideoFrame:
        if self._frames is None or not self._is_ahead(index):
            self._stop_decoding()
            # half a cache before the frame, so that the steps back from it are there already
            self._next = self._first_to_keep(index)
            self._frames = decode_from(self._index, self._next)
        for number, picture in self._frames:
            self._next = number + 1
            self._keep(number, picture)
            if number == index:
                return picture
        raise RuntimeError(f"decoding ended before frame {index}")  # decode_from has raised by then

    def _is_ahead(self, index: int) -> bool:
        """Whether decoding on reaches ``index`` sooner than starting at a keyframe."""
        if index < self._next:
            return False
        keyframe = self._index.keyframe_before(self._index.pts[index])
        return keyframe is None or keyframe <= self._index.pts[self._next]

    def _first_to_keep(self, index: int) -> int:
        keyframe = self._index.keyframe_before(self._index.pts[index])
        first = 0 if keyframe is None else int(np.searchsorted(self._index.pts, keyframe))
        return max(first, index - self._capacity // 2)

    def _keep(self, number: int, picture: VideoFrame) -> None:
        self._cache[number] = picture
        self._cache.move_to_end(number)
        while len(self._cache) > self._capacity:
            self._cache.popitem(last=False)
