"""When a clip was recorded, by its name or by what is written inside."""

import os
import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Literal

from review.media.containers import check_local_file
from review.media.probing import VideoInfo, probe_video

CaptureSource = Literal["file name", "metadata", "file date"]

_FILE_DATE_RESOLUTION_S = 60.0
"""A file's date is that of its last writing, some time after the recording."""

_DATE = r"(?<!\d)(?P<year>(?:19|20)\d\d)(?P<dash>[-_.]?)(?P<month>\d\d)(?P=dash)(?P<day>\d\d)"
_BETWEEN = r"(?:[ _T-]{1,3}|[ _]at[ _])?"
_COMPACT = re.compile(
    _DATE + _BETWEEN + r"(?P<hour>\d\d)(?P<minute>\d\d)(?P<second>\d\d)(?P<fraction>\d{3}|[.,]\d{1,6})?(?!\d)"
)
_SPACED = re.compile(
    _DATE
    + r"(?:[ _T-]{1,3}|[ _]at[ _])"
    + r"(?P<hour>\d{1,2})(?P<colon>[-:._h])(?P<minute>\d\d)"
    + r"(?:(?:(?P=colon)|m)(?P<second>\d\d)s?(?P<fraction>[.,]\d{1,6})?)?(?!\d)"
    + r"(?:[ _]?(?P<half>[AaPp][Mm])(?![A-Za-z]))?"
)


@dataclass(frozen=True)
class CaptureTime:
    """The camera's clock at the first frame, rounded down to ``resolution_s`` seconds.

    ``at`` is naive local time: as written in a file name, or a metadata or file time turned from
    UTC to the local time of this computer.
    """

    at: datetime
    resolution_s: float
    source: CaptureSource

    def __post_init__(self) -> None:
        if self.at.tzinfo is not None:
            raise ValueError("a capture time is naive local time")
        if self.resolution_s <= 0:
            raise ValueError(f"resolution_s must be positive, got {self.resolution_s}")


def read_capture_time(
    path: str | os.PathLike[str], info: VideoInfo | None = None, use_file_date: bool = False
) -> CaptureTime | None:
    """Find when a clip was recorded.

    Parameters
    ----------
    path
        The clip under the name the camera gave it.
    info
        What ``probe_video`` gave; read from the file when needed and not given.
    use_file_date
        Fall back on the date of last writing less the clip's length. Off by default: a copy often
        carries the time of copying, and a wrong time pairs clips wrongly where none asks the coach.

    Returns
    -------
    CaptureTime or None
        From the date and time in the file's name, else from the file's creation time, else None.

    Raises
    ------
    BadInputError, MachineError
        As for ``probe_video``, when the name does not say.
    """
    named = find_time_in_name(Path(path).name)
    if named is not None:
        return named
    info = info or probe_video(path)
    if info.recorded_at is not None:
        at = info.recorded_at.astimezone().replace(tzinfo=None)
        return CaptureTime(at, 1.0 if at.microsecond == 0 else 0.001, "metadata")
    if use_file_date:
        written = datetime.fromtimestamp(check_local_file(path).stat().st_mtime)
        return CaptureTime(written - timedelta(seconds=info.duration_s), _FILE_DATE_RESOLUTION_S, "file date")
    return None


def find_time_in_name(name: str) -> CaptureTime | None:
    """Find a date followed by a time of day in a file name; None when there is none.

    Year, month, day in this order, then hours, minutes and mostly seconds, with or without
    separators; a fraction of a second after a point or comma, or as three more digits. Three digits
    after a dash or underscore may be a counter and are not taken for milliseconds, nor are four
    digits alone taken for hours and minutes.
    """
    stem = re.sub(r"\.[A-Za-z][A-Za-z0-9]{1,4}$", "", name)
    for pattern in (_COMPACT, _SPACED):
        for match in pattern.finditer(stem):
            found = _to_time(match)
            if found is not None:
                return found
    return None


def _to_time(match: re.Match[str]) -> CaptureTime | None:
    part = match.groupdict()
    hour = int(part["hour"])
    half = (part.get("half") or "").lower()
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "pm" else 0)
    digits = (part["fraction"] or "").lstrip(".,")
    try:
        at = datetime(
            int(part["year"]),
            int(part["month"]),
            int(part["day"]),
            hour,
            int(part["minute"]),
            int(part["second"] or 0),
            int(digits.ljust(6, "0")) if digits else 0,
        )
    except ValueError:  # 20269914_101518 is a number, no date
        return None
    resolution_s = 60.0 if part["second"] is None else 10.0 ** -len(digits)
    return CaptureTime(at, resolution_s, "file name")
