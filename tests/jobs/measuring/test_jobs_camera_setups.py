"""A camera's set-up is kept with its lesson and used whenever the lesson is measured."""

from pathlib import Path

import pytest

from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import LessonPlan, read_lesson_file
from review.library import Library
from tests.jobs.lessons_of_one_clip import measured_with, plan_lesson

GOOD = """
[target_stick]
length_m = 1.22
away_from_target_px = [63.4, 1074.2]
toward_target_px = [593.4, 1082.6]
[camera]
roll_deg = 0.5
"""
EXCHANGED = GOOD.replace("away_from", "x").replace("toward", "away_from").replace("x_target", "toward_target")


@pytest.fixture
def library(tmp_path):
    with Library.open(tmp_path / "library") as opened:
        yield opened


def plan(tmp_path: Path, text: str, camera: str = "face-on") -> LessonPlan:
    file = tmp_path / "front.toml"
    file.write_text(text, encoding="utf-8")
    return plan_lesson(camera_setups=((camera, file),))


@pytest.mark.parametrize("camera", ["face-on", "cam1"])
def test_kept_by_view_or_by_camera_and_used(tmp_path, library, monkeypatch, face_on, camera):
    done = add_lesson(library, plan(tmp_path, GOOD, camera))
    (tmp_path / "front.toml").unlink()  # the library holds its own
    result, clips = measured_with(library, monkeypatch, face_on, done)
    assert clips[0].setup.stick.toward_target_px == (593.4, 1082.6)
    assert clips[0].setup.roll_deg == 0.5
    assert (result.n_measured, result.notes, result.has_refused_setup) == (1, (), False)


def test_another_views_set_up_is_not_used(tmp_path, library, monkeypatch, face_on):
    done = add_lesson(library, plan(tmp_path, GOOD, "down-the-line"))
    _, clips = measured_with(library, monkeypatch, face_on, done)
    assert clips[0].setup is None


def test_a_contradictory_set_up_is_told_once_and_the_lesson_measured(tmp_path, library, monkeypatch, face_on):
    done = add_lesson(library, plan(tmp_path, EXCHANGED))
    result, _ = measured_with(library, monkeypatch, face_on, done)
    assert result.n_measured == 1
    assert len(result.notes) == 1
    assert result.notes[0].startswith("Camera cam1: The camera set-up was not used")
    assert "exchanged" in result.notes[0]
    assert result.has_refused_setup


def test_a_broken_set_up_is_refused_and_nothing_added(tmp_path, library):
    with pytest.raises(BadInputError, match="toward_target_px is missing"):
        add_lesson(library, plan(tmp_path, GOOD.replace("toward_target_px", "toward")))
    assert library.pupils() == ()


def test_adding_again_replaces_it(tmp_path, library):
    add_lesson(library, plan(tmp_path, EXCHANGED))
    done = add_lesson(library, plan(tmp_path, GOOD))
    assert library.camera_setups(done.lesson.id) == {"face-on": GOOD}


def test_the_lesson_file_names_it(tmp_path):
    (tmp_path / "lesson.toml").write_text(
        '[lesson]\ndate = 2026-03-14\n[pupil]\nname = "T"\nhandedness = "right"\n'
        '[[camera]]\nname = "front"\nfiles = "*"\nsetup = "front.toml"\n',
        encoding="utf-8",
    )
    got = read_lesson_file(tmp_path / "lesson.toml")
    assert got.camera_setups == (("front", tmp_path / "front.toml"),)
