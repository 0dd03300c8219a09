"""What a clip is: size, times of its frames, sound, when it was recorded."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.media.footage import Footage, VideoSource, as_footage, path_in
from review.media.index import FrameIndex, read_index


@dataclass(frozen=True, eq=False)
class VideoInfo:
    """A clip, or a part of one, as its file describes it.

    ``width_px`` and ``height_px`` are as displayed, after turning by ``rotation_deg`` (0, 90, 180
    or 270 counter-clockwise) and with square pixels. ``time_s`` (n_frames,) are presentation times
    in seconds, strictly increasing, on the clock that the sound shares; the first need not be 0.
    ``duration_s`` runs from the first frame shown to the end of the last. ``recorded_at`` is the
    file's own creation time (UTC, aware), ``capture_rate_hz`` the frames a second that the camera took by its own note
    (a slow-motion file plays fewer); None when it has none. ``first_frame`` is the number of the part's first
    frame in the file, 0 for a whole file.
    """

    path: Path
    width_px: int
    height_px: int
    rotation_deg: int
    codec: str
    time_s: FloatArray
    has_audio: bool
    duration_s: float
    recorded_at: datetime | None = None
    capture_rate_hz: float | None = None
    first_frame: int = 0

    def __post_init__(self) -> None:
        if self.time_s.ndim != 1 or not len(self.time_s):
            raise ValueError(f"time_s must have shape (n_frames,) with n_frames > 0, got {self.time_s.shape}")
        if not np.all(np.diff(self.time_s) > 0):
            raise ValueError("the times of a clip's frames must increase")
        if self.rotation_deg not in (0, 90, 180, 270):
            raise ValueError(f"rotation_deg must be 0, 90, 180 or 270, got {self.rotation_deg}")
        if self.recorded_at is not None and self.recorded_at.tzinfo is None:
            raise ValueError("recorded_at must be aware (UTC)")

    @property
    def n_frames(self) -> int:
        """Number of frames shown."""
        return len(self.time_s)

    @property
    def frame_rate_hz(self) -> float:
        """One over the median step between frames; NaN for a single frame."""
        return float(1.0 / np.median(np.diff(self.time_s))) if self.n_frames > 1 else float("nan")


def probe_video(source: VideoSource) -> VideoInfo:
    """Read what a clip is, by demuxing all of its file and decoding the first frame.

    Parameters
    ----------
    source
        A local file (MP4, MOV, MKV, WebM, AVI or MPEG-TS), or a part of one.

    Returns
    -------
    VideoInfo
        Its times agree one to one with the frames of ``read_frames``.

    Raises
    ------
    BadInputError
        The file is missing, a folder, empty, no video, sound only, cut short or damaged; or holds no frame of the part.
    MachineError
        It may not be read, or the disk failed.
    """
    return info_of(read_index(path_in(source)), as_footage(source))


def info_of(index: FrameIndex, footage: Footage) -> VideoInfo:
    """Return the public description of an indexed clip, or of a part of it.

    Raises
    ------
    BadInputError
        No frame of the file lies in the part.
    """
    all_s = index.time_s
    first = int(np.searchsorted(all_s, footage.begin_s)) if footage.begin_s > 0 else 0
    stop = len(all_s) if footage.end_s is None else int(np.searchsorted(all_s, footage.end_s))
    if first >= stop:
        raise BadInputError(
            f"Expected pictures from {footage.begin_s:.2f} s on in '{index.path.name}', but it shows none there (it "
            f"runs from {all_s[0]:.2f} to {all_s[-1]:.2f} s). Add the recording again."
        )
    time_s = all_s[first:stop]
    last_s = float(index.last_step * index.time_base) if stop == len(all_s) else float(all_s[stop] - all_s[stop - 1])
    if last_s <= 0 and len(time_s) > 1:
        last_s = float(np.median(np.diff(time_s)))
    return VideoInfo(
        path=index.path,
        width_px=index.width_px,
        height_px=index.height_px,
        rotation_deg=index.orientation.rotation_deg,
        codec=index.codec,
        time_s=time_s,
        has_audio=index.has_audio,
        duration_s=float(time_s[-1] - time_s[0]) + last_s,
        recorded_at=index.recorded_at,
        capture_rate_hz=index.capture_rate_hz,
        first_frame=first,
    )
