"""Strike, practice swing, screen, room and microphone.

Published: a loud driver's sound peaks at 2-3 kHz (Roberts et al. 2005, J Sound Vib 287:651-666); contact lasts about
0.45 ms (Roberts, Jones, Rothberg 2001, Sports Eng 4:191-203). Everything else (modes of irons, damping, rooms) is
chosen wide, no source.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, fftconvolve, sosfilt

Floats = NDArray[np.float64]
Effect = Callable[[Floats], Floats]
_STRIKE_S, _TAIL_S = 0.12, 0.35


def add_at(samples: Floats, sound: Floats, at_s: float, rate_hz: int) -> None:
    """Add ``sound`` in place, its first sample nearest to ``at_s``; what lies outside is cut off."""
    begin = round(at_s * rate_hz)
    first, last = max(0, begin), min(len(samples), begin + len(sound))
    if last > first:
        samples[first:last] += sound[first - begin : last - begin]


def filtered(sound: Floats, band_hz: tuple[float, float], rate_hz: int, order: int = 2) -> Floats:
    """Causal band-pass; edges outside the band of the rate are pulled in."""
    edges = (max(band_hz[0], 10.0), min(band_hz[1], 0.48 * rate_hz))
    out: Floats = sosfilt(butter(order, edges, "bandpass", fs=rate_hz, output="sos"), sound)
    return out


def make_strike(rng: np.random.Generator, rate_hz: int, club: str | None = None) -> Floats:
    """Dry strike: a half-sine blow of 0.4-0.5 ms rings a head's modes; a crack, and for irons the mat.

    ``club`` driver, iron or wedge; drawn where it is not given.
    """
    t = np.arange(round(_STRIKE_S * rate_hz)) / rate_hz
    club = club or str(rng.choice(["driver", "iron", "wedge"]))
    if club == "driver":
        modes_hz = np.r_[rng.uniform(2000, 3000), rng.uniform(2800, 9000, rng.integers(0, 7))]
        decays_s = rng.uniform(0.004, 0.015, len(modes_hz))
        gains = np.r_[1.0, rng.uniform(0.1, 0.7, len(modes_hz) - 1)]
    else:
        modes_hz = rng.uniform(1500, 10000, rng.integers(3, 8))
        decays_s = rng.uniform(0.001, 0.006, len(modes_hz))
        gains = rng.uniform(0.2, 1.0, len(modes_hz))
    blow = np.sin(np.pi * np.arange(max(3, round(rng.uniform(0.4e-3, 0.5e-3) * rate_hz))) / (0.45e-3 * rate_hz))
    blow = np.maximum(blow, 0.0)
    ring = sum(
        g * np.exp(-t / d) * np.sin(2 * np.pi * f * t) for f, d, g in zip(modes_hz, decays_s, gains, strict=True)
    )
    struck = np.convolve(ring, blow)[: len(t)]
    crack = filtered(rng.standard_normal(len(t)), (1000, 12000), rate_hz)
    crack *= np.exp(-t / rng.uniform(0.6e-3, 2e-3)) * np.minimum(1.0, t / 0.3e-3)
    struck = struck / np.abs(struck).max() + 10 ** rng.uniform(-1.7, -0.3) * crack / np.abs(crack).max()
    if club != "driver":
        later = np.maximum(0.0, t - rng.uniform(0.0005, 0.002))
        thud = filtered(rng.standard_normal(len(t)), (120, 600), rate_hz)
        thud *= np.exp(-later / rng.uniform(0.008, 0.02)) * np.minimum(1.0, later / 0.002)
        struck += rng.uniform(0.05, 0.4) * thud / np.abs(thud).max()
    # heads, balls and where the camera stands: brighter or duller by some dB
    dull = sosfilt(butter(1, rng.uniform(1500, 4000), fs=rate_hz, output="sos"), struck)
    return np.asarray(struck + rng.uniform(-0.7, 3.0) * dull)


def make_swish(rng: np.random.Generator, rate_hz: int, brushed: bool) -> Floats:
    """Whoosh of the club, loudest in the middle, 20 to 8 dB below the strike's level 1; mat brushed there."""
    n = round(0.5 * rate_hz)
    t = np.arange(n) / rate_hz - 0.25
    swish = filtered(rng.standard_normal(n), (rng.uniform(200, 500), rng.uniform(1200, 3000)), rate_hz)
    swish *= np.exp(-0.5 * (t / rng.uniform(0.04, 0.08)) ** 2)
    swish *= 10 ** (rng.uniform(-20, -8) / 20) / np.sqrt(np.mean(swish[np.abs(t) < 0.01] ** 2))
    if brushed:
        rise_s, fall_s = rng.uniform(0.003, 0.01), rng.uniform(0.01, 0.03)
        brush = filtered(rng.standard_normal(n), (150, rng.uniform(2000, 6000)), rate_hz)
        brush *= np.where(t < 0, np.exp(t / rise_s), np.exp(-np.maximum(t, 0) / fall_s))
        swish += brush * 10 ** (rng.uniform(-14, -4) / 20) / np.sqrt(np.mean(brush[np.abs(t) < 0.01] ** 2))
    return np.asarray(swish)


def make_screen_hit(rng: np.random.Generator, rate_hz: int) -> Floats:
    """The ball's hit on net or screen: dull, some 30 ms."""
    t = np.arange(round(_STRIKE_S * rate_hz)) / rate_hz
    hit = filtered(rng.standard_normal(len(t)), (60, rng.uniform(400, 1500)), rate_hz)
    return np.asarray(hit * np.exp(-t / rng.uniform(0.012, 0.04)) * np.minimum(1.0, t / 0.002))


def make_room(rng: np.random.Generator, rate_hz: int, near: bool) -> Effect:
    """Direct sound, a few early echoes, a decaying tail; a neighbour's comes duller and with more room."""
    n = round(_TAIL_S * rate_hz)
    t = np.arange(n) / rate_hz
    response = np.zeros(n)
    tail = rng.standard_normal(n) * np.exp(-6.9 * t / rng.uniform(0.15, 0.6)) * np.minimum(1.0, t / 0.006)
    response += tail * 10 ** (rng.uniform(-20, -8 if near else -2) / 20) / np.sqrt(np.sum(tail**2))
    for echo_s in rng.uniform(0.0015, 0.03, rng.integers(3, 8)):
        response[round(echo_s * rate_hz)] += rng.choice([-1, 1]) * rng.uniform(0.1, 0.5)
    response[0] = 1.0 if near else rng.uniform(0.5, 1.0)
    dull = None if near else butter(1, min(rng.uniform(3000, 9000), 0.45 * rate_hz), fs=rate_hz, output="sos")

    def play(sound: Floats) -> Floats:
        heard = fftconvolve(sound, response)
        return np.asarray(heard if dull is None else sosfilt(dull, heard))

    return play


def make_microphone(rng: np.random.Generator, rate_hz: int) -> Effect:
    """What a camera's microphone passes: from 50-200 Hz to 5-20 kHz."""
    low_hz, high_hz = rng.uniform(50, 200), 5000 * 4 ** rng.random()

    def record(sound: Floats) -> Floats:
        return filtered(sound, (low_hz, high_hz), rate_hz, order=1)

    return record
