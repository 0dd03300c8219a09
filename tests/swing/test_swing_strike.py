"""Strikes in made-up sound with known times."""

import numpy as np
import pytest
from scipy.signal import butter, sosfilt

from review.swing.strike import choose_strike, find_strikes, time_strike

RATE = 48_000


def noise(seconds: float, level: float, seed: int = 0) -> np.ndarray:
    return level * np.random.default_rng(seed).standard_normal(int(seconds * RATE))


def click(sound: np.ndarray, at_s: float, level: float) -> np.ndarray:
    """A decaying burst around 2.5 kHz, where a struck ball is loudest (Roberts et al. 2005, JSV 287:651-666)."""
    t = np.arange(int(0.03 * RATE)) / RATE
    burst = level * np.exp(-t / 0.004) * np.sin(2 * np.pi * 2500 * t + 1.0)
    i = int(round(at_s * RATE))
    out = sound.copy()
    out[i : i + len(burst)] += burst
    return out


@pytest.mark.parametrize("at_s", [0.5, 1.2345, 2.9])
def test_time_of_a_strike_below_a_millisecond(at_s):
    strikes = find_strikes(click(noise(3.2, 0.01), at_s, 0.5), RATE, start_s=0.25)
    assert len(strikes) == 1
    assert strikes[0].time_s == pytest.approx(at_s + 0.25, abs=0.001)


def test_noise_alone_holds_no_strike():
    for seed in range(20):
        strikes = find_strikes(noise(3.0, 0.05, seed), RATE, 0.0)
        assert choose_strike(strikes) is None
        assert sum(s.certainty for s in strikes) < 0.4


def test_talk_is_no_strike():
    """Noise shaped like a voice: below 1 kHz, swelling four times a second."""
    voice = sosfilt(butter(4, 1000, fs=RATE, output="sos"), noise(3.0, 1.0))
    voice = voice * (0.5 + 0.5 * np.sin(2 * np.pi * 4 * np.arange(len(voice)) / RATE))
    strikes = find_strikes(voice + noise(3.0, 0.01, 1), RATE, 0.0)
    assert choose_strike(strikes) is None
    assert max((s.certainty for s in strikes), default=0.0) < 0.25


def test_a_quieter_neighbour_is_heard_but_not_chosen():
    sound = click(click(noise(3.0, 0.005), 1.0, 0.25), 2.0, 0.5)
    strikes = find_strikes(sound, RATE, 0.0)
    assert [round(s.time_s, 2) for s in strikes] == [1.0, 2.0]
    assert choose_strike(strikes).time_s == pytest.approx(2.0, abs=0.001)


def test_the_body_decides_where_the_neighbour_is_louder():
    strikes = find_strikes(click(click(noise(3.0, 0.005), 1.0, 0.5), 2.0, 0.25), RATE, 0.0)
    assert choose_strike(strikes, around_s=1.95).time_s == pytest.approx(2.0, abs=0.001)
    assert choose_strike(strikes, around_s=1.5) is None


def test_distance_and_window_are_true_while_a_slowed_clip_plays_longer():
    """Impact 0.25 true seconds into a clip at an eighth of its speed; sound needs 5 m / 343 m/s more, true."""
    scale, impact_s = 0.125, 0.25
    strikes = find_strikes(click(noise(4.0, 0.005), (impact_s + 5.0 / 343.0) / scale, 0.5), RATE, 0.0)
    # the body's guess is 0.1 true seconds early: 0.8 s of the clip
    got = time_strike(strikes, (impact_s - 0.1) / scale, sound_distance_m=5.0, time_scale=scale)
    assert got == pytest.approx(impact_s / scale, abs=0.001)
    assert time_strike(strikes, (impact_s - 0.2) / scale, sound_distance_m=5.0, time_scale=scale) is None


@pytest.mark.parametrize("sound", [np.zeros(0), np.zeros(100), np.zeros(RATE), np.full(RATE, 0.3)])
def test_silence_and_scraps_hold_no_strike(sound):
    assert find_strikes(sound, RATE, 0.0) == ()
