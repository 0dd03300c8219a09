"""Coding the sound must not move the strike: through the product's own writer (AAC) and back."""

import numpy as np
import pytest
from bay import make_bay_sound

from review.media import Audio, VideoWriter, read_audio
from review.swing.strike import choose_strike, find_strikes

RATE = 48_000


@pytest.mark.parametrize("family", [1, 2])
@pytest.mark.parametrize("recorded_hz", [48_000, 44_100])
def test_aac_does_not_move_the_strike(tmp_path, family, recorded_hz):
    for seed in range(3):
        strike_s = 1.3 + 0.1234 * seed
        rng = np.random.default_rng([seed, family])
        samples = make_bay_sound(rng, 2.5, strike_s, 12.0, family, recorded_hz, neighbours=0).astype(np.float32)
        with VideoWriter(tmp_path / "c.mp4", 32, 32, 30.0, Audio(samples, recorded_hz, 0.0)) as writer:
            for _ in range(75):
                writer.write(np.zeros((32, 32, 3), np.uint8))
        coded = read_audio(tmp_path / "c.mp4")
        assert coded is not None
        strike = choose_strike(find_strikes(coded.samples, coded.rate_hz, coded.start_s))
        assert strike is not None
        # pre-echo of the coder: its shorter blocks hold 128 samples, 2.7 ms at 48 kHz (ISO/IEC 14496-3)
        assert strike.time_s == pytest.approx(strike_s, abs=0.002)
