"""Sound through a lossy coder and back."""

import tempfile
from pathlib import Path

import av
import numpy as np

from review.media import read_audio

from .struck import Floats


def code_as_aac(samples: Floats, rate_hz: int, bits_per_s: int) -> Floats:
    """Encode and decode as a camera would; as many samples, nothing shifted."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "c.m4a"
        with av.open(str(path), "w", format="mp4") as out:
            stream = out.add_stream("aac", rate=rate_hz, layout="mono")
            stream.bit_rate = bits_per_s
            frame = av.AudioFrame.from_ndarray(samples.astype(np.float32)[None, :], format="fltp", layout="mono")
            frame.sample_rate, frame.pts = rate_hz, 0
            out.mux(stream.encode(frame))
            out.mux(stream.encode(None))
        heard = read_audio(path, rate_hz)
    assert heard is not None
    begin = round(-heard.start_s * rate_hz)
    coded = np.zeros(len(samples))
    piece = heard.samples[max(0, begin) :][: len(coded) - max(0, -begin)]
    coded[max(0, -begin) : max(0, -begin) + len(piece)] = piece
    return coded
