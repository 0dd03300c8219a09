"""The sound of a clip, on the clock of its pictures."""

import os
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from av.audio.frame import AudioFrame
from av.container import InputContainer
from numpy.typing import NDArray
from scipy.signal import resample_poly

from review.media.containers import check_local_file, open_container

_GAP_S = 0.02
"""Stamps of sound that runs on jitter by their time base (a millisecond in Matroska); a step beyond this is a gap."""


@dataclass(frozen=True, eq=False)
class Audio:
    """Sound mixed to one channel.

    ``samples`` (n,) float32 in [-1, 1]; sample i lies at ``start_s + i / rate_hz`` seconds on the
    clock of the clip's presentation times.
    """

    samples: NDArray[np.float32]
    rate_hz: int
    start_s: float

    def __post_init__(self) -> None:
        if self.samples.ndim != 1 or self.samples.dtype != np.float32:
            raise ValueError(f"samples must be float32 of shape (n,), got {self.samples.dtype} {self.samples.shape}")
        if self.rate_hz < 1:
            raise ValueError(f"rate_hz must be positive, got {self.rate_hz}")

    @property
    def duration_s(self) -> float:
        """Length in seconds."""
        return len(self.samples) / self.rate_hz


def read_audio(path: str | os.PathLike[str], rate_hz: int = 48000) -> Audio | None:
    """Read the whole sound of a clip as one channel.

    Parameters
    ----------
    path
        A local clip.
    rate_hz
        Samples per second wanted.

    Returns
    -------
    Audio or None
        None when the clip has no sound. Its start is the time of the first sample that is decoded:
        the encoder's priming samples are dropped by the decoder, while the container's own start
        time may still count them. Gaps in the sound are silence.

    Raises
    ------
    BadInputError
        The file cannot be used.
    MachineError
        It may not be read, or the disk failed.

    Notes
    -----
    Other rates are made by polyphase filtering of the whole signal (scipy.signal.resample_poly), which
    delays nothing; so a time found in the samples is a time of the clip.
    """
    if rate_hz < 1:
        raise ValueError(f"rate_hz must be positive, got {rate_hz}")
    local = check_local_file(path)
    with open_container(local) as container:
        decoded = _decode_mono(container)
    if decoded is None:
        return None
    samples, native_hz, start_s = decoded
    if native_hz != rate_hz:
        ratio = Fraction(rate_hz, native_hz)
        samples = resample_poly(samples, ratio.numerator, ratio.denominator).astype(np.float32)
    return Audio(samples, rate_hz, start_s)


def _decode_mono(container: InputContainer) -> tuple[NDArray[np.float32], int, float] | None:
    """Decode the first sound track to (samples, rate, start); pieces lie where their stamps put them."""
    stream = next((s for s in container.streams.audio if s.codec_context is not None), None)
    if stream is None:
        return None
    pieces: list[NDArray[np.float32]] = []
    n_placed, rate_hz, start_s = 0, 0, 0.0
    for frame in container.decode(stream):
        piece = _to_mono(frame)
        if not pieces:
            rate_hz = frame.sample_rate
            start_s = float(frame.pts * frame.time_base) if frame.pts is not None and frame.time_base else 0.0
        elif frame.sample_rate != rate_hz:
            ratio = Fraction(rate_hz, frame.sample_rate)
            piece = resample_poly(piece, ratio.numerator, ratio.denominator).astype(np.float32)
        if frame.pts is not None and frame.time_base:
            gap_s = float(frame.pts * frame.time_base) - start_s - n_placed / rate_hz
            if gap_s > _GAP_S:
                silence = np.zeros(round(gap_s * rate_hz), dtype=np.float32)
                pieces.append(silence)
                n_placed += len(silence)
        pieces.append(piece)
        n_placed += len(piece)
    return (np.concatenate(pieces), rate_hz, start_s) if pieces else None


def _to_mono(frame: AudioFrame) -> NDArray[np.float32]:
    data = np.asarray(frame.to_ndarray())
    channels = data if frame.format.is_planar else data.reshape(-1, frame.layout.nb_channels).T
    scaled = channels.astype(np.float64)
    if channels.dtype.kind in "iu":
        half = 2.0 ** (8 * channels.dtype.itemsize - 1)
        scaled = scaled / half - (1.0 if channels.dtype.kind == "u" else 0.0)
    mono: NDArray[np.float32] = scaled.mean(axis=0).astype(np.float32)
    return mono
