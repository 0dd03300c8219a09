"""The made-up bay is what it says: levels, onsets, spectrum."""

import numpy as np
import pytest
from bay import make_bay
from bay.struck import make_strike

RATE = 48_000
NO_NOISE_DB = 200.0


def rms(samples: np.ndarray) -> float:
    return float(np.sqrt(np.mean(samples**2)))


def alone(seed: int, **changes) -> np.ndarray:
    given = {"duration_s": 2.0, "strike_s": 1.0, "snr_db": NO_NOISE_DB, "family": 1, "neighbours": 0, **changes}
    return make_bay(np.random.default_rng(seed), **given).samples


@pytest.mark.parametrize("family", [1, 2])
def test_noise_lies_as_far_below_the_strike_as_asked(family):
    for seed in range(3):
        noise = alone(seed, family=family, snr_db=0.0) - alone(seed, family=family)
        same = alone(seed, family=family, snr_db=-6.0) - alone(seed, family=family)
        struck = alone(seed, family=family)[RATE : RATE + RATE // 50]
        assert 20 * np.log10(rms(same) / rms(noise)) == pytest.approx(6.0, abs=0.01)
        # the whoosh, 8 dB below at most, lies under the strike
        assert 20 * np.log10(rms(struck) / rms(noise)) == pytest.approx(0.0, abs=0.8)


def test_a_neighbour_is_as_much_quieter_as_asked():
    for seed in range(3):
        bay = make_bay(np.random.default_rng(seed), 3.0, 1.0, NO_NOISE_DB, 1, neighbours=1, neighbour_db=-6.0)
        begin = round(bay.neighbour_s[0] * RATE)
        own, other = bay.samples[RATE : RATE + RATE // 50], bay.samples[begin : begin + RATE // 50]
        assert 20 * np.log10(rms(other) / rms(own)) == pytest.approx(-6.0, abs=1.5)  # whoosh and tails on top


def test_a_driver_is_loudest_at_2_to_3_khz():
    """Roberts et al. 2005, J Sound Vib 287:651-666; other modes may rarely be louder."""
    peaks_hz = []
    for seed in range(20):
        spectrum = np.abs(np.fft.rfft(make_strike(np.random.default_rng(seed), RATE, "driver"), 8 * RATE))
        peaks_hz.append(np.argmax(spectrum) / 8)
    assert np.mean([(1900 < p < 3100) for p in peaks_hz]) >= 0.8


def test_the_strike_begins_at_its_time():
    for seed in range(3):
        sharp = np.abs(np.diff(alone(seed), 2))  # little of the whoosh, which is duller
        assert sharp[RATE : RATE + 48].max() > 2 * sharp[RATE - 480 : RATE - 3].max()


def test_a_practice_swing_has_no_strike():
    bay = make_bay(np.random.default_rng(4), 2.0, None, NO_NOISE_DB, 1, neighbours=0)
    assert bay.strike_s is None
    assert np.abs(bay.samples).max() < 0.5 * np.abs(alone(4)).max()
