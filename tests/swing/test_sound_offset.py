"""A camera's sound against its pictures: made-up cameras with a known offset, and the limits of ITU-R BT.1359-1."""

import numpy as np
import pytest

from review.swing.sound_offset import (
    SoundFit,
    follow_sound_offset,
    is_usable,
    is_well_known,
    judge_sound_offset,
    learn_sound_offset,
    sd_of_offset_s,
)


def clips(offset_s, n, rate_hz=60.0, seed=0):
    """Heard after seen: the time seen lies anywhere in half a spacing to each side of the true one."""
    within = 0.5 / rate_hz
    return offset_s + np.random.default_rng(seed).uniform(-within, within, n), np.full(n, within)


@pytest.mark.parametrize("offset_s", [-0.12, -0.02, 0.0, 0.035, 0.2])
@pytest.mark.parametrize("rate_hz", [30.0, 60.0, 240.0])
def test_the_offset_comes_back(offset_s, rate_hz):
    got = learn_sound_offset(*clips(offset_s, 20, rate_hz))
    # three standard errors of the median of 20 uniform values
    assert got.offset_s == pytest.approx(offset_s, abs=3 * 1.25 * 0.289 / rate_hz / np.sqrt(20) * 1.3)
    assert got.n_clips == 20


def test_neighbours_strikes_do_no_harm():
    late, within = clips(0.03, 12)
    late[[2, 5, 9]] += [0.11, -0.2, 0.25]
    got = learn_sound_offset(late, within)
    assert got.n_clips == 9
    assert got.offset_s == pytest.approx(0.03, abs=0.005)


def test_too_few_and_those_that_do_not_agree_give_none():
    assert learn_sound_offset([0.01, 0.02], [0.008, 0.008]) is None
    assert learn_sound_offset([-0.2, -0.1, 0.0, 0.1, 0.2, 0.28], [0.002] * 6) is None
    with pytest.raises(ValueError, match="as many"):
        learn_sound_offset([0.1, 0.2, 0.3], [0.01])


def test_what_is_known_grows_with_clips_and_lessons():
    few, many = (learn_sound_offset(*clips(0.03, n)) for n in (3, 25))
    assert sd_of_offset_s(many) < sd_of_offset_s(few)
    assert is_usable(many)
    assert is_well_known(many)
    assert not is_well_known(few)


def test_a_camera_recorded_otherwise_since_counts_by_its_latest_clips():
    (old, room), (new, _) = clips(0.0, 20), clips(0.08, 8, seed=1)
    assert follow_sound_offset(old, room).n_clips == 20
    late = np.concatenate([old, new])
    got = follow_sound_offset(late, np.full(28, room[0]))
    assert got.offset_s == pytest.approx(0.08, abs=0.006)
    assert got.n_clips == 8
    assert follow_sound_offset([], []) is None


@pytest.mark.parametrize(
    ("late_ms", "fit"),
    [
        (0, SoundFit.UNNOTICED),
        (-44, SoundFit.UNNOTICED), (-46, SoundFit.DETECTABLE), (-89, SoundFit.DETECTABLE), (-91, SoundFit.UNACCEPTABLE),
        (124, SoundFit.UNNOTICED), (126, SoundFit.DETECTABLE), (184, SoundFit.DETECTABLE), (186, SoundFit.UNACCEPTABLE),
    ],
)  # fmt: skip
def test_limits_of_itu_r_bt_1359_1(late_ms, fit):
    """ITU-R BT.1359-1 (1998): detectable 45 ms early, 125 ms late; acceptable up to 90 ms early, 185 ms late."""
    assert judge_sound_offset(late_ms / 1000) is fit
