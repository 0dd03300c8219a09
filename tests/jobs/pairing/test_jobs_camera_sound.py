"""What clips teach about a camera's sound, and what the coach is told."""

from datetime import date

import pytest

from review.jobs.pairing.camera_sound import load_sound_offsets, needs_learning, note_sound, tell_sound
from review.jobs.pairing.impact import TimedSwing
from review.lesson import Clip, Handedness, Lesson, Pupil, SoundOffset
from review.library import Library


@pytest.fixture
def library(tmp_path):
    with Library.open(tmp_path) as library:
        library.add_pupil(Pupil("p", "Test Pupil", Handedness.RIGHT))
        library.add_lesson(Lesson("l", "p", date(2026, 3, 14)))
        yield library


def add(library, i, late_s, camera="front", time_scale=1.0):
    clip = Clip(f"c{i}", f"{i:064}", f"clips/{i}.mp4", f"{i}.mp4", camera, time_scale=time_scale)
    library.add_clip("l", clip)
    note_sound(library, clip, TimedSwing((), 1.0, late_s, 0.004))


def test_clips_teach_it_and_measuring_again_changes_nothing(library):
    for i in range(10):
        add(library, i, 0.03 + 0.0004 * (i - 5))
    first = load_sound_offsets(library, ["front", "front", "behind"])
    assert list(first) == ["front"]
    assert first["front"].offset_s == pytest.approx(0.03, abs=0.001)
    for i in range(10):
        note_sound(library, library.clips("l")[i], TimedSwing((), 1.0, 0.03 + 0.0004 * (i - 5), 0.004))
    assert load_sound_offsets(library, ["front"]) == first
    assert not needs_learning(first["front"])
    assert needs_learning(None)
    assert needs_learning(SoundOffset(0.0, 0.01, 4))


def test_slow_motion_and_what_was_not_both_seen_and_heard_teach_nothing(library):
    for i in range(4):
        add(library, i, 0.03, time_scale=0.25)
        add(library, 10 + i, None)
    assert load_sound_offsets(library, ["front"]) == {}


@pytest.mark.parametrize(
    ("late_s", "words"),
    [
        (0.02, None),
        (0.13, "130 ms after the ball is seen leaving (10 clips); a viewer notices it"),
        (-0.1, "100 ms before the ball is seen leaving (10 clips); more than a viewer accepts"),
    ],
)
def test_the_coach_is_told_when_something_is_wrong_with_the_recording(library, late_s, words):
    for i in range(10):
        add(library, i, late_s)
    told = tell_sound(load_sound_offsets(library, ["front"]))
    if words is None:
        assert told == []
    else:
        assert words in told[0]
        assert told[0].startswith("Camera front: ")
        assert "Something is wrong with the recording" in told[0]
