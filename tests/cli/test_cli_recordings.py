"""What the coach reads after adding a long recording, and the options that go with it."""

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from review.cli.main import main
from review.jobs.recordings import cutting
from review.library import Library
from review.swing.search import FoundSwing

FOUND = (FoundSwing(2.0, 7.0, 5.0, None, "there is no sound to tell them apart"), FoundSwing(9.0, 14.0, 12.0, 12.01))


@pytest.fixture
def recording(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """22 grey seconds, in which the search is said to have found two swings."""
    path = tmp_path / "20260314_101500.mp4"
    with av.open(str(path), "w") as out:
        video = out.add_stream("libx264", rate=10, options={"g": "10"})
        video.width, video.height, video.pix_fmt = 64, 64, "yuv420p"
        for n in range(220):
            frame = av.VideoFrame.from_ndarray(np.full((64, 64, 3), n, np.uint8), format="rgb24")
            frame.pts, frame.time_base = n, Fraction(1, 10)
            out.mux(video.encode(frame))
        out.mux(video.encode(None))
    monkeypatch.setattr(cutting, "search_recording", lambda *rest: FOUND)
    return path


def add(recording: Path, *more: str) -> int:
    consent = ("--consent-by", "Anna", "--consent-for", "keep,measure,share")
    pupil = ("--pupil", "Anna", "--handed", "right", *consent)
    return main(["add", str(recording), *pupil, "--library", str(recording.parent / "library"), *more])


def test_doubts_are_asked_and_what_is_kept_is_said(recording: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert add(recording) == 1
    told = capsys.readouterr().out
    assert "2 swings found, 1 of them struck a ball" in told
    assert "Question: Is swing 1 practice?" in told
    assert "--keep-recording" in told
    with Library.open(recording.parent / "library") as library:
        clips = library.clips(library.find_lesson("last").id)
    assert [c.original_name for c in clips] == ["20260314_101500.mp4 at 0:01", "20260314_101500.mp4 at 0:08"]
    add(recording, "--keep-recording")
    assert "is kept whole" in capsys.readouterr().out


def test_limits_that_are_no_time_are_refused(recording: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="2"):
        add(recording, "--from", "ten o'clock")
    assert "expected a time such as 10:18" in capsys.readouterr().err
    assert add(recording, "--from", "12:00") == 2
    assert "Correct --from and --to" in capsys.readouterr().err
