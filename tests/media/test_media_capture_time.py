"""When a clip was recorded, by name patterns and by the file's own metadata."""

import os
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest
from media_clips import Made, make_clip

from review.media import CaptureTime, find_time_in_name, probe_video, read_capture_time

Getter = Callable[[str], Made]
AT = datetime(2026, 3, 14, 10, 15, 18)


@pytest.fixture
def two_hours_ahead(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    if not hasattr(time, "tzset"):
        pytest.skip("the time zone of a process cannot be set here")
    monkeypatch.setenv("TZ", "UTC-2")  # POSIX counts west
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.mark.parametrize(
    "name",
    [
        "20260314_101518.mp4",
        "20260314-101518.MOV",
        "20260314T101518.mp4",
        "20260314101518.mp4",
        "clip_20260314_101518_cam2.mp4",
        "20260314_101518_002.mp4",  # may be a counter
        "20260314_101518(1).mp4",
        "2026-03-14 10.15.18.mp4",
        "2026-03-14_10-15-18.mp4",
        "2026-03-14-10-15-18.mkv",
        "2026.03.14 10.15.18.mp4",
        "2026-03-14T10:15:18.mp4",
        "2026-03-14 10h15m18s.mp4",
        "bay 3 2026-03-14 at 10.15.18.mov",
        "2026-03-14 at 10.15.18 AM.mov",
        "2026_03_14_10_15_18.avi",
    ],
)
def test_names_with_whole_seconds(name: str) -> None:
    assert find_time_in_name(name) == CaptureTime(AT, 1.0, "file name")


@pytest.mark.parametrize(
    ("name", "microsecond", "resolution_s"),
    [
        ("20260314_101518.25.mp4", 250_000, 0.01),
        ("20260314_101518,250.mp4", 250_000, 0.001),
        ("20260314_101518250.mp4", 250_000, 0.001),
        ("20260314101518250.mp4", 250_000, 0.001),
        ("2026-03-14 10.15.18.250.mp4", 250_000, 0.001),
        ("2026-03-14 10-15-18.5.mp4", 500_000, 0.1),
    ],
)
def test_names_with_a_fraction(name: str, microsecond: int, resolution_s: float) -> None:
    found = find_time_in_name(name)
    assert found is not None
    assert found.at == AT.replace(microsecond=microsecond)
    assert found.resolution_s == pytest.approx(resolution_s)


def test_other_times_of_day() -> None:
    assert find_time_in_name("2026-03-14 10.15.mp4") == CaptureTime(AT.replace(second=0), 60.0, "file name")
    assert find_time_in_name("2026-03-14 at 1.05.09 PM.mov") == CaptureTime(
        datetime(2026, 3, 14, 13, 5, 9), 1.0, "file name"
    )
    assert find_time_in_name("2026-03-14 at 12.05.09 am.mov") == CaptureTime(
        datetime(2026, 3, 14, 0, 5, 9), 1.0, "file name"
    )


@pytest.mark.parametrize(
    "name",
    [
        "swing.mp4",
        "0042.mp4",
        "20260314.mp4",  # a day is no time
        "20260314_0042.mp4",  # a counter as likely as a time
        "20261314_101518.mp4",  # month 13
        "20260230_101518.mp4",  # 30 February
        "20260314_251518.mp4",  # hour 25
        "2026-03-14 13.05.09 PM.mov",
        "1203202603141015189.mp4",  # digits that only contain a date
        "14-03-2026 10.15.18.mp4",  # day or month first: cannot be told apart
    ],
)
def test_names_that_do_not_say(name: str) -> None:
    assert find_time_in_name(name) is None


def test_folder_names_are_not_read() -> None:
    assert find_time_in_name(Path("20260314_101518/swing.mp4").name) is None


@pytest.mark.usefixtures("two_hours_ahead")
def test_metadata_becomes_local_time(tmp_path: Path) -> None:
    clip = make_clip(
        tmp_path / "swing.mp4",
        tuple(range(4)),
        Fraction(1, 30),
        metadata={"creation_time": "2026-03-14T08:15:18.000000Z"},
    )
    info = probe_video(clip.path)
    assert info.recorded_at == datetime(2026, 3, 14, 8, 15, 18, tzinfo=UTC)
    assert read_capture_time(clip.path) == CaptureTime(AT, 1.0, "metadata")
    assert read_capture_time(clip.path, info) == CaptureTime(AT, 1.0, "metadata")


def test_the_name_wins_over_metadata(tmp_path: Path) -> None:
    clip = make_clip(
        tmp_path / "20260314_101518.mp4",
        tuple(range(4)),
        Fraction(1, 30),
        metadata={"creation_time": "2020-01-01T00:00:00Z"},
    )
    assert read_capture_time(clip.path) == CaptureTime(AT, 1.0, "file name")


def test_unset_camera_clock_is_no_time(tmp_path: Path) -> None:
    clip = make_clip(
        tmp_path / "swing.mp4", tuple(range(4)), Fraction(1, 30), metadata={"creation_time": "1970-01-01T00:00:09Z"}
    )
    assert read_capture_time(clip.path) is None


def test_file_date_only_when_asked(made: Getter, tmp_path: Path) -> None:
    path = tmp_path / "swing.mp4"
    path.write_bytes(made("h264_b_frames").path.read_bytes())
    os.utime(path, (AT.timestamp(), AT.timestamp()))
    assert read_capture_time(path) is None
    found = read_capture_time(path, use_file_date=True)
    assert found is not None
    assert (found.resolution_s, found.source) == (60.0, "file date")
    assert (AT - found.at).total_seconds() == pytest.approx(3.0, abs=1e-6)  # 90 frames at 30 per second
