"""Poor light is measured on the way to the landmarks, kept with them, said, and widens intervals."""

from dataclasses import replace

import numpy as np
import pytest

from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.measuring.kept_landmarks import load_landmarks, save_landmarks
from review.jobs.measuring.one_swing import ClipToMeasure, measure_tracks
from review.jobs.measuring.whole_lesson import measure_lesson
from review.lesson import Handedness
from review.library import Library
from review.media import read_frames
from review.pose import Effort, MediaPipeEstimator
from tests.jobs.lessons_of_one_clip import CLIP, at_strike, plan_lesson

RIGHT = Handedness.RIGHT


def measure(track):
    return measure_tracks([ClipToMeasure(CLIP, time_scale=1.0)], [track], RIGHT, 1.70)


@pytest.mark.parametrize("in_mirror", [False, True])
def test_the_light_is_measured_with_the_landmarks(in_mirror):
    """A clip at a fifth of its light has a fifth of its contrast."""
    frames = [(frame.time_s, frame.rgb) for frame in read_frames(CLIP, stop=2)]
    dark = [(time_s, (rgb * 0.2).astype(np.uint8)) for time_s, rgb in frames]
    bright, dim = (MediaPipeEstimator(Effort.QUICK, in_mirror).track(p).contrast for p in (frames, dark))
    assert 70.0 < bright < 100.0
    assert dim == pytest.approx(0.2 * bright, rel=0.1)


def test_it_is_said_with_what_to_do(face_on):
    plain = measure(at_strike(face_on))
    dark = measure(replace(at_strike(face_on), contrast=15.0))
    assert plain.clips[0].notes == ()
    (note,) = dark.clips[0].notes
    assert "poor light" in note
    assert "about 1.5 times as wide" in note
    assert "Put more light on the player" in note
    wider = dark.body.series["hip_turn_deg"].half_width / plain.body.series["hip_turn_deg"].half_width
    assert np.nanmedian(wider) == pytest.approx(4.0**0.4, rel=0.02)


def test_a_body_seldom_found_tells_no_heel(face_on):
    track = at_strike(face_on)
    seen = np.arange(len(track.time_s)) >= 30  # nor at the start, from where the ball is looked for
    gaps = replace(
        track,
        image_px=np.where(seen[:, None, None], track.image_px, np.nan),
        world_m=np.where(seen[:, None, None], track.world_m, np.nan),
        visibility=track.visibility * seen[:, None],
    )
    clip = ClipToMeasure(CLIP, time_scale=1.0, learn_sound_offset=True)
    swing = measure_tracks([clip], [gaps], RIGHT, 1.70)
    assert swing.body.why_missing["trail_heel_lift_cm"] == "nobody was found on more than a tenth of the frames"
    assert "hip_turn_deg" in swing.body.series
    assert any("On many frames nobody was found" in note for note in swing.clips[0].notes)


def test_landmarks_that_jump_about_are_refused(face_on):
    track = at_strike(face_on)
    noise = np.random.default_rng(2).normal(0.0, 12.0, track.image_px.shape)
    with pytest.raises(BadInputError, match=rf"{CLIP.name}: the points found on the body jump about.*more light"):
        measure(replace(track, image_px=track.image_px + noise))


def test_a_lesson_keeps_it_with_its_landmarks(tmp_path, face_on):
    with Library.open(tmp_path / "library") as library:
        done = add_lesson(library, plan_lesson())
        (clip,) = library.clips(done.lesson.id)
        save_landmarks(library, clip, Effort.QUICK, RIGHT, replace(at_strike(face_on), contrast=20.0))
        kept = load_landmarks(library, clip, RIGHT)
        assert kept is not None
        assert kept[0].contrast == 20.0
        (note,) = measure_lesson(library, done.lesson, Effort.QUICK).notes
        assert note.startswith("Camera cam1: The player hardly stands out")
