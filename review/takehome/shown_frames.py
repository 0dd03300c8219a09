"""Frames of a clip as they may be shown; everything handed out takes its pictures from here."""

from collections.abc import Iterator
from dataclasses import replace

from review.media import Frame, VideoInfo, read_frames
from review.takehome.contents import ClipSide


def read_shown(
    side: ClipSide, info: VideoInfo, start: int = 0, stop: int | None = None, max_height_px: int | None = None
) -> Iterator[Frame]:
    """Read frames ``start``, ``start + 1``, ... before ``stop``, with what is to be covered replaced.

    Raises
    ------
    BadInputError, MachineError
        As for :func:`review.media.read_frames`.
    """
    for frame in read_frames(info, start, stop, max_height_px=max_height_px):
        yield frame if side.cover is None else replace(frame, rgb=side.cover.hide(frame.rgb, frame.index))
