"""What a lesson keeps when it is measured again: thorough numbers, and at what speed its clips play."""

from dataclasses import replace
from datetime import date

import pytest

from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import LessonPlan, PupilPlan, read_lesson_file
from review.jobs.measuring import whole_lesson
from review.jobs.measuring.whole_lesson import METHOD, measure_lesson
from review.jobs.pairing.lesson_speeds import settle_speeds
from review.lesson import Clip, Consent, Handedness, KeyFrame, Purpose
from review.library import Library
from review.pose import Effort
from tests.jobs.slow_clips import SAMPLE, retime

DAY = date(2026, 3, 14)


@pytest.fixture
def library(tmp_path):
    with Library.open(tmp_path / "library") as opened:
        yield opened


@pytest.fixture
def detector(monkeypatch, face_on):
    """In place of the pose model: landmarks of a rendered swing; the quick ones see the hips 20 pixels aside."""
    slow = {"times": 1.0}

    def track_clips(orders, progress, keep):
        found = {}
        for key, order in orders.items():
            image = face_on.track.image_px.copy()
            if order.effort is Effort.QUICK:
                image[:, 23:25, 0] += 20.0
            found[key] = replace(face_on.track, image_px=image, time_s=face_on.track.time_s * slow["times"])
            keep(key, found[key])
        return found, {}

    monkeypatch.setattr(whole_lesson, "track_clips", track_clips)
    return slow


def plan(*clips, **more):
    consent = Consent("Test", DAY, frozenset({Purpose.MEASURE}))
    return LessonPlan(PupilPlan("Test", Handedness.RIGHT, 1.78, consent), DAY, clips, **more)


def numbers(library, lesson):
    return {
        (m.name, m.key_frame): m.value
        for measures in library.measures(lesson.id).values()
        for m in measures
        if m.value == m.value
    }


def forget_landmarks(library):
    for kept in (library.folder / "derived" / "landmarks").iterdir():
        kept.unlink()


def test_thorough_numbers_take_the_place_of_quick_ones(library, detector):
    lesson = add_lesson(library, plan(SAMPLE)).lesson
    measure_lesson(library, lesson, Effort.QUICK)
    quick = numbers(library, lesson)
    assert measure_lesson(library, lesson, Effort.THOROUGH).n_new == 1
    assert numbers(library, lesson) != quick


def test_a_quick_run_works_from_thorough_landmarks(library, detector):
    lesson = add_lesson(library, plan(SAMPLE)).lesson
    measure_lesson(library, lesson, Effort.THOROUGH)
    thorough = numbers(library, lesson)
    done = measure_lesson(library, lesson, Effort.QUICK)
    assert (done.n_measured, done.n_new, done.notes) == (1, 0, ())
    assert numbers(library, lesson) == thorough


def test_quick_numbers_never_take_the_place_of_thorough_ones(library, detector):
    """Where the thorough landmarks are gone, the numbers made from them stay all the same."""
    lesson = add_lesson(library, plan(SAMPLE)).lesson
    measure_lesson(library, lesson, Effort.THOROUGH)
    thorough = numbers(library, lesson)
    forget_landmarks(library)
    done = measure_lesson(library, lesson, Effort.QUICK)
    assert done.n_new == 1
    assert any("Thorough numbers are kept for 1 swing;" in note for note in done.notes)
    assert numbers(library, lesson) == thorough
    assert {word for m in library.measure_methods(lesson.id).values() for word in m} == {f"body {METHOD} thorough"}


def test_key_frames_that_a_clip_lacks_come_with_quick_numbers_that_stay_out(library, detector):
    """As of a second side, added to a lesson that has thorough numbers."""
    lesson = add_lesson(library, plan(SAMPLE)).lesson
    measure_lesson(library, lesson, Effort.THOROUGH)
    thorough = numbers(library, lesson)
    (clip,) = library.clips(lesson.id)
    moved = [replace(key, time_s=key.time_s + 0.01) for key in library.key_frames(clip.id)]
    library.set_key_frames(clip.id, moved)
    forget_landmarks(library)
    measure_lesson(library, lesson, Effort.QUICK)
    assert library.key_frames(clip.id) == tuple(moved)
    library.set_key_frames(clip.id, [KeyFrame("top", 1.0, 30, 1.0, "coach")])
    measure_lesson(library, lesson, Effort.QUICK)
    found = library.key_frames(clip.id)
    assert {key.name for key in found} == {key.name for key in moved}
    assert [key.time_s for key in found if key.source == "coach"] == [1.0]
    assert numbers(library, lesson) == thorough


