"""Strikes of a camera's clips chosen together: the sample lesson, whose strikes are known from its making."""

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.jobs.pairing.clip_reading import as_clip, read_clip, settle_strikes
from review.jobs.recordings.cutting import expand_recordings
from review.lesson import Handedness, Lesson
from review.progress import silent

SAMPLE = Path(__file__).parents[3] / "sample_clips"
TRUTH = {Path(c["file"]).name: c for c in json.loads((SAMPLE / "truth.json").read_text(encoding="utf-8"))["clips"]}
PRACTICE = "20260314_102438.mp4"


@pytest.fixture(scope="module")
def read():
    return [read_clip(path, (), None) for path in sorted((SAMPLE / "clips").glob("*.mp4"))]


def true_strike_s(clip):
    truth = TRUTH[clip.path.name]
    return None if truth["practice_swing"] else pytest.approx(truth["impact_in_clip_s"], abs=0.002)


def test_all_of_the_sample_lesson_stay_right(read):
    settled = settle_strikes(read)
    assert sum(TRUTH[clip.path.name]["practice_swing"] for clip in settled) == 1
    assert [clip.strike_s for clip in settled] == [true_strike_s(clip) for clip in settled]
    # what matching weighs is still the sound alone
    assert [clip.heard for clip in settled] == [clip.heard for clip in read]


def test_a_strike_too_doubtful_by_itself_is_found_where_its_camera_has_them(read):
    """One clip's strike made doubtful, one clip's heard at the wrong end as well as at its place."""
    doubtful = [clip for clip in read if clip.camera.name == "cam1" and clip.path.name != PRACTICE][3]
    strike = max(doubtful.heard, key=lambda s: s.certainty)
    faint = replace(strike, certainty=0.2, log_odds=-1.4, level_db=strike.level_db - 1.0)
    other = replace(strike, time_s=0.3, certainty=0.45, log_odds=-0.6, level_db=strike.level_db - 12.0)
    changed = replace(doubtful, heard=(other, faint), strike_s=None)
    clips = [changed if clip is doubtful else clip for clip in read]
    plan = LessonPlan(PupilPlan("Test", Handedness.RIGHT, None, None), date(2026, 3, 14), ())
    expanded = expand_recordings((), plan, clips, silent)
    assert [clip.strike_s for clip in expanded.clips] == [true_strike_s(clip) for clip in expanded.clips]
    stored = as_clip(Lesson("l", "p", date(2026, 3, 14)), changed, "", "")
    assert stored.strikes == ((0.3, 0.45), (strike.time_s, 0.2))


def test_few_clips_of_a_camera_are_chosen_each_by_itself(read):
    few = [clip for clip in read if clip.camera.name == "cam2"]
    assert 0 < len(few) < 5
    assert [clip.strike_s for clip in settle_strikes(few)] == [clip.strike_s for clip in few]
    assert settle_strikes(()) == ()
