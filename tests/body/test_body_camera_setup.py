"""Direction of the target line from the stick, against a pinhole camera of our own."""

import numpy as np
import pytest

from review.body import TargetStick, compute_target_direction, mirror_stick
from review.lesson import View
from review.pose import LandmarkTrack

WIDTH, HEIGHT, FOCAL = 720, 1280, 1.2 * 1280


def track() -> LandmarkTrack:
    return LandmarkTrack(
        np.array([0.0]), np.zeros((1, 33, 3)), np.zeros((1, 33, 3)), np.ones((1, 33)), WIDTH, HEIGHT, "full", "tracked"
    )


def stick_seen(yaw_deg: float, view: View) -> TargetStick:
    """A 1.22 m stick on the ground 4 m away from a level camera 1.1 m high that stands off by ``yaw_deg``."""
    direction = np.radians(yaw_deg + (90.0 if view is View.DOWN_THE_LINE else 0.0))
    along = np.array([np.cos(direction), np.sin(direction)]) * 0.61
    ends = []
    for sign in (-1, 1):
        x, z = sign * along + np.array([0.1, 4.0])
        ends.append((WIDTH / 2 + FOCAL * x / z, HEIGHT / 2 + FOCAL * 1.1 / z))
    return TargetStick(1.22, ends[0], ends[1])


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("yaw", [-12.0, -3.0, 0.0, 5.0, 12.0])
def test_direction_of_a_square_pinhole_camera(view, yaw):
    got = compute_target_direction(stick_seen(yaw, view), track(), view)
    nominal = 90.0 if view is View.DOWN_THE_LINE else 0.0
    assert got.is_known
    # closed form: the same camera, so only rounding is left
    assert got.degrees == pytest.approx(nominal + yaw, abs=1e-6)


def test_a_mirrored_stick_turns_the_other_way():
    stick = stick_seen(5.0, View.DOWN_THE_LINE)
    got = compute_target_direction(mirror_stick(mirror_stick(stick, WIDTH), WIDTH), track(), View.DOWN_THE_LINE)
    assert got.degrees == pytest.approx(95.0, abs=1e-6)


def test_a_stick_marked_in_the_sky_is_not_believed():
    stick = TargetStick(1.22, (100.0, 100.0), (600.0, 100.0))
    assert not compute_target_direction(stick, track(), View.FACE_ON).is_known


def test_a_stick_across_the_view_is_not_believed():
    assert not compute_target_direction(stick_seen(0.0, View.FACE_ON), track(), View.DOWN_THE_LINE).is_known


@pytest.mark.parametrize("length", [0.0, -1.0, 10.0])
def test_impossible_lengths_are_refused(length):
    with pytest.raises(ValueError, match=r"0\.3 to 3 m"):
        TargetStick(length, (0.0, 0.0), (100.0, 0.0))


def test_ends_at_one_place_are_refused():
    with pytest.raises(ValueError, match="same place"):
        TargetStick(1.22, (10.0, 10.0), (11.0, 10.0))
