"""How much moves in a long recording, from small grey pictures: far cheaper than reading its frames."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from av.video.frame import VideoFrame
from numpy.typing import NDArray

from review.errors import BadInputError
from review.lesson import FloatArray
from review.media.containers import find_video_stream, no_times, open_container
from review.media.footage import VideoSource, as_footage, path_in
from review.media.index import read_index
from review.progress import Progress, silent

_LONG_SIDE = 80
"""Blocks along the longer side; a player who fills the height is about 30 high."""
_NOISE_TIMES = 5.0
_LEAST_LEVELS = 4.0
_REPORT_EVERY = 50
_PLAIN = ("yuv4", "yuvj4", "nv12", "gray")
"""Formats whose first plane is the brightness, one byte a pixel."""


@dataclass(frozen=True, eq=False)
class PictureMotion:
    """``energy`` (n,) grey levels that changed in a fifteenth of a second, summed over the blocks, at ``time_s`` (n,).

    Times are presentation times, each between the two pictures compared. What noise and a change of the light alter is
    not counted.
    """

    time_s: FloatArray
    energy: FloatArray


def read_picture_motion(source: VideoSource, rate_hz: float = 15.0, progress: Progress = silent) -> PictureMotion:
    """Measure motion over a recording at about ``rate_hz`` pictures a second, on one core.

    ``progress`` gets pictures looked at and pictures in all (about); it may raise ``Cancelled``.

    Raises
    ------
    BadInputError
        The file cannot be used, breaks off while being read, or is an AVI, whose frames carry no times of their own.
    MachineError
        It may not be read, or the disk failed.

    Notes
    -----
    Pictures that no other leans on are skipped, and the smoothing of block edges too: errors of a few grey levels
    that leave the mean of a block nearly as it is. A block changes when its mean moves by more than 5 times the median
    block's (noise) and by more than 4 levels; the median itself (a lamp, the exposure) is taken off.
    """
    footage, index = as_footage(source), read_index(path_in(source))
    begin_s, end_s = footage.begin_s, math.inf if footage.end_s is None else footage.end_s
    if index.is_ordinal:
        raise no_times(index.path)
    total = max(1, round(min(end_s, index.time_s[-1]) - begin_s) * round(rate_hz))
    times: list[float] = []
    energies: list[float] = []
    before: NDArray[np.float32] | None = None
    last_s = -math.inf
    with open_container(index.path) as container:
        stream = find_video_stream(container, index.path)
        stream.thread_type = "NONE"
        if stream.codec_context.name == "h264":
            stream.codec_context.options = {**stream.codec_context.options, "skip_loop_filter": "all"}
        stream.codec_context.skip_frame = "NONREF"
        if begin_s > 0 and stream.time_base:
            container.seek(round(begin_s / stream.time_base), stream=stream)
        for frame in container.decode(stream):
            at_s = frame.time
            if at_s is None or at_s < begin_s or at_s - last_s < 1.0 / rate_hz - 0.002:
                continue
            if at_s >= end_s:
                break
            blocks = _as_blocks(frame)
            if before is not None and blocks.shape == before.shape:
                times.append((at_s + last_s) / 2)
                energies.append(_change(blocks, before) / (15.0 * (at_s - last_s)))
            before, last_s = blocks, at_s
            if len(times) % _REPORT_EVERY == 0:
                progress(min(len(times), total), total)
    if not times:
        raise BadInputError(f"'{index.path.name}' holds too few pictures to be searched. Add its swings as clips.")
    progress(total, total)
    return PictureMotion(np.array(times), np.array(energies))


def join_motion(parts: Sequence[PictureMotion]) -> PictureMotion:
    """Put the motion of parts of a recording together, in order; where two overlap the earlier one counts."""
    joined, begin_s = [], -math.inf
    for part in parts:
        is_new = part.time_s > begin_s
        joined.append((part.time_s[is_new], part.energy[is_new]))
        begin_s = max(begin_s, float(part.time_s[-1]))
    return PictureMotion(*(np.concatenate(arrays) for arrays in zip(*joined, strict=True)))


def _as_blocks(frame: VideoFrame) -> NDArray[np.float32]:
    """(rows, columns) mean brightness of the blocks of a stored picture."""
    name = frame.format.name
    if name.startswith(_PLAIN) and not name.endswith(("le", "be")):
        plane = frame.planes[0]
        grey = np.frombuffer(memoryview(plane), np.uint8).reshape(-1, plane.line_size)[: frame.height, : frame.width]
    else:
        grey = frame.to_ndarray(format="gray").astype(np.uint8, copy=False)
    block = max(1, max(frame.width, frame.height) // _LONG_SIDE)
    rows, columns = frame.height // block, frame.width // block
    small = cv2.resize(grey[: rows * block, : columns * block], (columns, rows), interpolation=cv2.INTER_AREA)
    return np.asarray(small, dtype=np.float32)


def _change(blocks: NDArray[np.float32], before: NDArray[np.float32]) -> float:
    difference = blocks - before
    change = np.abs(difference - np.median(difference))
    return float(np.maximum(change - max(_LEAST_LEVELS, _NOISE_TIMES * float(np.median(change))), 0.0).sum())
