"""Shape of sharp sounds: what tells a strike from talk, drums, balls that knock, and clicks."""

import numpy as np
from scipy.signal import butter, sosfiltfilt

from review.lesson import FloatArray
from review.swing.strike_bands import BANDS_HZ, BEFORE_FRAMES, FRAME_S, GAP_FRAMES, IntArray, gather

_FINE_HZ = (1500.0, 8000.0)
_PARTS_S = (0.0, 0.001, 0.002, 0.004, 0.008)
_LATER_MS = ((6, 10), (10, 16), (16, 26), (26, 46), (46, 80), (80, 120))
_LATER_LOW_MS = ((10, 26), (26, 60))
_AROUND_MS = 1000
_ATTACK_MS = 4
_FINE_UPPER = slice(2, 5)
_LOW = slice(0, 2)

RISE_NAMES = (
    *(f"rise_{low:.0f}_hz_db" for low, _ in BANDS_HZ),
    "over_median_db",
    "over_usual_peaks_db",
    "over_second_before_db",
    "over_second_after_db",
)
FORM_NAMES = (
    *(f"after_{begin}_ms_db" for begin, _ in _LATER_MS),
    *(f"low_after_{begin}_ms_db" for begin, _ in _LATER_LOW_MS),
    *(f"energy_to_{1000 * end:g}_ms_db" for end in _PARTS_S[1:]),
)


def filter_fine(samples: FloatArray, rate_hz: float) -> FloatArray:
    """Pass 1.5-8 kHz without delay."""
    edges = (_FINE_HZ[0], min(_FINE_HZ[1], 0.45 * rate_hz))
    return np.asarray(sosfiltfilt(butter(2, edges, "bandpass", fs=rate_hz, output="sos"), samples))


def describe_shapes(
    power: FloatArray, fine: FloatArray, rate_hz: float, onsets: IntArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Describe each sound by ``RISE_NAMES`` and ``FORM_NAMES``, all in dB.

    Parameters
    ----------
    power : (n_frames, 6) as from ``measure_bands``.
    fine : (n,) as from ``filter_fine``.
    onsets : (m,) samples.

    Returns
    -------
    shapes : (m, n_names).
    level_db : (m,) power of 1.5-8 kHz in the attack, over full scale.
    strength_db : (m,) the same over its median within a second before and after.
    """
    frames = np.clip(np.round(onsets / (FRAME_S * rate_hz)).astype(int), 0, len(power) - 1)
    n_before = BEFORE_FRAMES - GAP_FRAMES + 1
    before = gather(power, frames - BEFORE_FRAMES, n_before).mean(axis=1)
    attack = gather(power, frames, _ATTACK_MS + 1).max(axis=1)
    rise_db = np.clip(_db(attack / before), -5.0, 30.0)
    upper, low = power[:, _FINE_UPPER].sum(axis=1), power[:, _LOW].sum(axis=1)
    later_db = _later(upper, frames, _LATER_MS)
    low_later_db = _later(low, frames, _LATER_LOW_MS)

    parts_db = _energies(fine, rate_hz, onsets)
    level = attack[:, _FINE_UPPER].sum(axis=1)
    around = gather(upper, frames - _AROUND_MS, 2 * _AROUND_MS)
    outer = [
        np.median(around, axis=1),
        np.quantile(around, 0.95, axis=1),
        around[:, : _AROUND_MS - 10].max(axis=1),
        around[:, _AROUND_MS + 200 :].max(axis=1),
    ]
    outer_db = np.clip(_db(level[:, None] / np.stack(outer, axis=1)), -20.0, 25.0)
    # the spectrum itself is left out: heads and microphones differ more than any made-up family of them
    shapes = np.hstack([rise_db, outer_db, later_db, low_later_db, parts_db])
    return shapes, _db(level), _db(level / outer[0])


def _later(power: FloatArray, frames: IntArray, spans_ms: tuple[tuple[int, int], ...]) -> FloatArray:
    """Power after the attack beside the attack's, what was there before taken off both."""
    before = gather(power, frames - BEFORE_FRAMES, BEFORE_FRAMES - GAP_FRAMES + 1).mean(axis=1)
    attack = np.maximum(gather(power, frames, _ATTACK_MS + 1).max(axis=1) - before, 1e-12)
    after = [gather(power, frames + a, b - a).mean(axis=1) - before for a, b in spans_ms]
    return np.asarray(np.clip(_db(np.maximum(np.stack(after, axis=1), 1e-12) / attack[:, None]), -30.0, 5.0))


def _energies(fine: FloatArray, rate_hz: float, onsets: IntArray) -> FloatArray:
    """Energy in spans after the onset beside that of 8 ms."""
    edges = np.round(np.array(_PARTS_S) * rate_hz).astype(int)
    energy = np.cumsum(gather(fine, onsets, edges[-1]) ** 2, axis=1)
    energy = np.hstack([np.zeros((len(onsets), 1)), energy])
    spans = np.maximum(np.diff(energy[:, edges], axis=1), 0.0)
    return np.asarray(np.clip(_db(spans / np.maximum(spans.sum(axis=1, keepdims=True), 1e-18)), -30.0, 0.0))


def _db(ratio: FloatArray) -> FloatArray:
    return np.asarray(10.0 * np.log10(np.maximum(ratio, 1e-12)))
