"""The coach's marks on a clip: used by measuring, and there as before when the lesson is measured again."""

from dataclasses import replace
from datetime import date

import pytest

from review.jobs.adding import add_lesson
from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.jobs.measuring import whole_lesson
from review.jobs.measuring.whole_lesson import measure_lesson
from review.lesson import Consent, Handedness, KeyFrame, Purpose
from review.library import Library
from review.pose import Effort
from tests.jobs.resounded import clip_path, landmarks, true_impact_s

DAY = date(2026, 3, 14)


@pytest.fixture
def measured(tmp_path, monkeypatch):
    """A lesson of one clip, measured once; kept landmarks of the sample clip take the place of the pose model."""

    def track_clips(orders, progress, keep):
        track = landmarks("face_on")
        found = {key: replace(track, world_m=track.image_px / 500.0) for key in orders}
        for key, one in found.items():
            keep(key, one)
        return found, {}

    monkeypatch.setattr(whole_lesson, "track_clips", track_clips)
    consent = Consent("Test", DAY, frozenset({Purpose.MEASURE}))
    plan = LessonPlan(PupilPlan("Test", Handedness.RIGHT, 1.78, consent), DAY, (clip_path("face_on"),))
    with Library.open(tmp_path / "library") as library:
        lesson = add_lesson(library, plan).lesson
        assert measure_lesson(library, lesson, Effort.QUICK).n_measured == 1
        yield library, lesson


def values(library, lesson):
    (measures,) = library.measures(lesson.id).values()
    return {(m.name, m.key_frame): m.value for m in measures}


def test_marks_win_are_measured_at_and_survive(measured):
    library, lesson = measured
    (clip,) = library.clips(lesson.id)
    found = {k.name: k for k in library.key_frames(clip.id)}
    assert found["impact"].source == "sound"
    before = values(library, lesson)

    moved = found["impact"].time_s + 0.05
    marks = {
        "impact": KeyFrame("impact", moved, found["impact"].frame + 3, 1.0, "coach"),
        "top": KeyFrame("top", found["top"].time_s - 0.1, found["top"].frame - 6, 1.0, "coach"),
        "my own": KeyFrame("my own", 1.0, 60, 1.0, "coach"),
    }
    library.set_key_frames(clip.id, tuple(marks.values()))
    for _ in range(2):
        assert measure_lesson(library, lesson, Effort.QUICK).n_measured == 1
        kept = {k.name: k for k in library.key_frames(clip.id)}
        assert {name: kept[name] for name in marks} == marks
        assert kept["address"].source == "pose"

    after = values(library, lesson)
    assert after["backswing_s", ""] == pytest.approx(before["backswing_s", ""] - 0.1, abs=1e-6)
    assert after["downswing_s", ""] == pytest.approx(before["downswing_s", ""] + 0.15, abs=1e-6)
    # the hips go on toward the target through impact, the heel goes on up
    assert after["hip_shift_cm", "impact"] > before["hip_shift_cm", "impact"] + 1.0
    assert after["trail_heel_lift_cm", "impact"] > before["trail_heel_lift_cm", "impact"] + 0.2
    assert after["hip_shift_cm", "arm level"] == pytest.approx(before["hip_shift_cm", "arm level"], abs=0.01)
    assert true_impact_s("face_on") == pytest.approx(found["impact"].time_s, abs=0.002)


@pytest.mark.parametrize(
    ("name", "beside", "shift_s"),
    [("impact", "top", -0.1), ("top", "address", 0.0)],
)
def test_a_mark_out_of_order_is_said_and_the_lesson_goes_on(measured, name, beside, shift_s):
    library, lesson = measured
    (clip,) = library.clips(lesson.id)
    found = {k.name: k for k in library.key_frames(clip.id)}
    library.set_key_frames(clip.id, (KeyFrame(name, found[beside].time_s + shift_s, 0, 1.0, "coach"),))
    done = measure_lesson(library, lesson, Effort.QUICK)
    said = list(done.problems.values())
    for measures in library.measures(lesson.id).values():
        said += [m.why_missing for m in measures if m.name == "tempo_ratio"]
    assert any(f"your mark of {name}" in text for text in said), said
