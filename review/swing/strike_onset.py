"""Where a sharp sound begins, to the sample."""

import numpy as np

from review.lesson import FloatArray
from review.swing.strike_bands import FRAME_S, IntArray, gather

_ORDER = 16
_PAST_FROM_S, _PAST_TO_S = -0.045, -0.004
_FROM_S, _TO_S = -0.010, 0.085
_ONSET_TO_S = 0.004
_LEAST_PAST_S = 0.001
_PEAK_WITHIN_S, _ONSET_PART = 0.004, 0.35
# Where find_onsets puts the frame: 0.7 ms after the onset, give or take 0.3 ms, for made-up strikes.
_ONSET_FROM_FRAME_S, _ONSET_SD_S = -0.0007, 0.001
_SPANS_MS = ((0, 1), (1, 4), (4, 10), (10, 30), (30, 80))
_NOTHING = 1e-18

RISE_NAMES = tuple(f"surprise_{begin}_to_{end}_ms_db" for begin, end in _SPANS_MS[:2])
FALL_NAMES = tuple(f"surprise_fall_{begin}_to_{end}_ms_db" for begin, end in _SPANS_MS[2:])
"""Power not foretold: over that before the onset; later beside that of the first millisecond."""


def place_onsets(
    samples: FloatArray, fine: FloatArray, rate_hz: float, frames: IntArray
) -> tuple[IntArray, FloatArray]:
    """Place each onset to the sample: where the sound stops being what its past foretells.

    Parameters
    ----------
    samples : (n,) one channel.
    fine : (n,) its part from 1.5 to 8 kHz, not delayed.
    rate_hz : samples a true second.
    frames : (m,) frames of 1 ms in which sounds begin, from ``find_onsets``.

    Returns
    -------
    onsets : (m,) samples.
    surprise_db : (m, 5) as ``RISE_NAMES`` and ``FALL_NAMES``.

    Notes
    -----
    A linear predictor of order 16 is fitted to the 41 ms before; what it leaves is split into two spans of Gaussian
    noise where that is likeliest (Akaike's criterion on the residual, as for arrivals of earthquakes: Maeda 1985,
    Zisin 38:365-379; Sleeman & van Eck 1999, Phys Earth Planet Inter 113:265-275), with the frame as prior.
    """
    centres = np.round(frames * FRAME_S * rate_hz).astype(int)
    past_n = round((_PAST_TO_S - _PAST_FROM_S) * rate_hz)
    weights = _fit_predictor(gather(samples, centres + round(_PAST_FROM_S * rate_hz), past_n))
    begins, n = centres + round(_FROM_S * rate_hz), round((_TO_S - _FROM_S) * rate_hz)
    heard = gather(samples, begins - _ORDER, n + _ORDER)
    left = heard[:, _ORDER:].copy()
    for lag in range(1, _ORDER + 1):
        left -= weights[:, lag - 1, None] * heard[:, _ORDER - lag : _ORDER - lag + n]
    energy = np.hstack([np.zeros((len(left), 1)), np.cumsum(left**2, axis=1)])
    split = _split(energy[:, : round((_ONSET_TO_S - _FROM_S) * rate_hz) + 1], rate_hz)
    split = split + _skip_pre_echo(fine, begins + split, rate_hz)
    at, rows = begins + split, np.arange(len(split))
    before = energy[rows, split] / np.maximum(split, 1)
    rises = []
    for begin_ms, end_ms in _SPANS_MS:
        begin = np.minimum(split + round(begin_ms * rate_hz / 1000), n - 1)
        end = np.minimum(split + round(end_ms * rate_hz / 1000), n)
        rises.append((energy[rows, end] - energy[rows, begin]) / np.maximum(end - begin, 1))
    power = np.maximum(np.stack(rises, axis=1), _NOTHING)
    over_before_db = 10.0 * np.log10(power[:, :2] / np.maximum(before, _NOTHING)[:, None])
    added = np.maximum(power - before[:, None], _NOTHING)
    after_db = 10.0 * np.log10(added[:, 2:] / added[:, :1])
    described = np.hstack([np.clip(over_before_db, -6.0, 30.0), np.clip(after_db, -30.0, 5.0)])
    return np.clip(at, 0, len(samples) - 1), described


def _split(energy: FloatArray, rate_hz: float) -> IntArray:
    n = energy.shape[1] - 1
    k = np.arange(1, n)
    first = np.maximum(energy[:, 1:-1] / k, _NOTHING)
    second = np.maximum((energy[:, -1:] - energy[:, 1:-1]) / (n - k), _NOTHING)
    criterion = k * np.log(first) + (n - k) * np.log(second)
    criterion = criterion + ((k / rate_hz + _FROM_S - _ONSET_FROM_FRAME_S) / _ONSET_SD_S) ** 2
    criterion[:, : round(_LEAST_PAST_S * rate_hz)] = np.inf
    return np.asarray(np.argmin(criterion, axis=1) + 1)


def _skip_pre_echo(fine: FloatArray, onsets: IntArray, rate_hz: float) -> IntArray:
    """Samples from each onset to where the sound first reaches a third of its peak.

    A coder smears a sharp sound over its block, up to 2.7 ms ahead of it (128 samples at 48 kHz in AAC).
    """
    after = np.abs(gather(fine, onsets, round(_PEAK_WITHIN_S * rate_hz)))
    return np.asarray(np.argmax(after >= _ONSET_PART * after.max(axis=1, keepdims=True), axis=1))


def _fit_predictor(past: FloatArray) -> FloatArray:
    """(m, 16) weights of the last samples, the nearest first, by Levinson's recursion for all rows at once."""
    n = past.shape[1]
    spectrum = np.fft.rfft(past, 2 * n, axis=1)
    correlation = np.fft.irfft(np.abs(spectrum) ** 2, axis=1)[:, : _ORDER + 1] / n
    error = correlation[:, 0] * (1 + 1e-4) + 1e-14  # a little white noise keeps silence and pure tones solvable
    weights = np.zeros((len(past), _ORDER))
    for i in range(_ORDER):
        known = weights[:, :i]
        reflection = (correlation[:, i + 1] - np.sum(known * correlation[:, i:0:-1], axis=1)) / error
        weights[:, :i] = known - reflection[:, None] * known[:, ::-1]
        weights[:, i] = reflection
        error = error * np.maximum(1.0 - reflection**2, 1e-9)
    return weights
