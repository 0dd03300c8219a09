"""The coach's marks on a clip: used by measuring, and there as before when the lesson is measured again."""

from dataclasses import replace
from datetime import date

import pytest

from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.jobs.marks import choose_nearest, set_mark, set_note
from review.jobs.measuring import whole_lesson
from review.jobs.measuring.whole_lesson import measure_lesson
from review.lesson import Consent, Handedness, KeyFrame, Purpose, Swing, View
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
        "my own": KeyFrame("my own", 1.0, 60, 1.0, "coach", "too early"),
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


def test_a_mark_taken_away_gives_its_place_back_to_what_was_found(measured):
    library, lesson = measured
    (clip,) = library.clips(lesson.id)
    (swing,) = library.swings(lesson.id)
    found = {key.name: key for key in library.key_frames(clip.id)}
    before = values(library, lesson)
    top = KeyFrame("top", found["top"].time_s - 0.1, found["top"].frame - 6, 1.0, "coach")

    set_mark(library.folder, lesson.id, clip.id, "top", top)
    measure_lesson(library, lesson, Effort.QUICK, only={swing.id})
    assert {key.name: key for key in library.key_frames(clip.id)}["top"] == top
    assert values(library, lesson)["backswing_s", ""] == pytest.approx(before["backswing_s", ""] - 0.1, abs=1e-6)

    set_mark(library.folder, lesson.id, clip.id, "top", None)
    assert "top" not in {key.name for key in library.key_frames(clip.id)}
    measure_lesson(library, lesson, Effort.QUICK, only={swing.id})
    assert {key.name: key for key in library.key_frames(clip.id)} == found
    assert values(library, lesson) == pytest.approx(before, abs=1e-5, nan_ok=True)


def test_undoing_a_mark_needs_no_measuring(measured):
    library, lesson = measured
    (clip,) = library.clips(lesson.id)
    before = library.key_frames(clip.id)
    top = next(key for key in before if key.name == "top")
    set_mark(library.folder, lesson.id, clip.id, "top", KeyFrame("top", 0.5, 30, 1.0, "coach"))
    set_mark(library.folder, lesson.id, clip.id, "top", top)
    assert library.key_frames(clip.id) == before


def test_what_was_found_cannot_be_taken_away(measured):
    library, lesson = measured
    (clip,) = library.clips(lesson.id)
    before = library.key_frames(clip.id)
    with pytest.raises(BadInputError, match="no mark of yours named top"):
        set_mark(library.folder, lesson.id, clip.id, "top", None)
    with pytest.raises(BadInputError, match="no longer in this lesson"):
        set_mark(library.folder, lesson.id, "gone", "top", None)
    assert library.key_frames(clip.id) == before


def test_a_note_stays_with_its_mark_and_no_found_key_frame_has_one(measured):
    library, lesson = measured
    (clip,) = library.clips(lesson.id)
    found = library.key_frames(clip.id)
    top = KeyFrame("top", 0.5, 30, 1.0, "coach")
    set_mark(library.folder, lesson.id, clip.id, "top", top)
    marked = library.key_frames(clip.id)
    set_note(library.folder, lesson.id, clip.id, "top", "hands low")
    assert library.key_frames(clip.id) == tuple(replace(k, note="hands low") if k == top else k for k in marked)
    with pytest.raises(BadInputError, match="no mark of yours named impact"):
        set_note(library.folder, lesson.id, clip.id, "impact", "late")
    set_note(library.folder, lesson.id, clip.id, "top", "")
    assert library.key_frames(clip.id) == marked
    set_mark(library.folder, lesson.id, clip.id, "top", next(key for key in found if key.name == "top"))
    assert library.key_frames(clip.id) == found
    with pytest.raises(ValueError, match="only a mark of the coach's"):
        KeyFrame("top", 0.5, 30, 0.9, "pose", "note")


def test_the_nearest_is_chosen_by_frames():
    keys = (KeyFrame("top", 1.0, 60, 0.9, "pose"), KeyFrame("mine", 1.4, 84, 1.0, "coach"))
    assert choose_nearest(keys, 65) == keys[0]
    assert choose_nearest(keys, 65, is_own=True) == keys[1]
    assert choose_nearest((), 65) is None


def test_a_swing_measured_alone_has_its_views_chosen_with_the_whole_lesson(measured, monkeypatch):
    library, lesson = measured
    (clip,) = library.clips(lesson.id)
    (swing,) = library.swings(lesson.id)
    behind = replace(clip, id="behind", view=View.DOWN_THE_LINE)
    library.add_clip(lesson.id, behind)
    library.replace_swings(lesson.id, (swing, Swing("other", 2, clips=(behind,), batch_id=swing.batch_id)))
    asked = []

    def choose(seen):
        asked.append(list(seen))
        return set(View)

    monkeypatch.setattr(whole_lesson, "choose_common_views", choose)
    measure_lesson(library, lesson, Effort.QUICK, only={swing.id})
    assert asked == [[{View.FACE_ON}, {View.DOWN_THE_LINE}]]
