"""Slow-motion files told from ordinary ones: rendered swings whose stamps are stretched as cameras stretch them."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.signal import resample_poly

from review.body import as_right_hander
from review.errors import BadInputError
from review.media import Audio
from review.pose import spread_over
from review.swing import find_time_scale, scale_of_capture
from review.swing.strike import find_strikes, measure_top_hz

SOUND_HZ = 48_000


def taken_at(swing, rate_hz, slowed=1.0):
    """The swing filmed at ``rate_hz`` and played ``slowed`` times slower."""
    track = as_right_hander(swing.track, swing.handedness)
    time_s = np.arange(track.time_s[0], track.time_s[-1], 1.0 / rate_hz)
    track = spread_over(track, time_s)
    return replace(track, time_s=track.time_s * slowed)


def sound_of_strike(at_s, length_s, slowed=1):
    """A click in noise, stretched as a player stretches sound with its picture."""
    rng = np.random.default_rng(3)
    samples = 0.002 * rng.standard_normal(int(length_s * SOUND_HZ))
    n = int(0.01 * SOUND_HZ)
    begin = int(at_s * SOUND_HZ)
    samples[begin : begin + n] += rng.standard_normal(n) * np.exp(-np.arange(n) / (0.002 * SOUND_HZ))
    return Audio(resample_poly(samples, slowed, 1).astype(np.float32), SOUND_HZ, 0.0)


@pytest.fixture(params=["face_on", "down_the_line", "face_on_left"])
def swing(request):
    return request.getfixturevalue(request.param)


@pytest.mark.parametrize("rate_hz", [30, 60, 120, 240])
@pytest.mark.parametrize("has_sound", [True, False])
def test_ordinary_clips_are_at_speed(swing, rate_hz, has_sound):
    audio = sound_of_strike(swing.key_frames_s["impact"], swing.track.time_s[-1] + 0.1) if has_sound else None
    found = find_time_scale(taken_at(swing, rate_hz), audio)
    assert found.time_scale == 1.0
    assert found.is_clear
    assert sum(p for _, p in found.probabilities) == pytest.approx(1.0)


@pytest.mark.parametrize(("taken_hz", "played_hz"), [(120, 30), (240, 30), (240, 60), (120, 29.97)])
def test_slow_motion_is_found(swing, taken_hz, played_hz):
    found = find_time_scale(taken_at(swing, taken_hz, taken_hz / played_hz))
    assert found.time_scale == pytest.approx(played_hz / taken_hz, rel=0.002)
    assert found.is_clear


@pytest.mark.parametrize(("taken_hz", "played_hz"), [(480, 30), (240, 24), (240, 25)])
def test_rare_rates_are_the_likeliest_but_may_be_asked(swing, taken_hz, played_hz):
    """480 is rare; at 24 and 25 the scales lie close together (25 of 100 and of 120)."""
    found = find_time_scale(taken_at(swing, taken_hz, taken_hz / played_hz))
    assert found.time_scale == pytest.approx(played_hz / taken_hz, rel=0.002)
    assert found.probability > 0.7


@pytest.mark.parametrize("slowed", [4, 8])
def test_stretched_sound_leaves_it_clear(swing, slowed):
    at_s = swing.key_frames_s["impact"]
    audio = sound_of_strike(at_s, swing.track.time_s[-1] + 0.1, slowed)
    found = find_time_scale(taken_at(swing, 30 * slowed, slowed), audio)
    assert found.time_scale == pytest.approx(1 / slowed)
    assert found.is_clear


@pytest.mark.parametrize(("slowed", "expected"), [(1, 1.0), (4, 0.25), (8, 0.125)])
def test_variable_frame_rate(swing, slowed, expected):
    """Frames drop out at random, as in poor light: the rate is that of most steps."""
    track = taken_at(swing, 30 * slowed, slowed)
    kept = np.sort(np.random.default_rng(1).permutation(len(track.time_s))[: int(0.8 * len(track.time_s))])
    jitter = np.random.default_rng(2).uniform(-0.001, 0.001, len(kept))
    uneven = replace(
        track,
        time_s=track.time_s[kept] + jitter,
        image_px=track.image_px[kept],
        world_m=track.world_m[kept],
        visibility=track.visibility[kept],
    )
    found = find_time_scale(uneven)
    assert found.time_scale == pytest.approx(expected)
    assert found.is_clear


def test_between_two_speeds_it_is_asked(face_on):
    """A swing of 1.5 s at 30 frames a second without sound: a very slow one, or a fast one at half speed."""
    found = find_time_scale(taken_at(face_on, 43, 1.43))
    assert not found.is_clear
    assert {scale for scale, _ in found.probabilities[:2]} == {1.0, 0.5}


def test_the_strike_helps_where_the_tempo_cannot(face_on):
    """A strike heard up to 20 kHz was not slowed; one that ends at 12 kHz may have been."""
    track, at_s, length_s = taken_at(face_on, 43, 1.43), face_on.key_frames_s["impact"], face_on.track.time_s[-1] + 0.1
    full = find_time_scale(track, sound_of_strike(at_s * 1.43, length_s * 1.43))
    halved = find_time_scale(track, sound_of_strike(at_s * 1.43 / 2, length_s * 1.43 / 2, 2))
    odds = [p[1.0] / p[0.5] for p in (dict(full.probabilities), dict(halved.probabilities))]
    assert full.is_clear
    assert odds[0] > 4 * odds[1]


def test_the_cameras_own_note_decides_half_speed(swing):
    track = taken_at(swing, 60, 2)
    assert find_time_scale(track, None, 60.0).is_clear
    assert find_time_scale(track, None, 60.0).time_scale == 0.5


def test_a_note_that_the_tempo_contradicts_is_not_followed(swing):
    """Frames were taken out after filming at 240, and the note stayed: the swing runs at its usual speed."""
    found = find_time_scale(taken_at(swing, 30), None, 240.0)
    assert not (found.is_clear and found.time_scale != 1.0)


@pytest.mark.parametrize(
    ("plays_hz", "taken_hz", "scale"),
    [(30, 240, 0.125), (29.97, 239.76, 0.125), (240, 240, 1.0), (60, None, 1.0), (60, 30, 1.0), (237, 240, 1.0)],
)
def test_scale_of_the_cameras_note(plays_hz, taken_hz, scale):
    assert scale_of_capture(plays_hz, taken_hz) == pytest.approx(scale)


def test_no_swing_in_a_standing_person(face_on):
    n = len(face_on.track.time_s)
    noise = np.random.default_rng(0).normal(0, 2.0, (n, 33, 3))
    still = replace(face_on.track, image_px=np.repeat(face_on.track.image_px[:1], n, axis=0) + noise)
    with pytest.raises(BadInputError, match="No swing was found"):
        find_time_scale(still)


@pytest.mark.parametrize("slowed", [1, 2, 4, 8])
def test_slowed_sound_reaches_no_higher_than_it_can(slowed):
    """Stretching divides every frequency: 24 kHz, half the sampling rate, becomes 24 kHz / slowed."""
    audio = sound_of_strike(0.5, 1.0, slowed)
    samples = audio.samples.astype(float)
    strike = max(find_strikes(samples, SOUND_HZ, 0.0), key=lambda s: s.strength_db)
    top_hz = measure_top_hz(samples, SOUND_HZ, 0.0, strike.time_s)
    assert 0.6 * 24_000 / slowed < top_hz <= 1.35 * 24_000 / slowed
