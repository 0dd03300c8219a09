"""A copy of a clip made for looking at it frame by frame: every picture stands alone and is found by its number.

H.264 of key frames only, upright, with no sound. Each picture is four slices, so that two cores share the decoding of
one. The copy is derived data: it can be made again, and nothing is measured from it.
"""

import os
import zlib
from fractions import Fraction
from pathlib import Path
from typing import Final

import av
import cv2
import numpy as np
from av.codec.codec import UnknownCodecError
from av.container import OutputContainer
from numpy.typing import NDArray

from review.errors import BadInputError, MachineError
from review.lesson import FloatArray
from review.media.containers import find_video_stream, open_container
from review.media.copy_map import CopyMap
from review.media.encoder import encoder_error
from review.media.footage import VideoSource, as_footage, path_in
from review.media.frames import read_frames
from review.media.index import read_index
from review.media.probing import VideoInfo, info_of
from review.progress import Progress, silent

FORMAT = "1"
"""Goes up when copies made before must not be used any longer."""

_LONGER_SIDE_PX = 1920
"""What a screen shows; a larger original is made smaller, a smaller one stays."""
_CODEC: Final = "libx264"
_OPTIONS = {
    "preset": "ultrafast",
    "tune": "fastdecode",
    "crf": "23",
    "x264-params": "keyint=1:slices=4:log-level=none",
}
_BYTES_PER_PX = 0.08
"""Measured: 146 kB for a noisy picture of 1920x1080 (docs/performance.md)."""
_TICKS_PER_S = 90_000
"""The clock of video in MPEG systems (ISO/IEC 13818-1, 2.4.2); the times that count stand in the map, unrounded."""


def expected_bytes(info: VideoInfo) -> int:
    """About how many bytes the copy of a clip takes."""
    return int(info.n_frames * info.width_px * info.height_px * _scale(info) ** 2 * _BYTES_PER_PX)


def _scale(info: VideoInfo) -> float:
    return min(1.0, _LONGER_SIDE_PX / max(info.width_px, info.height_px))


def write_review_copy(source: VideoSource, target: Path, progress: Progress = silent) -> CopyMap:
    """Write the review copy of a clip, whatever ``target`` ends with, and return its map.

    Parameters
    ----------
    source
        A file or a part of one.
    target
        Where to write; removed when the work fails or is cancelled.
    progress
        Called with frames done and frames in all; may raise ``Cancelled``.

    Raises
    ------
    BadInputError
        The clip cannot be read.
    MachineError
        The disk is full or may not be written.
    """
    index = read_index(path_in(source))
    info = info_of(index, as_footage(source))
    try:
        with av.open(f"file:{target}", "w", format="mp4") as out:
            writer, size_px = None, (0, 0)
            for frame in read_frames(info, max_height_px=max(1, round(info.height_px * _scale(info)))):
                if writer is None:
                    size_px = (frame.rgb.shape[1], frame.rgb.shape[0])
                    writer = _Encoder(out, size_px, info.frame_rate_hz)
                writer.write(frame.rgb, frame.time_s - float(info.time_s[0]))
                progress(frame.index + 1, info.n_frames)
            if writer is None:
                raise ValueError("a clip has at least one frame")
            writer.end()
        return _map_of(target, info.time_s, size_px)
    except BaseException as error:
        target.unlink(missing_ok=True)
        if isinstance(error, UnknownCodecError):
            raise encoder_error(target, ["Unknown encoder"]) from error
        if isinstance(error, av.FFmpegError | OSError) and not isinstance(error, BadInputError | MachineError):
            raise encoder_error(target, [error.strerror or str(error)]) from error
        raise


class _Encoder:
    """Puts pictures into the copy; sides are made even by repeating the last row or column."""

    def __init__(self, out: OutputContainer, size_px: tuple[int, int], rate_hz: float) -> None:
        self._out = out
        self._pad_px = tuple(side % 2 for side in size_px)
        rate = Fraction(rate_hz).limit_denominator(1001) if 1 <= rate_hz <= 1000 else Fraction(30)
        self._stream = out.add_stream(_CODEC, rate=rate, options=_OPTIONS)
        self._stream.width, self._stream.height = (s + p for s, p in zip(size_px, self._pad_px, strict=True))
        self._stream.pix_fmt = "yuv420p"
        self._stream.time_base = self._stream.codec_context.time_base = Fraction(1, _TICKS_PER_S)
        self._last_tick = -1

    def write(self, rgb: NDArray[np.uint8], time_s: float) -> None:
        """Append a picture shown ``time_s`` seconds after the first."""
        right, below = self._pad_px
        if right or below:
            rgb = np.pad(rgb, ((0, below), (0, right), (0, 0)), mode="edge")
        # OpenCV's colours are BT.601, and it is OpenCV that turns them back: three times as fast as the scaler
        stored: NDArray[np.uint8] = cv2.cvtColor(rgb, cv2.COLOR_RGB2YUV_I420).astype(np.uint8, copy=False)
        frame = av.VideoFrame.from_ndarray(stored, format="yuv420p")
        self._last_tick = max(self._last_tick + 1, round(time_s * _TICKS_PER_S))
        frame.pts, frame.time_base = self._last_tick, Fraction(1, _TICKS_PER_S)
        self._out.mux(self._stream.encode(frame))

    def end(self) -> None:
        """Append what the encoder still holds."""
        self._out.mux(self._stream.encode(None))


def _map_of(target: Path, time_s: FloatArray, size_px: tuple[int, int]) -> CopyMap:
    """Read back where the pictures lie in a copy and what they are, once it is on the disk."""
    with target.open("rb+") as file:
        os.fsync(file.fileno())
    with open_container(target) as container:
        stream = find_video_stream(container, target)
        # read out here: the entries go with the container
        entries = sorted((e.timestamp, e.pos, e.size, e.is_keyframe) for e in stream.index_entries)
        stored_px = (stream.width, stream.height)
    if len(entries) != len(time_s) or not all(is_keyframe for *_, is_keyframe in entries):
        raise MachineError(f"Writing '{target.name}' failed: its pictures are not those given. Try again.")
    places = np.array([(begin, size) for _, begin, size, _ in entries], dtype=np.int64)
    crcs = []
    with target.open("rb") as file:
        for begin, size in places.tolist():
            file.seek(begin)
            crcs.append(zlib.crc32(file.read(size)))
    crc32 = np.array(crcs, dtype=np.int64)
    return CopyMap(time_s, places[:, 0], places[:, 1], crc32, *size_px, stored_px, target.stat().st_size)
