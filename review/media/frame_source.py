"""Frames of a clip for looking at: from its review copy where there is one, else the original; never a wrong one."""

from collections import OrderedDict
from types import TracebackType
from typing import Self

import cv2
import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray
from review.media.copy_map import DamagedCopyError
from review.media.copy_reading import ReviewCopy
from review.media.footage import VideoSource
from review.media.frames import FrameReader
from review.media.probing import probe_video

_CACHE_BYTES = 64 * 1024 * 1024
"""Pictures of the copy as stored: about 20 of 1920x1080. The copy is fast without; this is for reading ahead."""
_AHEAD = 6


class FrameSource:
    """Any frame of one clip, upright; use it in a ``with`` block and from one thread.

    ``width_px`` and ``height_px`` are the original's as displayed, in which landmarks and drawings count; pictures
    of the copy may be smaller. ``is_copy_damaged`` says that the copy turned out bad and the original is read since.

    Parameters
    ----------
    source
        The original: a file or a part of one.
    copy
        Its review copy; closed with this.

    Raises
    ------
    BadInputError, MachineError
        The original cannot be read.
    DamagedCopyError
        The copy has other frames or times than the original; it is closed.
    """

    def __init__(self, source: VideoSource, copy: ReviewCopy | None = None) -> None:
        self._copy = copy
        self._reader: FrameReader | None = None
        self.is_copy_damaged = False
        try:
            self.info = probe_video(source)
            if copy is not None and not np.array_equal(copy.map.time_s, self.info.time_s):
                raise DamagedCopyError(f"{copy.path} has other times than '{self.info.path.name}'")
        except BaseException:
            self.close()
            raise
        self._kept: OrderedDict[int, NDArray[np.uint8]] = OrderedDict()
        self._last, self._direction = 0, 1

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the files."""
        if self._copy is not None:
            self._copy.close()
            self._copy = None
        if self._reader is not None:
            self._reader.close()
            self._reader = None

    @property
    def n_frames(self) -> int:
        """Number of frames."""
        return self.info.n_frames

    @property
    def time_s(self) -> FloatArray:
        """Presentation times (n_frames,) on the original's clock."""
        return self.info.time_s

    @property
    def width_px(self) -> int:
        """Width of the original as displayed."""
        return self.info.width_px

    @property
    def height_px(self) -> int:
        """Height of the original as displayed."""
        return self.info.height_px

    @property
    def has_copy(self) -> bool:
        """Whether pictures come from a review copy."""
        return self._copy is not None

    def frame(self, index: int) -> NDArray[np.uint8]:
        """Return frame ``index`` (0 <= index < n_frames) as a picture (h, w, 3), RGB.

        Raises
        ------
        IndexError
            There is no such frame.
        BadInputError
            The original is read, and the frame does not decode.
        """
        self._go_to(index)
        if self._copy is not None:
            try:
                return self._copy.to_rgb(self._stored(self._copy, index))
            except DamagedCopyError:
                self._leave_copy()
        return self._original().frame(index).rgb

    def screen_frame(self, index: int) -> NDArray[np.uint8]:
        """Return frame ``index`` as screens store it (h, w, 4): blue, green, red, 255. Raises as ``frame``.

        A window paints it three times as fast as RGB.
        """
        self._go_to(index)
        if self._copy is not None:
            try:
                return self._copy.to_screen(self._stored(self._copy, index))
            except DamagedCopyError:
                self._leave_copy()
        return cv2.cvtColor(self._original().frame(index).rgb, cv2.COLOR_RGB2BGRA).astype(np.uint8, copy=False)

    def _go_to(self, index: int) -> None:
        if not 0 <= index < self.n_frames:
            raise IndexError(f"frame must lie in 0..{self.n_frames - 1}, got {index}")
        if index != self._last:
            self._direction = 1 if index > self._last else -1
        self._last = index

    def read_ahead(self) -> bool:
        """Decode one more picture where the next steps lead, while nothing is asked for; False = nothing is left to do.

        Backward in an original it does nothing: what lies before a picture comes in one go when it is asked for.
        """
        for steps in range(1, _AHEAD + 1):
            index = self._last + steps * self._direction
            if not 0 <= index < self.n_frames:
                return False
            if self._copy is None:
                if self._direction < 0:
                    return False
                if self._original().load(index):
                    return True
            elif index not in self._kept:
                try:
                    self._stored(self._copy, index)
                except DamagedCopyError:
                    self._leave_copy()
                return True
        return False

    def _original(self) -> FrameReader:
        if self._reader is None:
            self._reader = FrameReader(self.info)
        return self._reader

    def _leave_copy(self) -> None:
        self._kept.clear()
        self.close()
        self.is_copy_damaged = True

    def _stored(self, copy: ReviewCopy, index: int) -> NDArray[np.uint8]:
        stored = self._kept.get(index)
        if stored is None:
            stored = copy.read(index)
            self._kept[index] = stored
            while len(self._kept) > max(_AHEAD + 2, _CACHE_BYTES // stored.nbytes):
                self._kept.popitem(last=False)
        else:
            self._kept.move_to_end(index)
        return stored
