"""Decoding from any frame onward, each picture named by its number in the frame table."""

from collections.abc import Iterator

import numpy as np
from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.reformatter import Interpolation, VideoReformatter
from av.video.stream import VideoStream
from numpy.typing import NDArray

from review.media.containers import damaged, find_video_stream, open_container
from review.media.index import FrameIndex

_REORDER_LIMIT = 32
"""Frames held back while an earlier one is awaited; codecs reorder 16 at most (H.264, A.3.1; HEVC, A.4.2)."""


def decode_from(index: FrameIndex, start: int) -> Iterator[tuple[int, VideoFrame]]:
    """Decode frames ``start``, ``start + 1``, ... without a gap, beginning at the keyframe before.

    Raises
    ------
    BadInputError
        A frame of the table does not decode; the frames before it have been given.
    """
    with open_container(index.path) as container:
        stream = find_video_stream(container, index.path)
        if index.is_ordinal:
            yield from _decode_ordinal(index, container, stream, start)
            return
        number_of = {pts: i for i, pts in enumerate(index.pts)}
        wanted, held = start, dict[int, VideoFrame]()
        for frame in _decode_seeked(index, container, stream, start):
            number = number_of.get(frame.pts) if frame.pts is not None else None
            if number is None or number < wanted:
                continue
            held[number] = frame
            while wanted in held:
                yield wanted, held.pop(wanted)
                wanted += 1
            if len(held) > _REORDER_LIMIT:
                break
        if wanted < len(index.pts):
            raise damaged(index.path, f"frame {wanted} at {index.time_s[wanted]:.3f} s does not decode")


def _decode_ordinal(
    index: FrameIndex, container: InputContainer, stream: VideoStream, start: int
) -> Iterator[tuple[int, VideoFrame]]:
    n_given = 0
    for number, frame in enumerate(container.decode(stream)):
        n_given = number + 1
        if number >= start:
            yield number, frame
    if n_given < len(index.pts):
        raise damaged(index.path, f"frame {n_given} at {index.time_s[n_given]:.3f} s does not decode")


def _decode_seeked(
    index: FrameIndex, container: InputContainer, stream: VideoStream, start: int
) -> Iterator[VideoFrame]:
    """Decode from a keyframe shown no later than frame ``start``, so that nothing it leans on is missing."""
    target = index.pts[start]
    keyframe = index.keyframe_before(target) if start else None
    if keyframe is None or keyframe <= index.pts[0]:
        yield from container.decode(stream)
        return
    place = keyframe
    while True:
        container.seek(place, stream=stream)
        packets = container.demux(stream)
        packet = next((p for p in packets if p.size and p.is_keyframe), None)
        if packet is not None and packet.pts is not None and packet.pts <= target:
            break
        earlier = index.keyframe_before(place - 1)
        if earlier is None:  # the container cannot seek: read it from the beginning
            yield from _decode_reopened(index)
            return
        place = earlier
    yield from packet.decode()
    for packet in packets:
        yield from packet.decode()


def _decode_reopened(index: FrameIndex) -> Iterator[VideoFrame]:
    with open_container(index.path) as container:
        yield from container.decode(find_video_stream(container, index.path))


class UprightConverter:
    """Turns decoded frames into upright pictures (h, w, 3), no higher than ``max_height_px`` as displayed.

    They are made smaller in the stored colours first: converting colours is the dear part. The
    scaler's tables are kept from frame to frame, which halves the time (so one per thread).
    """

    def __init__(self, index: FrameIndex, max_height_px: int | None = None) -> None:
        self._orientation = index.orientation
        height_px = min(index.height_px, max_height_px or index.height_px)
        width_px = max(1, round(index.width_px * height_px / index.height_px))
        # exchanging the sides is its own inverse, so this gives the stored size of the displayed one
        self._stored_size = index.orientation.displayed_size(width_px, height_px)
        self._scaler, self._colours = VideoReformatter(), VideoReformatter()

    def convert(self, frame: VideoFrame) -> NDArray[np.uint8]:
        """Return the picture of one frame."""
        width_px, height_px = self._stored_size
        if (frame.width, frame.height) != self._stored_size:
            is_smaller = height_px < frame.height
            how = Interpolation.AREA if is_smaller else Interpolation.BILINEAR
            frame = self._scaler.reformat(frame, width_px, height_px, frame.format.name, interpolation=how)
        rgb = self._colours.reformat(frame, width_px, height_px, "rgb24").to_ndarray()
        return self._orientation.apply(rgb.astype(np.uint8, copy=False))
