"""A clip's sound in a hitting bay: own strike or practice swing, neighbours, noise.

Levels
------
The level of a strike is its RMS over the 20 ms from its onset, all frequencies, room and microphone included.
``snr_db`` is that level over the RMS of the noise mix over the whole clip. A strike's peak lies about 15 dB above its
level. In a practice swing the level is that of the strike which is not there. Neighbours, whoosh, brushed mat and the
ball's hit on the screen come on top of the noise and are not counted in it.
"""

from dataclasses import dataclass

import numpy as np

from .noise_first import make_first_noise
from .noise_second import make_second_noise
from .struck import Floats, add_at, make_microphone, make_room, make_screen_hit, make_strike, make_swish

STRIKE_RMS = 0.02
"""Level of the own strike, full scale 1; each clip's gain scatters by 1 dB (SD) around it."""
LEVEL_OVER_S = 0.02
_GAIN_SD_DB = 1.0


@dataclass(frozen=True, eq=False)
class BaySound:
    """``samples`` (n,) in about -1..1, and the truth: onsets at the microphone, seconds from the first sample."""

    samples: Floats
    strike_s: float | None
    neighbour_s: tuple[float, ...]


def make_bay_sound(
    rng: np.random.Generator,
    duration_s: float,
    strike_s: float | None,
    snr_db: float,
    family: int,
    rate_hz: int = 48000,
    neighbours: int = 1,
    neighbour_db: float = -6.0,
) -> Floats:
    """Make the sound of one clip, (n,) samples; parameters as for ``make_bay``."""
    return make_bay(rng, duration_s, strike_s, snr_db, family, rate_hz, neighbours, neighbour_db).samples


def make_bay(
    rng: np.random.Generator,
    duration_s: float,
    strike_s: float | None,
    snr_db: float,
    family: int,
    rate_hz: int = 48000,
    neighbours: int = 1,
    neighbour_db: float = -6.0,
) -> BaySound:
    """Make the sound of one clip with its truth.

    Parameters
    ----------
    strike_s : onset of the own strike at the microphone, None = practice swing: a whoosh, at times a brushed mat.
    snr_db : level of the own strike over the noise, see the module.
    family : 1 or 2, how the noise is made. Family 2 is for tests only: nothing may be built or tuned on it.
    neighbours : how many neighbours' strikes, at random times not within 60 ms of the own.
    neighbour_db : their level beside the own strike's.
    """
    n = round(duration_s * rate_hz)
    make_noise = {1: make_first_noise, 2: make_second_noise}[family]
    room, microphone = make_room(rng, rate_hz, near=True), make_microphone(rng, rate_hz)
    own = microphone(room(make_strike(rng, rate_hz)))
    own *= STRIKE_RMS / _level(own, rate_hz)
    samples = microphone(make_noise(rng, n, rate_hz))
    samples *= STRIKE_RMS * 10 ** (-snr_db / 20) / np.sqrt(np.mean(samples**2))
    middle_s = strike_s if strike_s is not None else duration_s * rng.uniform(0.35, 0.65)
    swish = make_swish(rng, rate_hz, brushed=strike_s is None and rng.random() < 0.3)
    add_at(samples, microphone(STRIKE_RMS * swish), middle_s - len(swish) / 2 / rate_hz, rate_hz)
    if strike_s is not None:
        add_at(samples, own, strike_s, rate_hz)
        if rng.random() < 0.6:
            hit = microphone(room(make_screen_hit(rng, rate_hz)))
            hit *= STRIKE_RMS * 10 ** (rng.uniform(-14, 0) / 20) / _level(hit, rate_hz)
            add_at(samples, hit, strike_s + rng.uniform(0.05, 0.16), rate_hz)
    others_s = []
    while len(others_s) < neighbours:
        other_s = float(rng.uniform(0.05, duration_s - 0.05))
        if strike_s is not None and abs(other_s - strike_s) < 0.06:
            continue
        other = microphone(make_room(rng, rate_hz, near=False)(make_strike(rng, rate_hz)))
        add_at(samples, other * STRIKE_RMS * 10 ** (neighbour_db / 20) / _level(other, rate_hz), other_s, rate_hz)
        others_s.append(other_s)
    samples *= 10 ** (_GAIN_SD_DB * rng.standard_normal() / 20)
    return BaySound(samples, strike_s, tuple(sorted(others_s)))


def _level(sound: Floats, rate_hz: int) -> float:
    return float(np.sqrt(np.mean(sound[: round(LEVEL_OVER_S * rate_hz)] ** 2)))
