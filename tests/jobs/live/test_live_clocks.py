"""Clocks from arrivals, on made-up lessons whose true clocks are known."""

import numpy as np
import pytest

from review.jobs.live.clocks import Stamp, follow_clock


def arrivals(n: int, ahead_s: float, seed: int, begin_s: float = 0.0) -> tuple[list[Stamp], np.ndarray]:
    """Stamps of a clock that runs ahead, delivered 1 to 20 s after the fact, and when they truly happened."""
    rng = np.random.default_rng(seed)
    true_s = begin_s + np.cumsum(rng.uniform(25, 120, n))
    seen_s = true_s + rng.uniform(1, 20, n)
    return [Stamp(float(np.floor(t + ahead_s)), float(s)) for t, s in zip(true_s, seen_s, strict=True)], true_s


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("ahead_s", [0.0, 192.4, -3600.0])
def test_a_moment_never_comes_out_too_early_and_at_most_the_quickest_delivery_too_late(seed, ahead_s):
    stamps, true_s = arrivals(30, ahead_s, seed)
    course = follow_clock(stamps)
    assert course.jumps == ()
    late_s = np.array([s.clock_s - a for s, a in zip(stamps, course.ahead_s, strict=True)]) - true_s
    quickest = min(s.seen_s - t for s, t in zip(stamps, true_s, strict=True))
    # the clock shows whole seconds: up to one second either way
    assert late_s.min() >= -1.0
    assert late_s.max() <= quickest + 1.0


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("jump_s", [3600.0, -3600.0, 420.0, -420.0])
def test_a_jump_is_found_where_it_is_and_told_about_how_far(seed, jump_s):
    before, _ = arrivals(10, 50.0, seed)
    after, true_s = arrivals(10, 50.0 + jump_s, seed + 100, begin_s=2000.0)
    course = follow_clock([*before, *after])
    assert [i for i, _ in course.jumps] == [10]
    assert course.jumps[0][1] == pytest.approx(jump_s, abs=21)
    late_s = np.array([s.clock_s - a for s, a in zip(after, course.ahead_s[10:], strict=True)]) - true_s
    assert np.all((late_s > -1.0) & (late_s < 21.0))


def test_files_copied_in_one_go_are_placed_by_the_last_of_them():
    true_s = np.array([0.0, 60.0, 150.0, 400.0, 460.0])
    course = follow_clock([Stamp(t + 10.0, 1000.0 + 2.0 * i) for i, t in enumerate(true_s)])
    assert course.jumps == ()
    assert set(course.ahead_s) == {470.0 - 1008.0}


def test_nothing_arrived():
    assert follow_clock([]).ahead_s == ()
