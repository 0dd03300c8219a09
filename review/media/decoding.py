"""Decoding from any frame onward, each picture named by its number in the frame table."""

from bisect import bisect_right
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
    wanted = start
    for keyframe in places_to_begin(index, start):
        with open_container(index.path) as container:
            stream = find_video_stream(container, index.path)
            for number, frame in _decode_numbered(index, container, stream, keyframe, start):
                yield number, frame
                wanted = number + 1
        if wanted > start:
            break
    if wanted < len(index.pts):
        raise damaged(index.path, f"frame {wanted} at {index.time_s[wanted]:.3f} s does not decode")


def places_to_begin(index: FrameIndex, start: int) -> Iterator[int | None]:
    """Give the keyframe before ``start``, then ever earlier ones, at last the beginning of the file (None).

    The first nearly always serves. Not so with streams that are refreshed bit by bit: the decoder
    shows nothing until the whole picture is sound again.
    """
    if not index.is_ordinal and start:
        place = bisect_right(index.keyframe_pts, index.pts[start]) - 1
        back = 1
        while place > 0:
            yield index.keyframe_pts[place]
            place, back = place - back, 2 * back
    yield None


def _decode_numbered(
    index: FrameIndex, container: InputContainer, stream: VideoStream, keyframe: int | None, start: int
) -> Iterator[tuple[int, VideoFrame]]:
    """Decode from a keyframe and give the frames from ``start`` on in order; nothing when ``start`` does not come."""
    if index.is_ordinal:
        yield from ((n, frame) for n, frame in enumerate(container.decode(stream)) if n >= start)
        return
    number_of = {pts: i for i, pts in enumerate(index.pts)}
    wanted, held = start, dict[int, VideoFrame]()
    for frame in _decode_seeked(container, stream, keyframe, index.pts[start]):
        number = number_of.get(frame.pts) if frame.pts is not None else None
        if number is None or number < wanted:
            continue
        held[number] = frame
        while wanted in held:
            yield wanted, held.pop(wanted)
            wanted += 1
        if len(held) > _REORDER_LIMIT:
            return


def _decode_seeked(
    container: InputContainer, stream: VideoStream, keyframe: int | None, target: int
) -> Iterator[VideoFrame]:
    """Decode from a keyframe shown no later than ``target``, so that nothing it leans on is missing."""
    if keyframe is None:
        yield from container.decode(stream)
        return
    container.seek(keyframe, stream=stream)
    packets = container.demux(stream)
    first = next((p for p in packets if p.size and p.is_keyframe), None)
    if first is None or first.pts is None or first.pts > target:
        return  # the container did not seek as asked
    yield from first.decode()
    for packet in packets:
        yield from packet.decode()


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
