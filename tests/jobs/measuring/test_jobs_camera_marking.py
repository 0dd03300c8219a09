"""A camera set-up marked in the window: written as the file reader reads it, and what follows from one still."""

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from review.app.pictures.views import add_sample
from review.body import CameraSetup, TargetStick
from review.errors import BadInputError
from review.jobs.measuring.camera_marking import find_camera, list_cameras, put_camera_setup
from review.jobs.measuring.kept_landmarks import save_landmarks
from review.jobs.measuring.setup_files import parse_camera_setup, write_camera_setup
from review.lesson import Handedness
from review.library import Library
from review.pose import Effort, mirror_track
from tests.jobs.resounded import CLIPS, landmarks
from tests.marked_sample import LENGTH_M, stick_px, true_camera, true_off_deg


@pytest.fixture(scope="module")
def sample(tmp_path_factory) -> Path:
    return add_sample(tmp_path_factory.mktemp("marking") / "library")


@pytest.fixture
def folder(sample, tmp_path) -> Path:
    return shutil.copytree(sample, tmp_path / "library")


def lesson_id_of(folder):
    with Library.open(folder) as library:
        return library.latest_lesson().id


def marked(name: str) -> CameraSetup:
    return CameraSetup(TargetStick(LENGTH_M, *stick_px(name)), roll_deg=float(true_camera(name)["roll_deg"]))


def camera_on(folder: Path, name: str):
    """The camera of a clip, marked on that clip's address, with landmarks of tests/data kept for it."""
    lesson_id = lesson_id_of(folder)
    with Library.open(folder) as library:
        clip = next(clip for clip in library.clips(lesson_id) if clip.original_name == name)
        view = next(view for view, file in CLIPS.items() if file == name)
        track = landmarks(view)
        hand = library.pupil(library.latest_lesson().pupil_id).handedness
        save_landmarks(library, clip, Effort.QUICK, hand, replace(track, world_m=track.image_px / 500.0))
    one = next(one for one in list_cameras(folder, lesson_id) if one.view is clip.view)
    return replace(one, clip=clip, frame=20, setup=marked(name))


@pytest.mark.parametrize("roll_deg", [None, 0.1, -2.5])
@pytest.mark.parametrize("upright", [None, ((640.0, 210.25), (636.0, 890.0))])
def test_what_is_written_is_read_as_the_same(roll_deg, upright):
    setup = CameraSetup(TargetStick(1.2192, (63.4, 1074.2), (593.0, 1082.6)), roll_deg, upright)
    assert parse_camera_setup(write_camera_setup(setup), "x") == setup


def test_cameras_face_on_first_each_kept_under_its_name_or_where_it_is_kept_already(folder):
    lesson_id = lesson_id_of(folder)
    first, second = list_cameras(folder, lesson_id)
    assert (first.view.value, second.view.value) == ("face-on", "down-the-line")
    assert first.place == first.clip.camera
    assert (first.setup, first.frame, first.is_address) == (None, 0, False)
    text = write_camera_setup(marked(CLIPS["face_on"]))
    put_camera_setup(folder, lesson_id, "face-on", text)
    first, second = list_cameras(folder, lesson_id)
    assert first.place == "face-on"
    assert first.setup == parse_camera_setup(text, "x")
    assert second.setup is None
    put_camera_setup(folder, lesson_id, "face-on", None)
    assert list_cameras(folder, lesson_id)[0].setup is None


def test_a_text_that_cannot_be_is_refused_and_what_is_kept_stays(folder):
    lesson_id = lesson_id_of(folder)
    text = write_camera_setup(marked(CLIPS["face_on"]))
    put_camera_setup(folder, lesson_id, "face-on", text)
    with pytest.raises(BadInputError, match="a stick is 0.3 to 3 m long"):
        put_camera_setup(folder, lesson_id, "face-on", text.replace("1.22", "12.2"))
    with Library.open(folder) as library:
        assert library.camera_setups(lesson_id) == {"face-on": text}


@pytest.mark.parametrize("view", ["face_on", "down_the_line"])
def test_the_true_camera_of_the_sample_is_found_within_what_is_said(folder, view):
    name = CLIPS[view]
    found = find_camera(folder, lesson_id_of(folder), camera_on(folder, name))
    assert found.is_used, found.notes
    assert abs(found.off_deg - true_off_deg(name, view == "face_on")) < found.error_deg < 10.0


def test_ends_exchanged_are_told_and_not_used(folder):
    camera = camera_on(folder, CLIPS["face_on"])
    stick = camera.setup.stick
    exchanged = replace(stick, away_from_target_px=stick.toward_target_px, toward_target_px=stick.away_from_target_px)
    found = find_camera(folder, lesson_id_of(folder), replace(camera, setup=replace(camera.setup, stick=exchanged)))
    assert not found.is_used
    assert "exchanged" in " ".join(found.notes)


def test_a_left_hander_in_the_mirror_is_found_as_the_right_hander(folder):
    right = camera_on(folder, CLIPS["face_on"])
    lesson_id = lesson_id_of(folder)
    found = find_camera(folder, lesson_id, right)
    with Library.open(folder) as library:
        pupil = library.pupil(library.latest_lesson().pupil_id)
        library.update_pupil(replace(pupil, handedness=Handedness.LEFT))
        track = mirror_track(landmarks("face_on"))
        save_landmarks(library, right.clip, Effort.QUICK, Handedness.LEFT, track)
    wide, setup = track.width_px, right.setup
    ends = [(wide - 1 - x, y) for x, y in (setup.stick.away_from_target_px, setup.stick.toward_target_px)]
    mirrored = CameraSetup(TargetStick(LENGTH_M, *ends), -setup.roll_deg)
    again = find_camera(folder, lesson_id, replace(right, setup=mirrored))
    assert again.is_used
    assert again.off_deg == pytest.approx(found.off_deg, abs=0.05)


def test_an_unmeasured_clip_is_looked_at_about_its_still_alone(folder):
    """With the real detector, in a process of its own; as exact as with landmarks of the whole clip."""
    name = CLIPS["face_on"]
    lesson_id = lesson_id_of(folder)
    one = list_cameras(folder, lesson_id)[0]
    with Library.open(folder) as library:
        clip = next(clip for clip in library.clips(lesson_id) if clip.original_name == name)
    found = find_camera(folder, lesson_id, replace(one, clip=clip, frame=20, setup=marked(name)))
    assert abs(found.off_deg - true_off_deg(name, True)) < found.error_deg
    assert np.isfinite(found.error_deg)


def test_without_consent_to_measure_nobody_is_looked_for(folder):
    lesson_id = lesson_id_of(folder)
    with Library.open(folder) as library:
        pupil = library.pupil(library.latest_lesson().pupil_id)
        library.update_pupil(replace(pupil, consent=None))
    one = replace(list_cameras(folder, lesson_id)[0], setup=marked(CLIPS["face_on"]))
    with pytest.raises(BadInputError, match="has not agreed to be measured"):
        find_camera(folder, lesson_id, one)
