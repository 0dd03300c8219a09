"""The strike of club on ball in the sound of a clip or of a whole recording."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from review.lesson import FloatArray
from review.swing.strike_habit import StrikeHabit, learn_habit
from review.swing.strike_model import compute_certainty, rate_sounds
from review.swing.strike_search import search_blocks

SOUND_MPS = 343.0
_WITHIN_S = 0.15
_LEAST_CERTAINTY = 0.5
_LEAST_LOG_ODDS = -4.0
_SURE = 0.8
_BLOCK_S = 10.0
# Own strikes lay anywhere in about this much of the clips the odds were learnt from.
_LEARNT_RANGE_S = 2.5
_SPECTRUM_S = 0.0054
_BAND_WIDTH_HZ = 1000.0
_HEARD_OVER_NOISE_DB, _HEARD_BELOW_LOUDEST_DB = 10.0, 45.0


@dataclass(frozen=True)
class Strike:
    """A sharp sound that could be a struck ball.

    ``time_s`` its onset on the sound's clock; ``strength_db`` its level from 1.5 to 8 kHz over the median of the second
    before and after; ``level_db`` the same over full scale; ``certainty`` 0..1 that it is the player's own strike, when
    of all sounds within 3 s at most one is; ``log_odds`` natural log of its odds against no strike at all, where it is
    not known (NaN) that of its certainty.
    """

    time_s: float
    strength_db: float
    certainty: float
    level_db: float = np.nan
    log_odds: float = np.nan


def find_strikes(samples: FloatArray, rate_hz: int, start_s: float, time_scale: float = 1.0) -> tuple[Strike, ...]:
    """Find sharp sounds that could be a struck ball, in order of time; those in mere noise have a certainty near 0.

    Parameters
    ----------
    samples : (n,) one channel, full scale 1.
    rate_hz : samples a second.
    start_s : time of the first sample.
    time_scale : true seconds in one second of the sound.
    """
    n = round(_BLOCK_S * rate_hz)
    return find_strikes_in_blocks((samples[i : i + n] for i in range(0, len(samples), n)), rate_hz, start_s, time_scale)


def find_strikes_in_blocks(
    blocks: Iterable[FloatArray], rate_hz: int, start_s: float, time_scale: float = 1.0
) -> tuple[Strike, ...]:
    """Do the same for sound that comes in blocks of any length, one after the other; some 23 s are held at a time.

    Notes
    -----
    Candidates begin at once in two bands above 1.5 kHz (``strike_bands``); the onset is where a linear predictor of the
    sound before it fails (``strike_onset``); the odds are a logistic model of attack, decay, spectrum and surroundings
    (``strike_shape``, ``strike_model``), learnt from made-up sound.
    """
    sounds = search_blocks(blocks, rate_hz / time_scale)
    log_odds, certainty = rate_sounds(sounds)
    return tuple(
        Strike(
            time_s=start_s + float(sounds.time_s[i]) / time_scale,
            strength_db=float(sounds.strength_db[i]),
            certainty=float(certainty[i]),
            level_db=float(sounds.level_db[i]),
            log_odds=float(log_odds[i]),
        )
        for i in np.flatnonzero(log_odds >= _LEAST_LOG_ODDS)
    )


def choose_strike(
    strikes: Sequence[Strike],
    around_s: float | None = None,
    within_s: float = _WITHIN_S,
    time_scale: float = 1.0,
    habit: StrikeHabit | None = None,
    least_certainty: float = _LEAST_CERTAINTY,
) -> Strike | None:
    """Choose the player's own strike in a clip, with its certainty in view of all that is known.

    None when nothing was heard that is certain enough, or nothing near ``around_s``: a neighbour's strike is not ours.

    Parameters
    ----------
    around_s : presentation time at which the body suggests the strike.
    within_s : true seconds to each side of it.
    time_scale : true seconds in one second of the clip.
    habit : where this camera's other clips have the strike, and how loud.
    """
    near = [s for s in strikes if around_s is None or abs(s.time_s - around_s) <= within_s / time_scale]
    if not near:
        return None
    gains = np.zeros(len(near))
    if around_s is not None:
        gains += max(0.0, np.log(_LEARNT_RANGE_S / (2 * within_s)))
    if habit is not None:
        gains += [habit.compute_gain(s.time_s, s.level_db) for s in near]
    log_odds = np.array([_odds(s) for s in near]) + gains
    certainty = compute_certainty(np.array([s.time_s for s in near]) * time_scale, log_odds)
    best = int(np.argmax(log_odds))
    if certainty[best] < least_certainty:
        return None
    return replace(near[best], certainty=float(certainty[best]))


def choose_together(clips: Sequence[Sequence[Strike]], time_scale: float = 1.0) -> list[Strike | None]:
    """Choose the own strike of each of one camera's clips by the habit that its sure ones (0.8 and more) show.

    Where fewer than five are sure, each is chosen by itself: a habit learnt from doubtful ones misleads.

    Parameters
    ----------
    clips : the strikes of each clip, on its own clock from the first frame.
    """
    alone = [choose_strike(strikes, time_scale=time_scale) for strikes in clips]
    sure = [s for s in alone if s is not None and s.certainty >= _SURE]
    habit = learn_habit([s.time_s for s in sure], [s.level_db for s in sure])
    if habit is None:
        return alone
    return [choose_strike(strikes, time_scale=time_scale, habit=habit) for strikes in clips]


def _odds(strike: Strike) -> float:
    if np.isfinite(strike.log_odds):
        return strike.log_odds
    return float(np.log(max(strike.certainty, 1e-9) / max(1.0 - strike.certainty, 1e-9)))


def time_strike(
    strikes: Sequence[Strike],
    around_s: float | None = None,
    sound_distance_m: float = 0.0,
    time_scale: float = 1.0,
) -> float | None:
    """Presentation time at which the player's own strike left the ball, None when it was not heard.

    Parameters
    ----------
    around_s : presentation time of impact as the body suggests it, None where it is not known.
    sound_distance_m : from ball to microphone; taken off at 343 m/s (dry air, 20 degrees C).
    time_scale : true seconds in one second of the clip; the sound is slowed with the picture.
    """
    delay_s = sound_distance_m / SOUND_MPS / time_scale
    around = None if around_s is None else around_s + delay_s
    strike = choose_strike(strikes, around, time_scale=time_scale)
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
