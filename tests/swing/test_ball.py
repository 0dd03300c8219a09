"""The ball leaving in drawn pictures: grass with noise, a club that passes, a shoe that turns, a ball that goes."""

import numpy as np
import pytest

from review.body import as_right_hander
from review.swing.ball import choose_pictures, find_ball_leaving, find_ball_region

BALL_PX = 16.0
SIZE = (120, 280)


def draw(time_s, impact_s, ball_xy=(200, 85), *, shutter_s=0.004, leaves=True, ball_grey=230, seed=0):
    """(n, 120, 280) pictures: the club sweeps along the ground through the ball at 0.35 m a frame width in 20 ms."""
    rng = np.random.default_rng(seed)
    rows, columns = np.mgrid[: SIZE[0], : SIZE[1]]
    grass = 70 + 12 * rng.standard_normal(SIZE)
    ball = np.hypot(columns - ball_xy[0], rows - ball_xy[1]) <= BALL_PX / 2
    pictures = []
    for t in time_s:
        picture = grass.copy()
        shoe = np.hypot((columns - 110 + 30 * np.clip(t - impact_s, -0.2, 0.3)) / 40, (rows - 30) / 14) <= 1
        picture[shoe] = 160
        part_there = np.clip(0.5 + (impact_s - t) / shutter_s, 0, 1) if leaves else 1.0
        picture[ball] = part_there * ball_grey + (1 - part_there) * picture[ball]
        club_x = ball_xy[0] - BALL_PX + (t - impact_s) * 9000
        picture[(np.abs(columns - club_x) < 12) & (rows > ball_xy[1] - 15) & (rows < ball_xy[1] + 12)] = 120
        pictures.append(picture + 3 * rng.standard_normal(SIZE))
    return np.clip(np.stack(pictures), 0, 255).astype(np.uint8)


def times(rate_hz, phase=0.0):
    return (np.arange(int(0.19 * rate_hz), int(1.01 * rate_hz)) + phase) / rate_hz


@pytest.mark.parametrize("rate_hz", [30, 60, 240])
@pytest.mark.parametrize("phase", [0.0, 0.3, 0.7])
def test_it_left_within_half_the_spacing_of_pictures(rate_hz, phase):
    time_s = times(rate_hz, phase)
    left = find_ball_leaving(draw(time_s, 0.6), time_s, 0.62, BALL_PX)
    assert abs(left.time_s - 0.6) <= left.within_s + 1e-9
    assert left.within_s == pytest.approx(0.5 / rate_hz)


def test_a_picture_in_which_it_is_half_gone_gives_the_time_itself():
    time_s = times(60)
    left = find_ball_leaving(draw(time_s, 0.6, shutter_s=0.01), time_s, 0.58, BALL_PX)
    assert left.time_s == pytest.approx(0.6, abs=1e-9)  # frame 36


def test_a_dark_ball_on_light_ground_and_a_rough_guess():
    time_s = times(120)
    left = find_ball_leaving(draw(time_s, 0.6, ball_grey=10), time_s, 0.69, BALL_PX)
    assert left.time_s == pytest.approx(0.6, abs=0.0045)


def test_a_ball_that_stays_and_no_ball_are_nothing():
    """A practice swing beside the ball, and one without."""
    time_s = times(60)
    assert find_ball_leaving(draw(time_s, 0.6, leaves=False), time_s, 0.6, BALL_PX) is None
    assert find_ball_leaving(draw(time_s, 0.6, ball_grey=70, seed=3), time_s, 0.6, BALL_PX) is None


def test_a_ball_taken_away_at_another_time_is_nothing():
    time_s = times(60)
    assert find_ball_leaving(draw(time_s, 0.6), time_s, 0.8, BALL_PX) is None


def test_two_things_that_vanish_apart_are_nothing():
    """Which of them was the ball cannot be told."""
    time_s = times(60)
    pictures = draw(time_s, 0.6)
    pictures[time_s < 0.66, 20:34, 240:254] = 230
    assert find_ball_leaving(pictures, time_s, 0.6, BALL_PX) is None


def test_something_too_large_to_be_a_ball_is_nothing():
    time_s = times(60)
    assert find_ball_leaving(draw(time_s, 0.6), time_s, 0.6, BALL_PX / 4) is None


def test_too_few_pictures_are_nothing():
    time_s = times(60)[14:34]
    assert find_ball_leaving(draw(time_s, 0.6), time_s, 0.6, BALL_PX) is None


def test_few_pictures_are_chosen_far_off_and_all_near():
    time_s = times(240)
    chosen = time_s[choose_pictures(time_s, 0.6)]
    assert len(chosen) < 80
    assert np.diff(chosen[(chosen > 0.49) & (chosen < 0.71)]) == pytest.approx(1 / 240)
    assert chosen[0] == pytest.approx(0.2, abs=0.005)
    assert chosen[-1] == pytest.approx(1.0, abs=0.005)


@pytest.mark.parametrize("name", ["face_on", "down_the_line", "face_on_left"])
def test_the_region_holds_the_feet_and_is_the_same_for_either_hand(name, request):
    swing = request.getfixturevalue(name)
    still = slice(0, 20)
    region = find_ball_region(swing.track, still)
    feet = np.median(swing.track.image_px[still][:, 27:33, :2], axis=(0, 1))
    assert region.left < feet[0] < region.right
    assert region.top < feet[1] < region.bottom
    mirrored = find_ball_region(as_right_hander(swing.track, swing.handedness), still)
    assert mirrored.ball_px == pytest.approx(region.ball_px)
    assert mirrored.right - mirrored.left == pytest.approx(region.right - region.left, abs=2)
