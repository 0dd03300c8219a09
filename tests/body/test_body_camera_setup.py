"""The camera from the stick and the player, against a pinhole camera of our own."""

from dataclasses import replace

import numpy as np
import pytest

from review.body import CameraSetup, TargetStick, mirror_setup, place_camera
from review.body.camera_setup import estimate_direction
from review.lesson import View
from review.pose import LandmarkTrack, mirror_track

WIDTH, HEIGHT, FOCAL = 720, 1280, 1.2 * 1280
CAMERA_M, AWAY_M, STATURE_M = 1.1, 4.0, 1.80
STANCE_M = 0.275 * STATURE_M
STILL = slice(0, 3)
NOSE_M = {View.FACE_ON: 0.712 * STATURE_M, View.DOWN_THE_LINE: 0.735 * STATURE_M}


def project(points: np.ndarray, roll_deg: float = 0.0, focal: float = FOCAL) -> np.ndarray:
    """(n, 3) metres to the right, down from and ahead of the camera, to pixels; textbook pinhole camera."""
    r = np.radians(roll_deg)
    turn = np.array([[np.cos(r), np.sin(r), 0], [-np.sin(r), np.cos(r), 0], [0, 0, 1]])
    x, y, z = (turn @ points.T).astype(float)
    return np.stack([WIDTH / 2 + focal * x / z, HEIGHT / 2 + focal * y / z], axis=1)


def target_way(yaw_deg: float, view: View) -> np.ndarray:
    angle = np.radians(yaw_deg + (90.0 if view is View.DOWN_THE_LINE else 0.0))
    return np.array([np.cos(angle), 0.0, np.sin(angle)])


def player(yaw_deg: float, view: View, **tilt: float) -> LandmarkTrack:
    """Three frames of a player who stands still, feet along the target line, ankles 12 cm above the ground."""
    middle = np.array([0.1, CAMERA_M - 0.12, AWAY_M])
    half = target_way(yaw_deg, view) * STANCE_M / 2
    nose = middle - [0.0, NOSE_M[view], 0.0]
    image = np.zeros((3, 33, 3))
    image[:, 0, :2] = project(nose[None], **tilt)
    image[:, [27, 28], :2] = project(np.stack([middle + half, middle - half]), **tilt)
    image[:, [29, 30], :2] = image[:, [27, 28], :2]
    world = np.zeros((3, 33, 3))
    return LandmarkTrack(np.arange(3) / 60, image, world, np.ones((3, 33)), WIDTH, HEIGHT, "full", "tracked")


def stick(yaw_deg: float, view: View, **tilt: float) -> TargetStick:
    """A 1.22 m stick on the ground, 30 cm nearer than the feet."""
    ends = np.array([0.1, CAMERA_M, AWAY_M - 0.3]) + np.outer([-0.61, 0.61], target_way(yaw_deg, view))
    away, toward = project(ends, **tilt)
    return TargetStick(1.22, tuple(away), tuple(toward))


def place(setup, view, yaw_deg=0.0, stature_m=STATURE_M, **tilt):
    return place_camera(setup, player(yaw_deg, view, **tilt), view, STILL, stature_m)


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("yaw", [-12.0, -3.0, 0.0, 5.0, 12.0])
def test_a_level_camera_is_found_from_the_stick(view, yaw):
    got = place(CameraSetup(stick(yaw, view)), view, yaw)
    assert got.target.is_known
    # beliefs (usual height, stick near the feet) pull a little where marks alone do not decide
    assert got.target.degrees == pytest.approx((90.0 if view is View.DOWN_THE_LINE else 0.0) + yaw, abs=1.0)
    assert got.scale.cm_per_px == pytest.approx(100 * AWAY_M / FOCAL, rel=0.03)
    assert got.focal_px == pytest.approx(FOCAL, rel=0.1)
    assert got.notes == ()


def test_the_phones_level_takes_the_roll_out_of_a_face_on_stick():
    setup = CameraSetup(stick(3.0, View.FACE_ON, roll_deg=2.0))
    without = place(setup, View.FACE_ON, 3.0, roll_deg=2.0).target
    levelled = place(replace(setup, roll_deg=2.0), View.FACE_ON, 3.0, roll_deg=2.0).target
    # each degree of roll turns a stick across the picture by depth / height = 3.4 degrees
    assert without.degrees == pytest.approx(3.0 + 2.0 * 3.4, abs=1.5)
    assert without.sd_deg > 3.0
    assert levelled.degrees == pytest.approx(3.0, abs=1.0)
    assert levelled.sd_deg < without.sd_deg / 1.3


