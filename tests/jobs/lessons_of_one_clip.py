"""A lesson of one sample clip, measured with the landmarks of a rendered swing."""

from dataclasses import replace
from datetime import date
from pathlib import Path

from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.jobs.measuring import whole_lesson
from review.jobs.measuring.whole_lesson import measure_lesson
from review.lesson import Consent, Handedness, Purpose
from review.pose import Effort, LandmarkTrack

CLIP = Path(__file__).parents[2] / "sample_clips" / "clips" / "20260314_101518.mp4"
DAY = date(2026, 3, 14)
_STRIKE_S = 1.92275  # in the sound of the clip (sample_clips/truth.json)


def plan_lesson(**rest) -> LessonPlan:
    consent = Consent("Test", DAY, frozenset({Purpose.MEASURE}))
    pupil = PupilPlan("Test", Handedness.RIGHT, 1.78, consent)
    return LessonPlan(pupil, DAY, (CLIP,), **rest)


def at_strike(swing) -> LandmarkTrack:
    """The landmarks of a rendered swing, so late that its impact falls on the clip's strike."""
    return replace(swing.track, time_s=swing.track.time_s + _STRIKE_S - swing.key_frames_s["impact"])


def measured_with(library, monkeypatch, swing, done):
    """Measure with the landmarks of a rendered swing; the clips to measure are caught on their way."""
    seen = []
    plain = whole_lesson.measure_tracks

    def track_clips(orders, progress, keep):
        return dict.fromkeys(orders, at_strike(swing)), {}

    def measure_tracks(clips, *rest):
        seen.extend(clips)
        return plain(clips, *rest)

    monkeypatch.setattr(whole_lesson, "track_clips", track_clips)
    monkeypatch.setattr(whole_lesson, "measure_tracks", measure_tracks)
    return measure_lesson(library, done.lesson, Effort.QUICK), seen
