"""Where a swing is looked at, without Qt."""

import numpy as np
import pytest

from review.app.swing_view.playhead import SPEEDS, ClipClock, Playhead, bring_over
from review.lesson import KeyFrame


def even(n: int, rate_hz: float, begin_s: float = 0.0) -> np.ndarray:
    return begin_s + np.arange(n) / rate_hz


def test_frame_nearest_to_a_moment_on_uneven_times() -> None:
    clock = ClipClock(np.array([1.0, 1.02, 1.10, 1.11]), lock_s=1.10)
    np.testing.assert_allclose(clock.moments_s, [-0.10, -0.08, 0.0, 0.01])
    moments = (-9.0, -0.095, -0.085, -0.05, -0.03, 0.004, 0.006, 9.0)
    assert [clock.frame_at(moment) for moment in moments] == [0, 0, 1, 1, 2, 2, 3, 3]
    assert [clock.frame_shown_at(moment) for moment in (-9.0, -0.081, -0.08, -0.001, 0.0, 9.0)] == [0, 0, 1, 1, 2, 3]


def test_single_frame_is_always_on() -> None:
    clock = ClipClock(np.array([3.0]), lock_s=3.0)
    assert {clock.frame_at(m) for m in (-1.0, 0.0, 1.0)} == {0}
    head = Playhead([clock])
    head.play()
    assert not head.is_playing


def test_every_frame_gives_itself_back_whatever_the_scale() -> None:
    rng = np.random.default_rng(2)
    for scale in (1.0, 0.125, 0.25, 0.1):
        clock = ClipClock(np.cumsum(rng.uniform(0.003, 0.05, 400)) + 7.3, scale, 9.1)
        for frame in range(400):
            assert clock.frame_at(clock.moment_of(frame)) == frame
            assert clock.frame_shown_at(clock.moment_of(frame)) == frame


@pytest.mark.parametrize("speed", SPEEDS)
def test_plays_at_a_part_of_true_time_in_slow_motion_too(speed: float) -> None:
    head = Playhead([ClipClock(even(2400, 30.0), time_scale=0.125)])  # 240 true frames a second
    head.speed = speed
    head.play()
    for _ in range(100):
        head.advance(0.01)
    assert head.frame == pytest.approx(240 * speed, abs=1)


def test_two_cameras_meet_at_impact_whatever_their_clocks_and_rates() -> None:
    face_on = ClipClock(even(240, 60.0, 5.0), lock_s=5.0 + 100 / 60)
    behind = ClipClock(even(400, 30.0), time_scale=0.25, lock_s=200 / 30)  # 120 true frames a second
    head = Playhead([face_on, behind])
    head.go_to(100)
    assert head.frames == (100, 200)
    head.step(6)
    assert head.frames == (106, 212)
    head.lead_with(1)
    assert head.frames == (106, 212)
    head.step(1)
    assert head.frame == 213
    assert head.frames[0] in (106, 107)  # just between two of its frames


def test_loop_goes_round_and_never_leaves_its_ends() -> None:
    head = Playhead([ClipClock(even(100, 50.0))])
    head.speed = 1.0
    head.set_loop(20, 39)
    assert head.frame == 20
    head.play()
    seen = []
    for _ in range(200):
        head.advance(0.01)
        seen.append(head.frame)
    assert head.is_playing
    assert set(seen) == set(range(20, 40))
    counts = np.bincount(seen)[20:40]
    assert counts.min() >= 8  # 5 rounds of 20 frames, 2 looks each; the last frame too
    assert counts.max() <= 12


def test_without_a_loop_it_ends_at_the_last_frame_and_begins_anew() -> None:
    head = Playhead([ClipClock(even(10, 10.0))])
    head.speed = 1.0
    head.play()
    for _ in range(30):
        head.advance(0.05)
    assert (head.frame, head.is_playing) == (9, False)
    head.play()
    assert (head.frame, head.is_playing) == (0, True)


def test_steps_stop_at_the_ends_and_stop_playing() -> None:
    head = Playhead([ClipClock(even(10, 10.0))])
    head.play()
    head.step(3)
    assert (head.frame, head.is_playing) == (3, False)
    head.step(-9)
    assert head.frame == 0
    head.step(99)
    assert head.frame == 9
    assert not head.advance(1.0)


def test_a_loop_of_one_frame_is_none_and_a_swing_needs_a_clip() -> None:
    head = Playhead([ClipClock(even(10, 10.0))])
    head.set_loop(4, 4)
    assert head.loop is None
    head.set_loop(8, 3)
    assert head.loop == (3, 8)
    with pytest.raises(ValueError, match="without a clip"):
        Playhead([])


def test_key_frames_of_the_other_camera_stand_at_the_same_moments() -> None:
    face_on = ClipClock(even(240, 60.0, 5.0), lock_s=5.0 + 100 / 60)
    behind = ClipClock(even(300, 30.0), time_scale=0.25, lock_s=200 / 30)  # 120 true frames a second
    keys = [
        KeyFrame("top", 5.0 + 82 / 60, 82, 0.8, "pose"),
        KeyFrame("impact", 5.0 + 100 / 60, 100, 1.0, "sound"),
        KeyFrame("finish", 5.0 + 160 / 60, 160, 0.5, "pose"),  # after the other one's end
    ]
    brought = bring_over(keys, face_on, behind)
    assert [(key.name, key.frame, key.certainty) for key in brought] == [("top", 164, 0.8), ("impact", 200, 1.0)]
    assert [key.time_s for key in brought] == pytest.approx([164 / 30, 200 / 30])
