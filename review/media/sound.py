"""The sound of a clip, on the clock of its pictures."""

import math
import wave
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import IO, cast

import numpy as np
from av.audio.frame import AudioFrame
from numpy.typing import NDArray

from review.media.containers import check_local_file, open_container
from review.media.footage import Footage, VideoSource, as_footage, path_in

_GAP_S = 0.02
"""Stamps of sound that runs on jitter by their time base (a millisecond in Matroska); a step beyond this is real."""
_RUN_UP_S = 0.5
"""Decoded before a part begins: what the first frames after a seek lack, and what resampling leans on."""


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


def read_audio(source: VideoSource, rate_hz: int = 48000) -> Audio | None:
    """Read the whole sound of a clip as one channel.

    Parameters
    ----------
    source
        A local clip, or a part of one: then its samples lie in the part.
    rate_hz
        Samples per second wanted.

    Returns
    -------
    Audio or None
        None when the clip (or the part) has no sound. Its start is the time of the first sample that is decoded:
        the encoder's priming samples are dropped by the decoder, while the container's own start
        time may still count them. Gaps in the sound are silence;
        of what overlaps, the earlier counts.

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
    footage, local = as_footage(source), check_local_file(path_in(source))
    pieces = list(_read_pieces(local, footage.begin_s, footage.end_s))
    if not pieces:
        return None
    whole = Audio(np.concatenate([p.samples for p in pieces]), pieces[0].rate_hz, pieces[0].start_s)
    part = _cut(_at_rate(whole, rate_hz), footage)
    return part if len(part.samples) else None


def read_audio_blocks(
    source: VideoSource, block_s: float, overlap_s: float = 0.0, rate_hz: int = 48000
) -> Iterator[Audio]:
    """Read a long sound block by block, so that it never lies in memory as a whole.

    Parameters
    ----------
    source, rate_hz
        As for ``read_audio``.
    block_s
        Length of a block in seconds; the last may be shorter.
    overlap_s
        Each block begins this much before the one before it ends.

    Returns
    -------
    iterator of Audio
        Nothing when there is no sound. A block resampled by itself differs at its rim from the whole sound.

    Raises
    ------
    BadInputError, MachineError
        As for ``read_audio``.
    """
    if block_s <= overlap_s:
        raise ValueError(f"block_s must be more than overlap_s, got {block_s} and {overlap_s}")
    footage, local = as_footage(source), check_local_file(path_in(source))
    held: list[NDArray[np.float32]] = []
    start_s, n_held, n_old = 0.0, 0, 0
    for piece in _read_pieces(local, footage.begin_s, footage.end_s):
        start_s = start_s if held else piece.start_s
        held.append(piece.samples)
        n_held += len(piece.samples)
        length, n_old = round(block_s * piece.rate_hz), round(overlap_s * piece.rate_hz)
        while n_held >= length:
            whole = np.concatenate(held)
            yield _cut(_at_rate(Audio(whole[:length], piece.rate_hz, start_s), rate_hz), footage)
            start_s += (length - n_old) / piece.rate_hz
            held = [whole[length - n_old :]]
            n_held = len(held[0])
    if n_held > n_old:
        yield _cut(_at_rate(Audio(np.concatenate(held), piece.rate_hz, start_s), rate_hz), footage)


def _at_rate(audio: Audio, rate_hz: int) -> Audio:
    if audio.rate_hz == rate_hz:
        return audio
    ratio = Fraction(rate_hz, audio.rate_hz)
    samples = _resample(audio.samples, ratio)
    return Audio(samples, rate_hz, audio.start_s)


def _cut(audio: Audio, footage: Footage) -> Audio:
    """Keep the samples inside the part."""
    first, stop = 0, len(audio.samples)
    if footage.begin_s > 0:
        first = min(stop, max(0, math.ceil((footage.begin_s - audio.start_s) * audio.rate_hz - 1e-6)))
    if footage.end_s is not None:
        stop = max(first, min(stop, math.ceil((footage.end_s - audio.start_s) * audio.rate_hz - 1e-6)))
    return Audio(audio.samples[first:stop], audio.rate_hz, audio.start_s + first / audio.rate_hz)


def _read_pieces(path: Path, begin_s: float, end_s: float | None) -> Iterator[Audio]:
    """Decode the first sound track in pieces of one rate that run on; gaps are silence, overlaps left out.

    The pieces begin a little before ``begin_s`` and end a little after ``end_s``.
    """
    with open_container(path) as container:
        stream = next((s for s in container.streams.audio if s.codec_context is not None), None)
        if stream is None:
            return
        if begin_s > _RUN_UP_S and stream.time_base:
            container.seek(round((begin_s - _RUN_UP_S) / stream.time_base), stream=stream)
        rate_hz, start_s, n_placed = 0, 0.0, 0
        for frame in container.decode(stream):
            piece = _to_mono(frame)
            at_s = float(frame.pts * frame.time_base) if frame.pts is not None and frame.time_base else None
            if end_s is not None and at_s is not None and at_s > end_s + _RUN_UP_S:
                return
            if not rate_hz:
                rate_hz, start_s = frame.sample_rate, at_s or 0.0
            elif frame.sample_rate != rate_hz:
                ratio = Fraction(rate_hz, frame.sample_rate)
                piece = _resample(piece, ratio)
            gap_s = 0.0 if at_s is None else at_s - start_s - n_placed / rate_hz
            if gap_s > _GAP_S:
                piece = np.concatenate([np.zeros(round(gap_s * rate_hz), dtype=np.float32), piece])
            elif gap_s < -_GAP_S:  # what overlaps is left out: else all later sound would come late
                piece = piece[round(-gap_s * rate_hz) :]
            yield Audio(piece, rate_hz, start_s + n_placed / rate_hz)
            n_placed += len(piece)


def _resample(samples: NDArray[np.float32], ratio: Fraction) -> NDArray[np.float32]:
    # half a second to load, which what only shows a lesson need not wait for
    from scipy.signal import resample_poly

    resampled: NDArray[np.float32] = resample_poly(samples, ratio.numerator, ratio.denominator).astype(np.float32)
    return resampled


def _to_mono(frame: AudioFrame) -> NDArray[np.float32]:
    data = np.asarray(frame.to_ndarray())
    channels = data if frame.format.is_planar else data.reshape(-1, frame.layout.nb_channels).T
    scaled = channels.astype(np.float64)
    if channels.dtype.kind in "iu":
        half = 2.0 ** (8 * channels.dtype.itemsize - 1)
        scaled = scaled / half - (1.0 if channels.dtype.kind == "u" else 0.0)
    mono: NDArray[np.float32] = scaled.mean(axis=0).astype(np.float32)
    return mono


def write_wav(path: Path, audio: Audio) -> None:
    """Write sound as 16-bit WAV that begins at time 0: cut or led in by silence as ``start_s`` says."""
    shift = round(audio.start_s * audio.rate_hz)
    samples = audio.samples[max(0, -shift) :]
    whole = np.concatenate([np.zeros(max(0, shift), dtype=np.float32), samples])
    pcm = np.round(np.clip(whole, -1.0, 1.0) * 32767.0).astype("<i2")
    with path.open("wb") as file, wave.open(cast(IO[bytes], file), "wb") as wav:
        wav.setnchannels(1)
        wav.setsampwidth(2)
        wav.setframerate(audio.rate_hz)
        wav.writeframes(pcm.tobytes())
