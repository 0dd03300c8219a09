"""Files that are slowed in part: their frames lie farther apart there. Made of even stamps, so the jump is known."""

import numpy as np
import pytest

from review.swing import find_rate_change


def stamps(*parts):
    """Frame times of parts (frames, frames a second) one after the other, from 0.5 s on."""
    steps = np.concatenate([np.full(n, 1.0 / hz) for n, hz in parts])
    return 0.5 + np.concatenate([[0.0], np.cumsum(steps)])


@pytest.mark.parametrize(
    ("parts", "at_s", "rates"),
    [
        (((240, 240), (240, 30)), 1.5, (240, 30)),
        (((240, 30), (240, 240)), 8.5, (30, 240)),
        (((60, 60), (40, 30), (60, 60)), 1.5, (60, 30)),
        (((24, 240), (200, 30), (24, 240)), 0.6, (240, 30)),
    ],
)
def test_a_part_played_slower_is_found(parts, at_s, rates):
    found = find_rate_change(stamps(*parts))
    assert found is not None
    assert found.time_s == pytest.approx(at_s, abs=0.001)
    assert (found.before_hz, found.after_hz) == pytest.approx(rates)


def test_it_is_found_between_uneven_steps():
    time_s = stamps((120, 120), (120, 30))
    found = find_rate_change(time_s + np.random.default_rng(0).uniform(-0.0008, 0.0008, len(time_s)))
    assert found is not None
    assert found.time_s == pytest.approx(1.5, abs=0.07)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.25, 0.4])
def test_frames_left_out_at_random_are_no_ramp(share):
    rng = np.random.default_rng(1)
    for _ in range(40):
        time_s = np.arange(240) / 60
        kept = time_s[np.sort(rng.permutation(240)[: int((1 - share) * 240)])]
        assert find_rate_change(kept + rng.uniform(-0.002, 0.002, len(kept))) is None


@pytest.mark.parametrize(
    "parts",
    [
        ((300, 30), (240, 24)),  # a camera that exposes longer in poor light
        ((60, 60), (1, 2), (60, 60)),  # half a second is missing
        ((100, 60), (4, 30), (100, 60)),
        ((100, 60), (9, 30), (100, 60)),
        ((9, 60), (9, 30)),  # too short to tell
    ],
)
def test_a_wandering_rate_gaps_and_short_clips_are_no_ramp(parts):
    assert find_rate_change(stamps(*parts)) is None
