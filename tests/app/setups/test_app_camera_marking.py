"""The steps of a camera's set-up, without a window."""

import pytest

from review.app.language import speak
from review.app.setups.marking import STEPS, Draft, Step, hold_inside, propose_point, read_number
from review.app.setups.words import say_camera, say_found, say_refusal, say_step
from review.body import CameraSetup, TargetStick
from review.jobs.measuring.camera_marking import CameraFound
from review.lesson import Handedness, View

STICK = TargetStick(1.22, (63.0, 1074.0), (593.0, 1082.0))


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


def stick_marked() -> Draft:
    return Draft().take_point((63.0, 1074.0)).take_point((593.0, 1082.0)).take_number(1.22)


def test_the_stick_alone_is_a_set_up_and_the_rest_can_be_left_out():
    draft = stick_marked()
    assert draft.make_setup() == CameraSetup(STICK)
    assert draft.step is Step.LEVEL
    done = draft.leave_out().leave_out()
    assert done.step is None
    assert done.make_setup() == CameraSetup(STICK)
    assert not Draft().is_optional


def test_all_of_it_and_back_to_what_was_marked():
    done = stick_marked().take_number(0.5).take_point((40.0, 210.0)).take_point((36.0, 890.0))
    assert done.make_setup() == CameraSetup(STICK, 0.5, ((40.0, 210.0), (36.0, 890.0)))
    assert Draft.of(done.make_setup()) == done
    walked = [done]
    for _ in STEPS:
        walked.append(walked[-1].back())
    assert [one.step for one in walked[1:]] == list(reversed(STEPS))
    assert walked[-1].back() == walked[-1]
    assert all(one.make_setup() == done.make_setup() for one in walked)
    without = done.back().back().leave_out()
    assert without.make_setup() == CameraSetup(STICK, 0.5)
    assert without.back().step is Step.TOP  # its bottom cannot be asked for alone


def test_nothing_is_a_set_up_before_the_stick_is_whole_and_what_cannot_be_has_the_files_reason():
    assert Draft().take_point((1.0, 2.0)).make_setup() is None
    long = Draft().take_point((63.0, 1074.0)).take_point((593.0, 1082.0)).take_number(12.2)
    with pytest.raises(ValueError, match="0.3 to 3 m long") as caught:
        long.make_setup()
    assert say_refusal(caught.value) == "Not kept: a stick is 0.3 to 3 m long, got 12.2 m."


@pytest.mark.parametrize("view", [None, *View])
@pytest.mark.parametrize("hand", list(Handedness))
def test_marks_begin_inside_the_picture_the_target_on_the_lead_side(view, hand):
    size = (540.0, 960.0)
    away = propose_point(Draft(), size, view, hand)
    toward = propose_point(Draft().take_point(away), size, view, hand)
    for point in (away, toward):
        assert hold_inside(point, size) == point
        assert point == (round(point[0]), round(point[1]))
        assert point[1] > size[1] / 2
    if view is View.DOWN_THE_LINE:
        assert toward[1] < away[1]
    else:
        assert (toward[0] > away[0]) is (hand is Handedness.RIGHT)
    assert propose_point(Draft().take_point((7.0, 9.5)).back(), size, view, hand) == (7.0, 9.5)


def test_marks_stay_on_the_picture():
    assert hold_inside((-3.0, 2000.0), (540.0, 960.0)) == (0.0, 959.0)
    assert hold_inside((540.0, 4.0), (540.0, 960.0)) == (539.0, 4.0)


@pytest.mark.parametrize(("text", "number"), [("1,22", 1.22), (" 1.2 ", 1.2), ("-0.5", -0.5), ("", None), ("x", None)])
def test_numbers_are_read_as_coaches_write_them(text, number):
    assert read_number(text) == number


def test_what_is_found_is_said_in_words_of_the_view():
    def said(view, off, notes=(), is_used=True):
        return say_found(CameraFound(view, off, 7.4, is_used, notes))

    assert said(View.FACE_ON, 4.2) == (
        "The camera stands 4° off square, give or take 7°: the target end is farther away."
    )
    assert said(View.FACE_ON, -4.2).endswith("the target end is nearer.")
    assert said(View.DOWN_THE_LINE, 3.0).endswith("the line runs to the player's side.")
    assert said(View.DOWN_THE_LINE, -3.0).endswith("the line runs away from the player.")
    assert said(View.FACE_ON, 0.3, ("A doubt.",)) == "The camera stands square, give or take 7°. A doubt."
    assert said(View.FACE_ON, 80.0, ("Not used: why.",), is_used=False) == "Not used: why."


def test_cameras_are_named_once_and_every_step_is_asked_for():
    assert say_camera("cam1", View.FACE_ON) == "Face-on camera, named cam1"
    assert say_camera("face-on", View.FACE_ON) == "Face-on camera"
    assert say_camera("", None) == "Camera 1"
    asked = [say_step(Draft(at=n)) for n in range(len(STEPS) + 1)]
    assert len(set(asked)) == len(STEPS) + 1
    assert all(asked)
