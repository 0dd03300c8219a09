"""Where a swing may be in a recording, and whether it is one: made-up motion and rendered hands."""

from dataclasses import replace

import numpy as np
import pytest

from review.swing.search import choose_candidates, cut_swings, find_bursts, find_hands_through
from review.swing.strike import Strike
from tests.conftest import RenderedSwing

STEP_S = 1 / 15


def motion(length_s: float = 60.0) -> tuple[np.ndarray, np.ndarray]:
    time_s = np.arange(0, length_s, STEP_S)
    return time_s, np.full(len(time_s), 20.0)


def put(energy: np.ndarray, time_s: np.ndarray, begin_s: float, end_s: float, level: float) -> None:
    energy[(time_s >= begin_s) & (time_s < end_s)] = level


def put_swing(energy: np.ndarray, time_s: np.ndarray, impact_s: float, stretch: float = 1.0) -> None:
    """Backswing, downswing and follow-through as the sample lesson's clips move the picture."""
    put(energy, time_s, impact_s - 1.1 * stretch, impact_s - 0.25 * stretch, 550.0)
    put(energy, time_s, impact_s - 0.25 * stretch, impact_s + 0.1 * stretch, 1250.0)
    put(energy, time_s, impact_s + 0.1 * stretch, impact_s + 0.4 * stretch, 600.0)


def test_a_swing_is_a_burst_after_stillness_and_a_backswing() -> None:
    time_s, energy = motion()
    for impact_s in (12.0, 31.3, 50.0):
        put_swing(energy, time_s, impact_s)
    np.testing.assert_allclose(find_bursts(time_s, energy), [12.0, 31.3, 50.0], atol=0.15)


def test_a_slowed_recording_is_searched_in_true_time() -> None:
    time_s, energy = motion(120.0)
    for impact_s in (24.0, 90.0):
        put_swing(energy, time_s, impact_s, stretch=4.0)
    np.testing.assert_allclose(find_bursts(time_s, energy, time_scale=0.25), [24.0, 90.0], atol=0.6)


@pytest.mark.parametrize("time_scale", [0.5, 0.25, 0.125])
def test_slowed_pictures_change_less_in_a_second_and_are_searched_alike(time_scale: float) -> None:
    """A player less than half as high as in the sample lesson: a fifth of the energy, four times the least."""
    time_s, energy = motion()
    for impact_s in (12.0, 31.3, 50.0):
        put_swing(energy, time_s, impact_s)
    at_true_speed = find_bursts(time_s, energy / 5)
    np.testing.assert_allclose(at_true_speed, [12.0, 31.3, 50.0], atol=0.15)
    slowed = find_bursts(time_s / time_scale, energy / 5 * time_scale, time_scale)
    np.testing.assert_allclose(slowed * time_scale, at_true_speed, atol=1e-6)


def test_lasting_movement_and_a_waggle_before_nothing_are_no_bursts() -> None:
    time_s, energy = motion()
    put(energy, time_s, 5.0, 25.0, 900.0)  # somebody walks about
    put(energy, time_s, 40.0, 40.3, 900.0)  # one jerk out of stillness: no backswing before it
    assert len(find_bursts(time_s, energy)) == 0
    assert len(find_bursts(np.zeros(0), np.zeros(0))) == 0


def test_grain_that_flickers_is_no_burst() -> None:
    time_s, _ = motion(300.0)
    grain = np.random.default_rng(1).exponential(8.0, len(time_s))
    assert len(find_bursts(time_s, grain)) == 0
    put_swing(grain, time_s, 100.0)
    np.testing.assert_allclose(find_bursts(time_s, grain), [100.0], atol=0.15)


def test_sounds_count_only_where_something_moves() -> None:
    time_s, energy = motion()
    put_swing(energy, time_s, 12.0)
    put(energy, time_s, 38.0, 44.0, 1000.0)
    strikes = [Strike(at_s, 30.0, 0.5) for at_s in (12.02, 25.0, 40.0)]
    chosen = choose_candidates(find_bursts(time_s, energy), strikes, time_s, energy)
    np.testing.assert_allclose(chosen, [12.0, 40.0], atol=0.2)


@pytest.mark.parametrize("name", ["face_on", "down_the_line", "face_on_left"])
def test_hands_of_a_swing_pass_the_ball_near_impact(name: str, request: pytest.FixtureRequest) -> None:
    swing: RenderedSwing = request.getfixturevalue(name)
    at_s = find_hands_through(swing.track)
    assert at_s == pytest.approx(swing.key_frames_s["impact"], abs=0.08)
    slowed = replace(swing.track, time_s=swing.track.time_s * 8)
    assert find_hands_through(slowed, 0.125) == pytest.approx(8 * swing.key_frames_s["impact"], abs=0.64)
    assert find_hands_through(slowed) is None  # eight times too slow for a swing


def test_hands_apart_or_still_or_unseen_are_no_swing(face_on: RenderedSwing) -> None:
    track = face_on.track
    apart = track.image_px.copy()
    apart[:, 15, 0] += 0.3 * np.ptp(track.image_px[0, :, 1])
    assert find_hands_through(replace(track, image_px=apart)) is None
    assert find_hands_through(replace(track, image_px=np.repeat(track.image_px[:1], len(track.time_s), 0))) is None
    assert find_hands_through(replace(track, image_px=np.full_like(track.image_px, np.nan))) is None


def test_swings_are_cut_around_impact_and_never_into_each_other() -> None:
    found = cut_swings([2.0, 20.0, 20.2, 24.0], [Strike(20.03, 40.0, 0.9)], 0.0, 25.0, True)
    assert [swing.impact_s for swing in found] == [2.0, 20.0, 24.0]
    assert [(swing.begin_s, swing.end_s) for swing in found] == [(0.0, 4.0), (17.0, 22.0), (22.0, 25.0)]
    assert [swing.strike_s for swing in found] == [None, 20.03, None]


def test_a_weak_strike_and_a_silent_recording_are_doubtful() -> None:
    strikes = [Strike(10.0, 40.0, 0.9), Strike(20.0, 42.0, 0.9), Strike(30.1, 28.0, 0.4)]
    found = cut_swings([10.0, 20.0, 30.0], strikes, 0.0, 40.0, True)
    assert [bool(swing.doubt) for swing in found] == [False, False, True]
    assert "neighbour" in found[2].doubt
    silent = cut_swings([10.0], [], 0.0, 40.0, False)
    assert "no sound" in silent[0].doubt
