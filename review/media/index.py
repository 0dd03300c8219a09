"""The table of a clip's frames, made by demuxing: when each is shown and where decoding may start."""

import os
from bisect import bisect_right
from dataclasses import dataclass
from datetime import UTC, datetime
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

import av
import numpy as np
from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from review.errors import BadInputError
from review.lesson import FloatArray
from review.media.containers import check_local_file, cut_short, damaged, find_video_stream, open_container
from review.media.orientation import Orientation, read_orientation

_DURATION_SLACK_S = 0.5
"""A header may overstate the length by some frames and audio padding; a cut file lacks far more."""
_CAPTURE_RATE_TAG = "com.android.capture.fps"
"""Frames a second that the camera took, whatever the rate at which the file plays; an open key of the container."""
_FASTEST_CAMERA_HZ = 10_000.0
_EARLIEST_YEAR = 1990
"""Unset clocks read 1904 or 1970."""


@dataclass(frozen=True, eq=False)
class FrameIndex:
    """Everything that demuxing tells about one clip.

    ``pts`` are the presentation stamps of the frames in order of showing, in units of
    ``time_base`` seconds; ``keyframe_pts`` those at which decoding may start. ``is_ordinal`` says
    that the container's stamps do not name single frames (AVI), so frame N is the Nth decoded.
    ``last_step`` is how long the last frame is shown, 0 when the file does not say. ``width_px`` and
    ``height_px`` are as displayed.
    """

    path: Path
    pts: tuple[int, ...]
    keyframe_pts: tuple[int, ...]
    time_base: Fraction
    last_step: int
    is_ordinal: bool
    orientation: Orientation
    width_px: int
    height_px: int
    codec: str
    has_audio: bool
    recorded_at: datetime | None
    capture_rate_hz: float | None

    @property
    def time_s(self) -> FloatArray:
        """Presentation times (n_frames,) in seconds."""
        base = self.time_base
        return np.array([p * base.numerator / base.denominator for p in self.pts], dtype=np.float64)

    def keyframe_before(self, pts: int) -> int | None:
        """Return the last keyframe stamp not after ``pts``; None when decoding must start at the beginning."""
        if self.is_ordinal:
            return None
        place = bisect_right(self.keyframe_pts, pts)
        return self.keyframe_pts[place - 1] if place else None


@dataclass(frozen=True)
class _Stamp:
    pts: int | None
    dts: int | None
    duration: int
    is_keyframe: bool
    is_discard: bool


def read_index(path: str | os.PathLike[str]) -> FrameIndex:
    """Read the frame table of a clip; kept in memory until the file changes.

    Raises
    ------
    BadInputError
        The file is missing, empty, no video, cut short or damaged.
    MachineError
        It may not be read, or the disk failed.
    """
    local = check_local_file(path)
    status = local.stat()
    return _read_index(local, status.st_mtime_ns, status.st_size)


@lru_cache(maxsize=32)
def _read_index(path: Path, mtime_ns: int, size: int) -> FrameIndex:
    with open_container(path) as container:  # a stream must not be touched once this block has ended
        stream = find_video_stream(container, path)
        time_base = stream.time_base
        aspect = stream.sample_aspect_ratio or Fraction(1)
        codec = stream.codec_context.name
        has_audio = any(s.codec_context is not None for s in container.streams.audio)
        recorded_at = _read_creation_time(container, stream)
        capture_rate_hz = _read_capture_rate_hz(container)
        stamps = _read_stamps(container, stream, path, size)
        is_ordinal = _is_ordinal(container.format.name, stamps)
    first, n_decoded = _decode_start(path, count_all=is_ordinal)
    if first is None or not time_base:
        raise damaged(path, "not one picture of it can be decoded")
    pts = _ordinal_pts(stamps, n_decoded, path) if is_ordinal else _shown_pts(stamps, first)
    if not pts:
        raise damaged(path, "its frames carry no times")
    orientation = read_orientation(first)
    width_px, height_px = orientation.displayed_size(max(1, round(first.width * aspect)), first.height)
    return FrameIndex(
        path=path,
        pts=tuple(pts),
        keyframe_pts=tuple(sorted({s.pts for s in stamps if s.is_keyframe and s.pts is not None})),
        time_base=time_base,
        last_step=0 if is_ordinal else max((s.pts or 0, s.duration) for s in stamps if not s.is_discard)[1],
        is_ordinal=is_ordinal,
        orientation=orientation,
        width_px=width_px,
        height_px=height_px,
        codec=codec,
        has_audio=has_audio,
        recorded_at=recorded_at,
        capture_rate_hz=capture_rate_hz,
    )


