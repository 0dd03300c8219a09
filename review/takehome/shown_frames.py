"""Frames of a clip as they may be shown; everything handed out takes its pictures from here."""

from collections.abc import Iterator
from dataclasses import replace

from review.media import PlanesFrame, VideoInfo, read_planes
from review.takehome.clip_sides import ClipSide


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
