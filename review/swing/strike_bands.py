"""Where a sound begins in several bands at once: candidates for a strike."""

import numpy as np
from numpy.typing import NDArray
from scipy.fft import rfft
from scipy.ndimage import maximum_filter1d

from review.lesson import FloatArray

IntArray = NDArray[np.intp]

FRAME_S = 0.001
WINDOW_S = 0.004
BANDS_HZ = ((200.0, 700.0), (700.0, 1500.0), (1500.0, 3000.0), (3000.0, 5000.0), (5000.0, 8000.0), (8000.0, 14000.0))
# Struck balls are loudest at 2-3 kHz (Roberts et al. 2005, J Sound Vib 287:651-666); voices mostly lie below.
UPPER = slice(2, 6)
BEFORE_FRAMES, GAP_FRAMES = 20, 4
_LEAST_RISE_DB = 5.0
_APART_FRAMES = 20
_FLOOR = 1e-12
"""Power below which all is silence; 16 bits hold no less than 8e-11."""


def measure_bands(samples: FloatArray, rate_hz: float) -> FloatArray:
    """Measure power over 4 ms each millisecond: (n_frames, 6) mean squares; frame i lies at i ms, its window around it.

    Where a window would reach beyond the sound, that of the nearest whole one is taken.
    """
    n = round(WINDOW_S * rate_hz)
    n_frames = int((len(samples) - 1) / (FRAME_S * rate_hz)) + 1
    centres = np.round(np.arange(n_frames) * FRAME_S * rate_hz).astype(int)
    begins = np.clip(centres - n // 2, 0, len(samples) - n)
    window = np.hanning(n)
    spectrum = rfft(np.lib.stride_tricks.sliding_window_view(samples, n)[begins] * window, axis=1)
    power = (spectrum.real**2 + spectrum.imag**2) * 2.0 / (n * np.sum(window**2))
    hz = np.fft.rfftfreq(n, 1.0 / rate_hz)
    bands = [power[:, (hz >= low) & (hz < high)].sum(axis=1) for low, high in BANDS_HZ]
    return np.asarray(np.maximum(np.stack(bands, axis=1), _FLOOR))


def find_onsets(power: FloatArray) -> IntArray:
    """Find frames in which two of the bands above 1.5 kHz rise most, by 5 dB or more over the 20 ms before.

    Parameters
    ----------
    power : (n_frames, 6) as from ``measure_bands``.
    """
    if len(power) <= BEFORE_FRAMES:
        return np.zeros(0, dtype=np.intp)
    before = _mean_before(power[:, UPPER])
    rises_db = np.maximum(10.0 * np.log10(power[:, UPPER] / before), 0.0)
    rise_db = np.sort(rises_db, axis=1)[:, -2:].mean(axis=1)
    highest = rise_db >= maximum_filter1d(rise_db, 2 * _APART_FRAMES + 1)
    return np.flatnonzero(highest & (rise_db >= _LEAST_RISE_DB))


def _mean_before(power: FloatArray) -> FloatArray:
    """Mean over the frames from 20 to 4 before each; the first frames are their own past."""
    total = np.cumsum(np.vstack([np.zeros((1, power.shape[1])), power]), axis=0)
    end = np.arange(len(power)) - GAP_FRAMES + 1
    begin = np.maximum(0, end - (BEFORE_FRAMES - GAP_FRAMES + 1))
    known = end - begin >= 5
    end, begin = np.where(known, end, 1), np.where(known, begin, 0)
    mean = (total[end] - total[begin]) / (end - begin)[:, None]
    return np.asarray(np.maximum(np.where(known[:, None], mean, power), _FLOOR))


def gather(values: FloatArray, begins: IntArray, n: int) -> FloatArray:
    """(m, n, ...) stretches from each begin on; beyond the ends the last value is repeated."""
    return np.asarray(values[np.clip(begins[:, None] + np.arange(n), 0, len(values) - 1)])
