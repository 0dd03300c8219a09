"""Strikes of slowed clips as the product reads them: made-up bay sound (tests/bay) played eight times slower."""

from fractions import Fraction

import av
import numpy as np
import pytest
from scipy.signal import resample_poly

from review.jobs.pairing.clip_reading import read_clip
from review.jobs.pairing.impact import hear_strike
from tests.bay import make_bay

SLOWED, RATE_HZ = 8, 48000
LENGTH_S, STRIKE_S = 3.2, 1.5
N_CLIPS = 5


def write_clip(path, samples):
    """A grey picture every half second and the samples, uncompressed."""
    with av.open(str(path), "w") as out:
        pictures = out.add_stream("mpeg4", rate=2)
        pictures.width, pictures.height, pictures.pix_fmt = 64, 48, "yuv420p"
        sound = out.add_stream("pcm_s16le", rate=RATE_HZ, layout="mono")
        grey = np.full((48, 64, 3), 90, np.uint8)
        for i in range(int(len(samples) / RATE_HZ * 2)):
            frame = av.VideoFrame.from_ndarray(grey, format="rgb24")
            frame.pts, frame.time_base = i, Fraction(1, 2)
            out.mux(pictures.encode(frame))
        out.mux(pictures.encode(None))
        whole = np.clip(samples * 32767, -32768, 32767).astype(np.int16)
        heard = av.AudioFrame.from_ndarray(whole[None, :], format="s16", layout="mono")
        heard.sample_rate, heard.pts = RATE_HZ, 0
        out.mux(sound.encode(heard))
        out.mux(sound.encode(None))
    return path


@pytest.fixture(scope="module")
def slowed_clips(tmp_path_factory):
    folder = tmp_path_factory.mktemp("slowed")
    clips = []
    for seed in range(N_CLIPS):
        bay = make_bay(np.random.default_rng([seed, 1]), LENGTH_S, STRIKE_S, 12.0, 1, RATE_HZ, neighbours=1)
        clips.append(write_clip(folder / f"{seed}.mov", resample_poly(bay.samples, SLOWED, 1)))
    return clips


def test_strikes_of_slowed_clips_are_heard_when_they_are_added(slowed_clips):
    read = [read_clip(path, (), 1 / SLOWED) for path in slowed_clips]
    assert [clip.strike_s for clip in read] == [pytest.approx(STRIKE_S * SLOWED, abs=0.02 * SLOWED)] * N_CLIPS


def test_strikes_of_slowed_clips_are_heard_without_a_body(slowed_clips):
    heard = [hear_strike(path, time_scale=1 / SLOWED) for path in slowed_clips[:2]]
    assert heard == [pytest.approx(STRIKE_S * SLOWED, abs=0.02 * SLOWED)] * 2
