"""Frames of a clip as they may be shown; everything handed out takes its pictures from here."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from review.lesson import FloatArray
from review.media import Footage, FrameSource, PlanesFrame, VideoInfo, read_planes
from review.takehome.clip_sides import ClipSide
from review.takehome.looks import Picture
from review.takehome.picture_cover import PictureCover


def read_shown(side: ClipSide, info: VideoInfo, start: int = 0, stop: int | None = None) -> Iterator[PlanesFrame]:
    """Read frames ``start``, ``start + 1``, ... before ``stop``, with what is to be covered replaced.

    Raises
    ------
    BadInputError, MachineError
        As for :func:`review.media.read_planes`.
    """
    for frame in read_planes(info, start, stop):
        if side.cover is None:
            yield frame
        else:
            yield replace(frame, planes=side.cover.hide_planes(frame.planes, frame.index))


@dataclass(frozen=True, eq=False)
class ShownFrames:
    """A clip to be stepped through at will; ``frame`` gives no picture but a covered one where there is a cover."""

    _source: FrameSource
    _cover: PictureCover | None

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height of the original, upright."""
        return self._source.width_px, self._source.height_px

    @property
    def time_s(self) -> FloatArray:
        """Presentation times of its frames."""
        return self._source.time_s

    def frame(self, number: int) -> tuple[int, Picture]:
        """Return the frame nearest to a number that the clip has, and its RGB picture (h, w, 3).

        Raises
        ------
        BadInputError
            When it does not decode.
        """
        known = min(max(number, 0), self._source.n_frames - 1)
        picture = self._source.frame(known)
        return known, picture if self._cover is None else self._cover.hide(picture, known)


@contextmanager
def open_shown(footage: Path | Footage, cover: PictureCover | None) -> Iterator[ShownFrames]:
    """Open a clip to be stepped through; errors as for :class:`review.media.FrameSource`."""
    with FrameSource(footage) as source:
        yield ShownFrames(source, cover)
