"""First family of noise: filtered pulses and noise (talk), plucked chords and drums, ball tray, hum, fans."""

from collections.abc import Callable

import numpy as np
from scipy.signal import lfilter

from .struck import Floats, add_at, filtered, make_room


def make_first_noise(rng: np.random.Generator, n: int, rate_hz: int) -> Floats:
    """(n,) noise of any scale: fan and hum always, talk, music and the ball tray in most clips."""
    noise = _unit(_fan(rng, n)) * 10 ** (rng.uniform(-20, -3) / 20)
    noise += _unit(_hum(rng, n, rate_hz)) * 10 ** (rng.uniform(-30, -6) / 20)
    if rng.random() < 0.7:
        noise += _unit(_talk(rng, n, rate_hz)) * 10 ** (rng.uniform(-6, 3) / 20)
    if rng.random() < 0.6:
        noise += _unit(_music(rng, n, rate_hz)) * 10 ** (rng.uniform(-10, 3) / 20)
    noise = _unit(noise)
    if rng.random() < 0.6:
        noise += make_room(rng, rate_hz, near=rng.random() < 0.5)(_ball_tray(rng, n, rate_hz))[:n]
    return noise


def _unit(sound: Floats) -> Floats:
    return np.asarray(sound / max(np.sqrt(np.mean(sound**2)), 1e-12))


def _fan(rng: np.random.Generator, n: int) -> Floats:
    """Noise that falls by 0 to 6 dB an octave."""
    spectrum = np.fft.rfft(rng.standard_normal(n))
    spectrum /= np.maximum(np.arange(len(spectrum)), 1) ** rng.uniform(0.0, 1.0)
    return np.asarray(np.fft.irfft(spectrum, n))


def _hum(rng: np.random.Generator, n: int, rate_hz: int) -> Floats:
    t = np.arange(rate_hz) / rate_hz
    mains_hz = rng.choice([50.0, 60.0])
    tones = [rng.random() / k * np.sin(2 * np.pi * (mains_hz * k * t + rng.random())) for k in range(1, 8)]
    return np.resize(np.asarray(sum(tones)), n)  # whole periods in each second


def _talk(rng: np.random.Generator, n: int, rate_hz: int) -> Floats:
    """Syllables of a pulse train through three formants, hissing and stop consonants, pauses."""
    talk = np.zeros(n)
    voice_hz = rng.uniform(85, 230)
    at_s, end_s = -rng.random(), n / rate_hz
    while at_s < end_s:
        consonant = rng.choice(["stop", "hiss", "none"], p=[0.45, 0.25, 0.3])
        loud = rng.uniform(0.5, 1.0)
        if consonant == "stop":
            add_at(talk, loud * rng.uniform(0.3, 2.0) * _stop(rng, rate_hz), at_s, rate_hz)
            at_s += rng.uniform(0.01, 0.06)
        elif consonant == "hiss":
            length_s = rng.uniform(0.05, 0.14)
            hiss = filtered(rng.standard_normal(round(length_s * rate_hz)), (rng.uniform(2500, 4500), 9000), rate_hz)
            add_at(talk, loud * rng.uniform(0.1, 0.6) * _unit(hiss) * np.hanning(len(hiss)), at_s, rate_hz)
            at_s += 0.8 * length_s
        length_s = rng.uniform(0.08, 0.25)
        add_at(talk, loud * _vowel(rng, voice_hz * rng.uniform(0.85, 1.2), length_s, rate_hz), at_s, rate_hz)
        at_s += length_s + (rng.uniform(0.2, 1.0) if rng.random() < 0.12 else rng.uniform(0.0, 0.06))
    return talk


def _stop(rng: np.random.Generator, rate_hz: int) -> Floats:
    """Burst of a stop consonant: p low, t high, k between; breath after it."""
    n = round(0.06 * rate_hz)
    t = np.arange(n) / rate_hz
    centre_hz = rng.choice([900.0, 2000.0, 3800.0]) * rng.uniform(0.8, 1.25)
    burst = _unit(filtered(rng.standard_normal(n), (0.6 * centre_hz, 1.7 * centre_hz), rate_hz))
    breath = _unit(filtered(rng.standard_normal(n), (800, 6000), rate_hz))
    shape = np.minimum(1.0, t / rng.uniform(0.0005, 0.003)) * np.exp(-t / rng.uniform(0.003, 0.01))
    return np.asarray(burst * shape + rng.uniform(0, 0.3) * breath * np.minimum(1, t / 0.01) * np.exp(-t / 0.02))