def _shown_pts(stamps: list[_Stamp], first: VideoFrame) -> list[int]:
    """Return the stamps of the frames shown; those before the first that decodes lean on frames not in the file."""
    if first.pts is None:
        return []
    return sorted({s.pts for s in stamps if s.pts is not None and not s.is_discard and s.pts >= first.pts})


def _is_ordinal(format_name: str, stamps: list[_Stamp]) -> bool:
    return format_name == "avi" or any(s.pts is None for s in stamps)


def _read_stamps(container: InputContainer, stream: VideoStream, path: Path, size: int) -> list[_Stamp]:
    """Demux the whole file; the sound is read too, because a header's length covers all streams."""
    stamps: list[_Stamp] = []
    end_s, start_s = 0.0, (container.start_time or 0) / av.time_base
    for packet in container.demux(*container.streams.video, *container.streams.audio):
        if not packet.size:
            continue
        last = packet.pts if packet.pts is not None else packet.dts
        if last is not None:
            end_s = max(end_s, float((last + (packet.duration or 0)) * packet.time_base))
        if packet.stream_index == stream.index:
            stamps.append(_Stamp(packet.pts, packet.dts, packet.duration or 0, packet.is_keyframe, packet.is_discard))
    _check_whole(container, path, size, end_s - start_s)
    return stamps


def _check_whole(container: InputContainer, path: Path, size: int, found_s: float) -> None:
    """Raise when the file says that it should be longer than it is."""
    kind = container.format.name
    if kind == "mpegts":
        if size % _transport_packet_size(path):
            raise cut_short(path, "it ends inside a packet")
        return
    if kind == "avi":
        with path.open("rb") as file:
            stated = int.from_bytes(file.read(8)[4:], "little") + 8
        if stated > size:
            raise cut_short(path, f"{size} of {stated} bytes are there")
        return
    if "mp4" in kind.split(","):
        missing = sum(e.pos + e.size > size for s in container.streams for e in s.index_entries)
        if missing:
            raise cut_short(path, f"{missing} of its samples lie beyond its end")
        return
    stated_s = (container.duration or 0) / av.time_base
    if stated_s - found_s > _DURATION_SLACK_S:
        raise cut_short(path, f"{found_s:.1f} s of {stated_s:.1f} s are there")


def _transport_packet_size(path: Path) -> int:
    """Return the distance of the sync bytes: 188, or 192 and 204 with a time stamp or parity (ISO/IEC 13818-1)."""
    with path.open("rb") as file:
        head = file.read(5 * 204)
    for size in (188, 192, 204):
        place = head.find(0x47)
        if place >= 0 and all(head[i] == 0x47 for i in range(place, len(head), size)):
            return size
    return 1


def _decode_start(path: Path, count_all: bool) -> tuple[VideoFrame | None, int]:
    """Decode the first frame, or count all of them; the count is 0 when not asked for."""
    first, count = None, 0
    with open_container(path) as container:
        for frame in container.decode(find_video_stream(container, path)):
            first = first or frame
            if not count_all:
                break
            count += 1
    return first, count


def _ordinal_pts(stamps: list[_Stamp], n_decoded: int, path: Path) -> list[int]:
    """Return times for frames in order of decoding, from decoding stamps, which such a container does carry."""
    dts = sorted({s.dts for s in stamps if s.dts is not None})
    if len(dts) < n_decoded:
        raise BadInputError(
            f"The frames of '{path.name}' carry no usable times. Export the clip as MP4 and add that file."
        )
    return dts[:n_decoded]


def _read_creation_time(container: InputContainer, stream: VideoStream) -> datetime | None:
    for text in (container.metadata.get("creation_time"), stream.metadata.get("creation_time")):
        if not text:
            continue
        try:
            at = datetime.fromisoformat(text)
        except ValueError:
            continue
        at = at.replace(tzinfo=UTC) if at.tzinfo is None else at.astimezone(UTC)
        if at.year >= _EARLIEST_YEAR:
            return at
    return None


def _read_capture_rate_hz(container: InputContainer) -> float | None:
    noted = {key.lower(): value for key, value in container.metadata.items()}.get(_CAPTURE_RATE_TAG, "")
    try:
        rate_hz = float(noted)
    except ValueError:
        return None
    return rate_hz if 1.0 <= rate_hz <= _FASTEST_CAMERA_HZ else None
