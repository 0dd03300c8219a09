"""The strike of club on ball in the sound of a clip."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import uniform_filter1d
from scipy.signal import butter, find_peaks, sosfiltfilt

from review.lesson import FloatArray

SOUND_MPS = 343.0
_WITHIN_S = 0.15
# Struck balls are loudest at 2-3 kHz (Roberts et al. 2005, J Sound Vib 287:651-666); voices mostly lie below.
_BAND_HZ = (1500.0, 8000.0)
_WINDOW_S = 0.002
_LEAST_OVER_NOISE_DB = 22.0
_APART_S = 0.08
_ONSET_PART = 0.3
_ONSET_BEFORE_S, _ONSET_AFTER_S = 0.006, 0.004
_LEAST_LENGTH_S = 0.1
_SPECTRUM_S = 0.0054
_BAND_WIDTH_HZ = 1000.0
_HEARD_OVER_NOISE_DB, _HEARD_BELOW_LOUDEST_DB = 10.0, 45.0


@dataclass(frozen=True)
class Strike:
    """A sharp sound: when it begins (on the sound's clock), how far above the noise, and how sure it is the loudest.

    ``certainty`` 0..1 grows with the distance to the next loudest sound of the clip.
    """

    time_s: float
    strength_db: float
    certainty: float


def find_strikes(samples: FloatArray, rate_hz: int, start_s: float) -> tuple[Strike, ...]:
    """Find sharp sounds that could be a struck ball, in order of time; none in noise alone.

    Parameters
    ----------
    samples : (n,) one channel, any scale.
    rate_hz : samples a second.
    start_s : time of the first sample.

    Notes
    -----
    Level of the band 1.5-8 kHz over 2 ms windows; peaks 22 dB above its median over the clip. The onset is where the
    band first reaches 0.3 of its peak.
    """
    if len(samples) < _LEAST_LENGTH_S * rate_hz:
        return ()
    high = min(_BAND_HZ[1], 0.45 * rate_hz)
    band = sosfiltfilt(butter(4, (_BAND_HZ[0], high), "bandpass", fs=rate_hz, output="sos"), samples)
    power = uniform_filter1d(band**2, max(1, int(_WINDOW_S * rate_hz)))
    noise = float(np.median(power))
    if not np.isfinite(noise) or power.max() <= 0:
        return ()
    level_db = 10.0 * np.log10(np.maximum(power, 1e-20) / max(noise, 1e-20))
    peaks, _ = find_peaks(level_db, height=_LEAST_OVER_NOISE_DB, distance=max(1, int(_APART_S * rate_hz)))
    strengths = level_db[peaks]
    strikes = []
    for i, peak in enumerate(peaks):
        others = np.delete(strengths, i)
        lead_db = strengths[i] - (others.max() if len(others) else _LEAST_OVER_NOISE_DB)
        certainty = float(1.0 / (1.0 + np.exp(-lead_db / 3.0)))
        onset = _find_onset(np.abs(band), int(peak), rate_hz)
        strikes.append(Strike(start_s + onset / rate_hz, float(strengths[i]), certainty))
    return tuple(strikes)


def choose_strike(
    strikes: Sequence[Strike], around_s: float | None = None, within_s: float = _WITHIN_S, time_scale: float = 1.0
) -> Strike | None:
    """Choose the player's own strike: the loudest, and near the moment the body suggests where that is known.

    None when nothing was heard, or nothing near ``around_s``: a neighbour's strike is not ours.

    Parameters
    ----------
    around_s : presentation time.
    within_s : true seconds to each side of it.
    time_scale : true seconds in one second of the clip.
    """
    near = [s for s in strikes if around_s is None or abs(s.time_s - around_s) <= within_s / time_scale]
    return max(near, key=lambda s: s.strength_db, default=None)


def time_strike(
    strikes: Sequence[Strike], around_s: float | None = None, sound_distance_m: float = 0.0, time_scale: float = 1.0
) -> float | None:
    """Presentation time at which the player's own strike left the ball, None when it was not heard.

    Parameters
    ----------
    around_s : presentation time of impact as the body suggests it, None where it is not known.
    sound_distance_m : from ball to microphone; taken off at 343 m/s (dry air, 20 degrees C).
    time_scale : true seconds in one second of the clip; the sound is slowed with the picture.
    """
    delay_s = sound_distance_m / SOUND_MPS / time_scale
    strike = choose_strike(strikes, None if around_s is None else around_s + delay_s, time_scale=time_scale)
    return None if strike is None else strike.time_s - delay_s


def measure_top_hz(samples: FloatArray, rate_hz: int, start_s: float, strike_s: float) -> float:
    """Upper edge of the highest kilohertz in which a strike stands out, Hz; 0 when it does in none.

    Sound that was slowed holds nothing above half the sampling rate of its recording times the slowing, so a strike
    that reaches far up was recorded about as fast as it plays.

    Parameters
    ----------
    samples, rate_hz, start_s : as for ``find_strikes``.
    strike_s : when the strike begins, on the same clock.

    Notes
    -----
    Power over 5.4 ms from the strike on, in bands of 1 kHz; heard where it is 10 dB above the band's median over the
    clip and less than 45 dB below the loudest band (what lies lower may be left by the codec).
    """
    n = int(_SPECTRUM_S * rate_hz)
    begin = min(max(0, round((strike_s - start_s) * rate_hz) - n // 8), max(0, len(samples) - n))
    n_bands = int(rate_hz / 2 / _BAND_WIDTH_HZ)
    whole = samples[: len(samples) // n * n].reshape(-1, n)
    noise = np.median(_band_powers(whole, rate_hz, n_bands), axis=0) if len(whole) else np.zeros(n_bands)
    struck = _band_powers(samples[None, begin : begin + n], rate_hz, n_bands)[0]
    least = np.maximum(noise * 10 ** (_HEARD_OVER_NOISE_DB / 10), struck.max() * 10 ** (-_HEARD_BELOW_LOUDEST_DB / 10))
    heard = np.flatnonzero((struck > least) & (struck > 0))
    return float(_BAND_WIDTH_HZ * (heard[-1] + 1)) if len(heard) else 0.0


def _band_powers(windows: FloatArray, rate_hz: int, n_bands: int) -> FloatArray:
    """(n_windows, n_bands) mean power of (n_windows, n) samples in bands of 1 kHz from 0 up."""
    n = windows.shape[1]
    power = np.abs(np.fft.rfft(windows * np.hanning(n), axis=1)) ** 2
    band_of = (np.fft.rfftfreq(n, 1.0 / rate_hz) / _BAND_WIDTH_HZ).astype(int)
    return np.stack([power[:, band_of == band].mean(axis=1) for band in range(n_bands)], axis=1)


def _find_onset(band: FloatArray, peak: int, rate_hz: int) -> int:
    begin = max(0, peak - int(_ONSET_BEFORE_S * rate_hz))
    around = band[begin : peak + int(_ONSET_AFTER_S * rate_hz)]
    return begin + int(np.argmax(around > _ONSET_PART * around.max()))