def test_a_lesson_measured_in_part_thoroughly_is_told(library, detector, tmp_path):
    lesson = add_lesson(library, plan(SAMPLE, retime(tmp_path / "other.mp4", 1))).lesson
    measure_lesson(library, lesson, Effort.THOROUGH)
    next((library.folder / "derived" / "landmarks").iterdir()).unlink()
    library._execute("UPDATE measure SET method = 'body 1 quick'")
    (note,) = measure_lesson(library, lesson, Effort.QUICK).notes
    assert note.startswith("1 swing of 2 measured quickly, the others thoroughly")
    assert measure_lesson(library, lesson, Effort.THOROUGH).notes == ()


def test_slow_motion_is_found_and_kept_with_the_clip(library, detector, tmp_path):
    detector["times"] = 4.0
    lesson = add_lesson(library, plan(retime(tmp_path / "slow.mp4", 4))).lesson
    (clip,) = library.clips(lesson.id)
    assert (clip.time_scale, clip.time_scale_source) == (1.0, "")
    assert measure_lesson(library, lesson, Effort.QUICK).problems == {}
    (clip,) = library.clips(lesson.id)
    assert (clip.time_scale, clip.time_scale_source) == (0.25, "found")
    # the landmarks found at the speed first assumed serve on
    assert measure_lesson(library, lesson, Effort.QUICK).n_new == 0
    assert numbers(library, lesson)["downswing_s", ""] == pytest.approx(0.31, abs=0.05)


def test_an_unclear_speed_is_asked_and_the_answer_kept(library, detector, tmp_path):
    detector["times"] = 1.55
    clip_file = retime(tmp_path / "between.mp4", 1.55)
    lesson = add_lesson(library, plan(clip_file)).lesson
    done = measure_lesson(library, lesson, Effort.QUICK)
    assert "--time-scale" in done.problems[1]
    assert done.n_measured == 0
    again = add_lesson(library, plan(clip_file, time_scale=0.7))
    assert any("measure the lesson again" in note for note in again.notes)
    assert again.n_new_clips == 0
    assert measure_lesson(library, lesson, Effort.QUICK).problems == {}
    (clip,) = library.clips(lesson.id)
    assert (clip.time_scale, clip.time_scale_source) == (0.7, "coach")


def test_a_clip_that_is_not_clear_plays_as_the_others_of_its_camera(library, face_on, tmp_path):
    file = retime(tmp_path / "file.mp4", 1.55)
    clips = [
        Clip(name, name * 64, str(file), f"{name}.mp4", camera=camera, n_frames=120, duration_s=2.8)
        for name, camera in (("a", "1"), ("b", "1"), ("c", "2"))
    ]
    slower = replace(face_on.track, time_s=face_on.track.time_s * 1.55)
    tracks = {"a": face_on.track, "b": slower, "c": slower}
    scales, unclear = settle_speeds(library, clips, tracks, Handedness.RIGHT)
    assert scales == {"a": 1.0, "b": 1.0}
    assert set(unclear) == {"c"}


def test_the_lesson_file_gives_the_speed_of_a_camera(library, tmp_path):
    (tmp_path / "clips").mkdir()
    retime(tmp_path / "clips" / "20260314_101518.mp4", 8)
    text = (
        '[lesson]\ndate = 2026-03-14\n[pupil]\nname = "Test"\nhandedness = "right"\n[files]\nclips = "clips"\n'
        '[[camera]]\nname = "phone"\nfiles = "*"\ntime_scale = {}\n'
    )
    file = tmp_path / "lesson.toml"
    file.write_text(text.format("0"))
    with pytest.raises(BadInputError, match="time_scale"):
        read_lesson_file(file)
    file.write_text(text.format("0.125"))
    lesson = add_lesson(library, read_lesson_file(file)).lesson
    (clip,) = library.clips(lesson.id)
    assert (clip.time_scale, clip.time_scale_source) == (0.125, "coach")


def test_the_cameras_note_holds_until_the_swing_is_looked_at(library, tmp_path):
    lesson = add_lesson(library, plan(retime(tmp_path / "noted.mp4", 2, noted_hz=60.0))).lesson
    (clip,) = library.clips(lesson.id)
    assert (clip.time_scale, clip.time_scale_source) == (0.5, "")