def test_a_plumb_edge_does_the_same():
    edge = project(np.array([[0.6, CAMERA_M - 2.0, 6.0], [0.6, CAMERA_M - 0.2, 6.0]]), roll_deg=2.0)
    setup = CameraSetup(stick(3.0, View.FACE_ON, roll_deg=2.0), upright_px=(tuple(edge[0]), tuple(edge[1])))
    got = place(setup, View.FACE_ON, 3.0, roll_deg=2.0).target
    # without it, 9.8 degrees; the rest is the pull of a belief in a level camera against marks of 1.5 px
    assert got.degrees == pytest.approx(3.0, abs=2.5)


def test_the_stick_gives_the_scale_of_a_player_of_unknown_height():
    tall = place(CameraSetup(stick(0.0, View.FACE_ON)), View.FACE_ON, stature_m=None)
    assumed = place(None, View.FACE_ON, stature_m=None)
    assert tall.scale.cm_per_px == pytest.approx(100 * AWAY_M / FOCAL, rel=0.03)
    assert tall.scale.relative_sd < assumed.scale.relative_sd


@pytest.mark.parametrize("yaw", [-12.0, 0.0, 8.0])
def test_down_the_line_the_feet_tell_the_direction_without_a_set_up(yaw):
    got = estimate_direction(player(yaw, View.DOWN_THE_LINE), View.DOWN_THE_LINE, STILL)
    assert not got.is_known
    # the feet are seen by perspective, the formula takes them as small against the distance
    assert got.degrees == pytest.approx(90.0 + yaw, abs=0.7)
    assert got.sd_deg < 6.0


def test_face_on_without_a_set_up_a_square_camera_is_assumed():
    got = place(None, View.FACE_ON, 10.0).target
    assert (got.degrees, got.sd_deg, got.is_known) == (0.0, 6.0, False)


@pytest.mark.parametrize("view", list(View))
def test_a_mirrored_picture_gives_the_mirrored_direction(view):
    setup = CameraSetup(stick(4.0, view, roll_deg=1.0), roll_deg=1.0)
    there = mirror_setup(setup, WIDTH)
    back = mirror_setup(there, WIDTH)
    assert back.stick.toward_target_px == pytest.approx(setup.stick.toward_target_px)
    assert there.roll_deg == -1.0
    plain = place(setup, view, 4.0, roll_deg=1.0).target.degrees
    track = mirror_track(mirror_track(player(4.0, view, roll_deg=1.0)))
    assert place_camera(back, track, view, STILL, STATURE_M).target.degrees == pytest.approx(plain)


def exchanged(mark: TargetStick) -> TargetStick:
    return TargetStick(mark.length_m, mark.toward_target_px, mark.away_from_target_px)


@pytest.mark.parametrize(
    ("mark", "view", "words"),
    [
        (TargetStick(1.22, (100.0, 100.0), (600.0, 100.0)), View.FACE_ON, "upper half"),
        (TargetStick(1.22, (100.0, 1100.0), (1600.0, 1100.0)), View.FACE_ON, "outside the picture"),
        (exchanged(stick(0.0, View.FACE_ON)), View.FACE_ON, "exchanged"),
        (exchanged(stick(0.0, View.DOWN_THE_LINE)), View.DOWN_THE_LINE, "exchanged"),
        (stick(0.0, View.FACE_ON), View.DOWN_THE_LINE, "another view"),
        (replace(stick(0.0, View.FACE_ON), length_m=0.3), View.FACE_ON, "no camera sees"),
    ],
)
def test_a_set_up_that_cannot_be_is_left_unused_and_says_why(mark, view, words):
    got = place(CameraSetup(mark), view)
    assert not got.target.is_known
    assert words in got.notes[0]
    assert got.scale == place(None, view).scale


def test_a_lens_unlike_a_phones_is_told():
    wide = 0.4 * HEIGHT  # a third of the usual focal length
    got = place(CameraSetup(stick(0.0, View.DOWN_THE_LINE, focal=wide)), View.DOWN_THE_LINE, focal=wide)
    assert any("lens" in note for note in got.notes)


@pytest.mark.parametrize("length", [0.0, -1.0, 10.0])
def test_impossible_lengths_are_refused(length):
    with pytest.raises(ValueError, match=r"0\.3 to 3 m"):
        TargetStick(length, (0.0, 0.0), (100.0, 0.0))


def test_ends_at_one_place_are_refused():
    with pytest.raises(ValueError, match="same place"):
        TargetStick(1.22, (10.0, 10.0), (11.0, 10.0))


def test_impossible_roll_and_upright_are_refused():
    with pytest.raises(ValueError, match="20 degrees"):
        CameraSetup(stick(0.0, View.FACE_ON), roll_deg=90.0)
    with pytest.raises(ValueError, match="from its top down"):
        CameraSetup(stick(0.0, View.FACE_ON), upright_px=((100.0, 500.0), (100.0, 100.0)))