def _vowel(rng: np.random.Generator, voice_hz: float, length_s: float, rate_hz: int) -> Floats:
    n = round(length_s * rate_hz)
    pitch_hz = voice_hz * (1 + 0.1 * rng.standard_normal() * np.linspace(-1, 1, n))
    phase = np.cumsum(pitch_hz) / rate_hz
    pulses = np.diff(np.floor(phase), prepend=0.0) + 0.02 * rng.standard_normal(n)
    vowel = np.zeros(n)
    for low_hz, high_hz, gain in ((280, 850, 1.0), (850, 2400, 0.5), (2300, 3300, 0.2), (3300, 4500, 0.08)):
        pole = np.exp((-np.pi * rng.uniform(60, 160) + 2j * np.pi * rng.uniform(low_hz, high_hz)) / rate_hz)
        vowel += gain * _unit(lfilter([1.0], np.poly([pole, pole.conj()]).real, pulses))
    return np.asarray(vowel * np.hanning(n) ** 0.5)


def _music(rng: np.random.Generator, n: int, rate_hz: int) -> Floats:
    """Plucked chords on the beat (one string, played faster for higher notes), kick and snare."""
    music = np.zeros(n)
    beat_s = 60.0 / rng.uniform(80, 140)
    drums = rng.uniform(0.0, 1.5)
    string_s, root_hz = 1.2, 110.0 * 2 ** (rng.integers(0, 12) / 12)
    t = np.arange(round(string_s * rate_hz)) / rate_hz
    string = sum(
        np.sin(2 * np.pi * (k * root_hz * t + rng.random())) * np.exp(-t * k / rng.uniform(0.4, 1.5)) / k
        for k in range(1, 9)
    )
    string = 0.15 * string * np.minimum(1, t / 0.004)
    at_s, beat = -rng.random() * 2, 0
    while at_s < n / rate_hz:
        chord = rng.integers(0, 8)
        for step in (0, rng.choice([3, 4]), 7, 12):
            speed = 2 ** ((chord + step) / 12)
            note = string[(np.arange(int(len(string) / speed)) * speed).astype(int)]
            add_at(music, note[: round(1.5 * beat_s * rate_hz)], at_s, rate_hz)
        drum: Callable[[np.random.Generator, int], Floats] = _kick if beat % 2 == 0 else _snare
        add_at(music, drums * rng.uniform(0.7, 1.0) * drum(rng, rate_hz), at_s, rate_hz)
        at_s += beat_s / rng.choice([1, 1, 2])
        beat += 1
    return music


def _kick(rng: np.random.Generator, rate_hz: int) -> Floats:
    t = np.arange(round(0.25 * rate_hz)) / rate_hz
    sweep = np.sin(2 * np.pi * np.cumsum(50 + 90 * np.exp(-t / 0.03)) / rate_hz) * np.exp(-t / 0.08)
    beater = filtered(rng.standard_normal(len(t)), (1500, 6000), rate_hz) * np.exp(-t / 0.003)
    return np.asarray(sweep + rng.uniform(0, 0.3) * beater)


def _snare(rng: np.random.Generator, rate_hz: int) -> Floats:
    t = np.arange(round(0.25 * rate_hz)) / rate_hz
    wires = filtered(rng.standard_normal(len(t)), (1000, 9000), rate_hz) * np.exp(-t / rng.uniform(0.03, 0.09))
    skin = np.sin(2 * np.pi * rng.uniform(160, 240) * t) * np.exp(-t / 0.04)
    return np.asarray((wires + 0.7 * skin) * np.minimum(1, t / 0.0007))


def _ball_tray(rng: np.random.Generator, n: int, rate_hz: int) -> Floats:
    """Balls that knock against each other, alone and poured; peaks of one to six times the RMS of the other noise."""
    tray = np.zeros(n)
    times_s = list(rng.uniform(0, n / rate_hz, rng.poisson(1.5 * n / rate_hz / 3)))
    if rng.random() < 0.5:
        times_s += list(rng.uniform(0, n / rate_hz) + np.cumsum(rng.exponential(0.05, rng.integers(5, 40))))
    loud = rng.uniform(1.0, 3.0)
    for at_s in times_s:
        t = np.arange(round(0.02 * rate_hz)) / rate_hz
        knock = sum(
            g * np.exp(-t / rng.uniform(0.0003, 0.0015)) * np.sin(2 * np.pi * f * t)
            for f, g in zip(rng.uniform(2000, 8000, 3), rng.uniform(0.3, 1, 3), strict=True)
        )
        add_at(tray, loud * rng.uniform(0.3, 2.0) * knock / np.abs(knock).max(), at_s, rate_hz)
    return tray
