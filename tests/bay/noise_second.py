"""Second family of noise, made on other principles and never built or tuned on.

Spectra with random phase, grains, frequency and amplitude modulation: gusts, tremolo chords with hi-hats, talk of
grains, birds; events: claps, a dropped club, a door.
"""

import numpy as np

from .struck import Floats, add_at, make_room


def make_second_noise(rng: np.random.Generator, n: int, rate_hz: int) -> Floats:
    """(n,) noise of any scale: gusts always, talk, chords, birds and events in part of the clips."""
    noise = _scaled(_gusts(rng, n, rate_hz), rng.uniform(-15, 0))
    if rng.random() < 0.6:
        noise += _scaled(_grain_talk(rng, n, rate_hz), rng.uniform(-6, 3))
    if rng.random() < 0.5:
        noise += _scaled(_tremolo(rng, n, rate_hz), rng.uniform(-10, 3))
    if rng.random() < 0.4:
        noise += _scaled(_birds(rng, n, rate_hz), rng.uniform(-20, -5))
    noise = _scaled(noise, 0.0)
    for chance, make_event, most in ((0.4, _clap, 4.0), (0.3, _dropped_club, 4.0), (0.3, _door, 4.0)):
        if rng.random() < chance:
            event = make_room(rng, rate_hz, near=rng.random() < 0.5)(make_event(rng, rate_hz))
            event *= rng.uniform(1.0, most) / np.abs(event).max()
            add_at(noise, event, rng.uniform(-0.1, n / rate_hz), rate_hz)
    return noise


def _scaled(sound: Floats, level_db: float) -> Floats:
    return np.asarray(sound * 10 ** (level_db / 20) / max(np.sqrt(np.mean(sound**2)), 1e-12))


def _shaped(rng: np.random.Generator, n: int, rate_hz: int, centre_hz: float, octaves: float) -> Floats:
    """Random phases under a bell on the octave axis; peak 1."""
    hz = np.fft.rfftfreq(n, 1 / rate_hz)
    bell = np.exp(-0.5 * (np.log2(np.maximum(hz, 1.0) / centre_hz) / octaves) ** 2)
    sound = np.fft.irfft(bell * np.exp(2j * np.pi * rng.random(len(hz))), n)
    return np.asarray(sound / max(np.abs(sound).max(), 1e-12))


def _gusts(rng: np.random.Generator, n: int, rate_hz: int) -> Floats:
    """Wind: low noise that swells at random within seconds, over a steady hiss."""
    knots = np.exp(rng.normal(0, 0.8, max(4, round(n / rate_hz * 3))))
    swell = np.interp(np.linspace(0, len(knots) - 1, n), np.arange(len(knots)), knots)
    wind = _shaped(rng, n, rate_hz, rng.uniform(60, 300), rng.uniform(0.7, 1.5))
    hiss = _shaped(rng, n, rate_hz, rng.uniform(1500, 6000), 1.5)
    return np.asarray(wind * swell + rng.uniform(0.02, 0.3) * hiss)


def _grain_talk(rng: np.random.Generator, n: int, rate_hz: int) -> Floats:
    """Each pitch period is a grain of damped formant waves; consonants are grains of shaped noise."""
    talk = np.zeros(n)
    grain_t = np.arange(round(0.02 * rate_hz)) / rate_hz
    at_s = -rng.random()
    while at_s < n / rate_hz:
        if rng.random() < 0.5:
            length = round(rng.uniform(0.008, 0.09) * rate_hz)
            consonant = _shaped(rng, length, rate_hz, rng.uniform(1200, 6000), rng.uniform(0.3, 0.9))
            fall = np.exp(-np.arange(length) / length * rng.uniform(2, 7))
            rise = np.minimum(1.0, np.arange(length) / (rng.uniform(0.0005, 0.02) * rate_hz))
            add_at(talk, rng.uniform(0.1, 0.8) * consonant * fall * rise, at_s, rate_hz)
            at_s += rng.uniform(0.01, 0.08)
        formants = [(rng.uniform(300, 800), 1.0), (rng.uniform(900, 2300), 0.4), (rng.uniform(2400, 3500), 0.15)]
        grain = sum(g * np.exp(-grain_t * 280) * np.sin(2 * np.pi * f * grain_t) for f, g in formants)
        grain = grain * (1 - np.exp(-grain_t * 2000))
        until_s, period_s = at_s + rng.uniform(0.1, 0.3), 1 / rng.uniform(90, 240)
        begin_s = at_s
        while at_s < until_s:
            loud = np.sin(np.pi * (at_s - begin_s + 0.01) / (until_s - begin_s + 0.02))
            add_at(talk, loud * grain, at_s, rate_hz)
            at_s += period_s * rng.uniform(0.97, 1.03)
        at_s += rng.choice([0.0, rng.uniform(0.2, 0.9)], p=[0.85, 0.15])
    return talk


