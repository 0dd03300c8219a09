"""The mat under feet that move between balls, and where they are not seen."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from review.jobs.pressure import feet
from review.jobs.pressure.feet import Feet, place_under_feet, see_feet
from review.jobs.pressure.mats import Mat
from review.jobs.pressure.measuring import find_mat_under
from review.lesson import Handedness, KeyFrame, View
from review.pose import Effort
from review.pressure import MatPlacement, lay_path
from tests.jobs.resounded import landmarks, true_impact_s
from tests.pressure.made_mats import on_mat

MAT = MatPlacement(30.0, True, (4.0, -1.0), 44.0, origin_sd_cm=0.8)
FIRST = Feet(255.0, 43.6, 0.3125, "front 540x960")


def position(placement, player_cm):
    """What is read where the pressure is at a place in the frame of the first ball's feet."""
    t = np.arange(0, 1, 0.01)
    xy = np.repeat(on_mat([player_cm], 30.0, True, (4.0, -1.0)), len(t), axis=0)
    path = lay_path(t, xy, placement)
    return float(placement.to_position_pct(path.xy_cm[50:51, 0])[0])


@pytest.mark.parametrize("shift_cm", [-6.0, 3.0, 12.5])
def test_feet_that_moved_along_the_target_line_take_the_origin_with_them(shift_cm):
    moved = replace(FIRST, middle_px=FIRST.middle_px + shift_cm / 0.3125)
    placed = place_under_feet(MAT, {"a": FIRST, "b": moved})
    assert position(placed["a"], (11.0, 3.0)) == pytest.approx(75.0)
    assert position(placed["b"], (11.0 + shift_cm, 3.0)) == pytest.approx(75.0)
    assert not placed["b"].is_approximate
    assert placed["b"].origin_sd_cm > MAT.origin_sd_cm


def test_a_wider_stance_counts_and_a_detectors_wandering_does_not():
    wider = replace(FIRST, distance_cm=FIRST.distance_cm + 5.0)
    same = replace(FIRST, middle_px=256.5, distance_cm=43.1)
    placed = place_under_feet(MAT, {"a": FIRST, "b": wider, "c": same})
    assert placed["b"].stance_cm == pytest.approx(49.0)
    assert placed["c"] == placed["a"] == MAT


def test_a_stance_that_nobody_told_is_the_ankles_distance_seen():
    unknown = replace(MAT, stance_cm=None)
    guessed = replace(MAT, stance_cm=50.0, is_approximate=True)  # by the steps alone
    for mat in (unknown, guessed):
        placed = place_under_feet(mat, {"a": FIRST, "b": None})
        assert (placed["a"].stance_cm, placed["a"].is_approximate) == (43.6, False)
        assert placed["b"] == replace(mat, is_approximate=True)


@pytest.mark.parametrize(("told_cm", "stance_cm"), [(40.0, 40.0), (None, 43.6)])
def test_with_a_stick_a_stated_stance_counts_and_the_place_stays_approximate(told_cm, stance_cm):
    stick = MatPlacement(30.0, stance_cm=told_cm, is_approximate=True, has_origin=False)
    placed = place_under_feet(stick, {"a": FIRST})["a"]
    assert placed.stance_cm == pytest.approx(stance_cm)
    assert placed.is_approximate


@pytest.mark.parametrize("seen", [None, replace(FIRST, camera="other 540x960"), replace(FIRST, distance_cm=-3.0)])
def test_feet_not_seen_by_that_camera_make_the_position_approximate(seen):
    placed = place_under_feet(MAT, {"a": FIRST, "b": seen})
    assert placed["b"] == replace(MAT, is_approximate=True)
    assert not placed["a"].is_approximate


def test_only_what_is_needed_is_read_of_the_feet(monkeypatch):
    seen = {"a": None, "b": FIRST, "c": FIRST, "d": None}
    asked = []
    monkeypatch.setattr(feet, "see_feet", lambda library, lesson, swing: (asked.append(swing.id), seen[swing.id])[1])
    swings = [SimpleNamespace(id=name) for name in seen]
    assert feet.see_all_feet(None, None, swings, {"d"}) == {"a": None, "b": FIRST, "d": None}
    assert asked == ["a", "b", "d"]  # b tells where the feet stood in the steps
    assert feet.see_all_feet(None, None, swings) == seen


class OneSwing:
    """A library of one swing that was seen from the front; what its functions ask for, nothing kept."""

    def __init__(self, mat=None, keys=("address",)):
        pupil = SimpleNamespace(handedness=Handedness.RIGHT, stature_m=1.70)
        clip = SimpleNamespace(id="c", view=View.FACE_ON, camera="front", time_scale=1.0)
        self.swing = SimpleNamespace(id="s", clips=(SimpleNamespace(id="d", view=View.DOWN_THE_LINE), clip))
        self.lesson = SimpleNamespace(id="l", pupil_id="p", held_on=None)
        self.pupil = lambda pupil_id: pupil
        at_s = true_impact_s("face_on") - 1.2
        self.key_frames = lambda clip_id: [KeyFrame(key, at_s, 1, 1.0, "pose") for key in keys]
        self.swings = lambda lesson_id: [self.swing]
        self.pressure_mat = lambda lesson_id: None if mat is None else mat.to_text()


@pytest.fixture
def seen_face_on(monkeypatch):
    monkeypatch.setattr(feet, "allows_now", lambda pupil, purpose, held_on: True)
    track = landmarks("face_on")
    monkeypatch.setattr(feet, "load_landmarks", lambda library, clip, handedness: (track, Effort.THOROUGH))


def test_the_feet_are_seen_as_wide_as_the_samples_player_stands(seen_face_on):
    library = OneSwing()
    found = see_feet(library, library.lesson, library.swing)
    assert found.distance_cm == pytest.approx(43.5, abs=1.5)  # sample_clips/truth.json
    assert found.camera == "front 540x960"
    assert see_feet(OneSwing(keys=("top",)), library.lesson, library.swing) is None


def test_feet_are_not_seen_without_consent_or_landmarks(seen_face_on, monkeypatch):
    library = OneSwing()
    monkeypatch.setattr(feet, "load_landmarks", lambda library, clip, handedness: None)
    assert see_feet(library, library.lesson, library.swing) is None
    monkeypatch.setattr(feet, "load_landmarks", lambda *asked: pytest.fail("read without consent"))
    monkeypatch.setattr(feet, "allows_now", lambda pupil, purpose, held_on: False)
    assert see_feet(library, library.lesson, library.swing) is None


def test_the_mat_under_one_swing(seen_face_on):
    told = Mat(MAT, 20.0, 8.0)
    library = OneSwing(told)
    assert find_mat_under(library, library.lesson, library.swing) == told
    guessed = OneSwing(replace(told, placement=replace(MAT, stance_cm=50.0, is_approximate=True)))
    under = find_mat_under(guessed, guessed.lesson, guessed.swing)
    assert under.placement.stance_cm == see_feet(library, library.lesson, library.swing).distance_cm
    assert not under.placement.is_approximate
    assert find_mat_under(OneSwing(), library.lesson, library.swing) is None
