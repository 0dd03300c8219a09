"""The camera's own note of how many frames a second it took."""

from fractions import Fraction
from pathlib import Path

import pytest
from media_clips import make_clip, run_ffmpeg

from review.media import probe_video

TAG = "com.android.capture.fps"


@pytest.mark.parametrize(("noted", "expected"), [("240.000000", 240.0), ("119.88", 119.88)])
def test_the_note_is_read(tmp_path: Path, noted: str, expected: float) -> None:
    clip = make_clip(tmp_path / "a.mkv", tuple(range(8)), Fraction(1, 30), metadata={TAG: noted})
    info = probe_video(clip.path)
    assert info.capture_rate_hz == pytest.approx(expected)
    assert info.frame_rate_hz == pytest.approx(30.0, rel=0.05)  # Matroska stamps are whole milliseconds


def test_the_note_is_read_from_mp4(tmp_path: Path) -> None:
    clip = make_clip(tmp_path / "a.mp4", tuple(range(8)), Fraction(1, 30))
    noted = tmp_path / "noted.mp4"
    flags = ("-movflags", "use_metadata_tags", "-metadata", f"{TAG}=240.0")
    run_ffmpeg("-i", str(clip.path), "-c", "copy", *flags, str(noted))
    assert probe_video(noted).capture_rate_hz == pytest.approx(240.0)
    assert probe_video(clip.path).capture_rate_hz is None


@pytest.mark.parametrize("noted", ["0", "-30", "nan", "fast", "1e12"])
def test_a_senseless_note_is_none(tmp_path: Path, noted: str) -> None:
    clip = make_clip(tmp_path / "a.mkv", tuple(range(8)), Fraction(1, 30), metadata={TAG: noted})
    assert probe_video(clip.path).capture_rate_hz is None