def _tremolo(rng: np.random.Generator, n: int, rate_hz: int) -> Floats:
    """Frequency-modulated chords under tremolo, hi-hats of beating square waves."""
    t = np.arange(n) / rate_hz
    chords = np.zeros(n)
    for pitch_hz in rng.uniform(120, 900, 4):
        wobble = rng.uniform(0.5, 4.0) * np.sin(2 * np.pi * pitch_hz * rng.choice([1, 2, 1.5]) * t)
        chords += np.sin(2 * np.pi * pitch_hz * t + wobble)
    chords *= (1 + rng.uniform(0.3, 1.0) * np.sin(2 * np.pi * rng.uniform(2, 9) * t)) / 4
    step_s = 60 / rng.uniform(80, 140) / 2
    hat_t = np.arange(round(0.15 * rate_hz)) / rate_hz
    loud = rng.uniform(0, 1.0)
    for at_s in np.arange(-rng.random() * step_s, n / rate_hz, step_s):
        beating = sum(np.sign(np.sin(2 * np.pi * (f * hat_t + rng.random()))) for f in rng.uniform(3000, 9500, 6))
        hat = np.diff(beating, prepend=0.0) * np.exp(-hat_t / rng.choice([0.012, 0.05]))
        add_at(chords, loud * 0.1 * hat, at_s, rate_hz)
    return chords


def _birds(rng: np.random.Generator, n: int, rate_hz: int) -> Floats:
    birds = np.zeros(n)
    for at_s in rng.uniform(0, n / rate_hz, 1 + rng.poisson(2 * n / rate_hz)):
        t = np.arange(round(rng.uniform(0.03, 0.15) * rate_hz)) / rate_hz
        sweep_hz = rng.uniform(2500, 6000) + rng.uniform(-12000, 12000) * t
        chirp = np.sin(2 * np.pi * np.cumsum(sweep_hz) / rate_hz) * np.sin(np.pi * t / t[-1]) ** 2
        add_at(birds, rng.uniform(0.3, 1.0) * chirp, at_s, rate_hz)
    return birds


def _clap(rng: np.random.Generator, rate_hz: int) -> Floats:
    """One to six claps of two hands, each around 1-2.5 kHz and a few milliseconds long."""
    claps = np.zeros(round(2.0 * rate_hz))
    gap_s = rng.uniform(0.2, 0.4)
    for i in range(rng.integers(1, 7)):
        length = round(0.1 * rate_hz)
        t = np.arange(length) / rate_hz
        hands = _shaped(rng, length, rate_hz, rng.uniform(1000, 2500), rng.uniform(0.4, 0.9))
        shape = np.exp(-t / rng.uniform(0.003, 0.009))
        add_at(claps, rng.uniform(0.7, 1.0) * hands * shape, i * gap_s * rng.uniform(0.95, 1.05), rate_hz)
    return claps


def _dropped_club(rng: np.random.Generator, rate_hz: int) -> Floats:
    """A club that falls and bounces: shaft and head ring long."""
    dropped = np.zeros(round(1.5 * rate_hz))
    modes_hz, rings_s = rng.uniform(400, 6000, 7), rng.uniform(0.02, 0.15, 7)
    t = np.arange(round(0.4 * rate_hz)) / rate_hz
    at_s, gap_s, loud = 0.0, rng.uniform(0.1, 0.3), 1.0
    while gap_s > 0.02:
        ring = sum(
            rng.random() * np.exp(-t / d) * np.sin(2 * np.pi * f * t) for f, d in zip(modes_hz, rings_s, strict=True)
        )
        add_at(dropped, loud * ring, at_s, rate_hz)
        at_s, gap_s, loud = at_s + gap_s, 0.6 * gap_s, 0.6 * loud
    return dropped


def _door(rng: np.random.Generator, rate_hz: int) -> Floats:
    """A slam and its latch."""
    door = np.zeros(round(0.8 * rate_hz))
    t = np.arange(round(0.4 * rate_hz)) / rate_hz
    slam = _shaped(rng, len(t), rate_hz, rng.uniform(80, 250), 1.0) * np.exp(-t / rng.uniform(0.04, 0.1))
    add_at(door, slam, 0.02, rate_hz)
    for at_s in (0.0, rng.uniform(0.03, 0.15)):
        latch = _shaped(rng, round(0.03 * rate_hz), rate_hz, rng.uniform(1500, 4000), 0.7)
        add_at(door, rng.uniform(0.1, 0.8) * latch * np.exp(-np.arange(len(latch)) / (0.004 * rate_hz)), at_s, rate_hz)
    return door
