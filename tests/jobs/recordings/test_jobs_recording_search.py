"""A made-up lesson in one file, searched from end to end with the true pose model: found, missed, false, struck."""

import json
from pathlib import Path

import pytest

from review.jobs.recordings import searching
from review.jobs.recordings.searching import is_recording, search_recording
from review.media import probe_video
from tests.made_recordings import MadeRecording, Part, make_recording

SAMPLE = Path(__file__).parents[3] / "sample_clips"
_PRACTICE = 1


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> MadeRecording:
    """Three swings, the second without a ball; waggles, somebody who walks past, strikes of a neighbour."""
    truth = json.loads((SAMPLE / "truth.json").read_text())
    clips = [c for c in truth["clips"] if c["view"] == "face-on" and not c["practice_swing"]][:3]
    parts = [
        Part(SAMPLE / c["file"], c["impact_in_clip_s"], is_struck=i != _PRACTICE, rest_s=2.5, waggles=i % 3)
        for i, c in enumerate(clips)
    ]
    path = tmp_path_factory.mktemp("made") / "lesson.mp4"
    return make_recording(path, parts, (240, 320), neighbours_s=(6.0, 11.5, 17.0))


def test_every_swing_is_found_and_nothing_else(made: MadeRecording, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(searching, "_PART_S", 4.0)  # as many parts as in a recording of minutes
    info = probe_video(made.path)
    assert is_recording(info, 1.0)
    reports: list[tuple[int, int]] = []
    found = search_recording(made.path, info, progress=lambda done, total: reports.append((done, total)))
    assert [s.impact_s for s in found] == pytest.approx(made.impacts_s, abs=0.12)  # pictures looked at are 83 ms apart
    assert [s.strike_s is not None for s in found] == list(made.is_struck)
    for swing, impact_s in zip(found, made.impacts_s, strict=True):
        assert swing.begin_s < impact_s - 1.2  # address to impact of the longest of these swings
        assert swing.end_s > impact_s + 0.6
        if swing.strike_s is not None:
            assert swing.strike_s == pytest.approx(impact_s, abs=0.01)  # the clips' clicks lie within 2 ms of impact
    assert [done for done, _ in reports] == sorted(done for done, _ in reports)
    assert reports[-1][0] == reports[-1][1]
