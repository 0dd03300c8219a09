"""Force and body put together: a mass on closed-form springs, and the sample lesson's landmarks against its truth."""

import json
from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest

from review.body.mass_centre import find_mass_height
from review.pressure import read_trace_table
from review.sync.force_lag import find_force_lag
from tests.jobs.resounded import CLIPS, landmarks, true_impact_s

SAMPLE = Path(__file__).parents[2] / "sample_clips"


def bounce_cm(t):
    """A height over time and its second derivative, both in closed form: two dips of their own width."""
    total, second = np.zeros_like(t), np.zeros_like(t)
    for at, width, depth in ((-0.15, 0.10, -6.0), (0.05, 0.07, 5.0), (-0.7, 0.2, -3.0)):
        u = (t - at) / width
        bell = depth * np.exp(-(u**2) / 2)
        total, second = total + bell, second + bell * (u**2 - 1) / width**2
    return total, second


def made(impact_s=2.3, rate_hz=100.0, noise=0.0, frames_hz=60.0):
    t = np.arange(-1.5, 0.8, 1 / frames_hz)
    height, _ = bounce_cm(t)
    force_s = np.arange(0.0, 4.0, 1 / rate_hz)
    _, rising_cm_s2 = bounce_cm(force_s - impact_s)
    force = 70 * (9.81 + rising_cm_s2 / 100)  # newtons of a body of 70 kg
    rng = np.random.default_rng(2)
    return t, height + noise * rng.standard_normal(len(t)), force_s, force + 5 * rng.standard_normal(len(force))


@pytest.mark.parametrize("impact_s", [1.9, 2.3, 2.4567])
def test_a_mass_that_bounces_is_placed_to_milliseconds(impact_s):
    found = find_force_lag(*made(impact_s, noise=0.1), 1.8, 2.8)
    assert not found.refused
    assert found.impact_s == pytest.approx(impact_s, abs=0.004)
    assert found.correlation > 0.8


def test_a_force_of_another_movement_is_refused():
    t, height, force_s, _ = made()
    slow = 600 + 200 * np.sin(2 * np.pi * 0.4 * force_s)
    assert find_force_lag(t, height, force_s, slow, 1.5, 3.0).refused == "the force does not follow the body"


def test_two_places_that_fit_alike_are_refused():
    t, height, force_s, force = made(1.6)
    twice = force + made(2.8)[3] - 70 * 9.81
    assert "fit the body alike" in find_force_lag(t, height, force_s, twice, 1.2, 3.2).refused


def test_what_is_too_little_is_refused():
    t, height, force_s, force = made()
    few = find_force_lag(t[:12], height[:12], force_s[:11], force[:11], 0.0, 1.0)
    assert few.refused == "the trace does not cover the swing"
    assert find_force_lag(t, np.full_like(height, np.nan), force_s, force, 1, 3).refused
    assert "does not cover" in find_force_lag(t, height, force_s, force, 20.0, 21.0).refused


@pytest.mark.parametrize("view", list(CLIPS))
def test_a_clip_of_the_sample_lesson_is_placed_within_15_ms(view):
    name = CLIPS[view]
    shots = json.loads((SAMPLE / "truth.json").read_text())["shots"]
    shot = next(s for s in shots if f"clips/{name}" in s["clips"])
    record = read_trace_table(SAMPLE / "pressure.csv", on_date=date(2026, 3, 14))
    struck = datetime.fromisoformat(f"2026-03-14T{shot['impact_device_clock']}")
    true_s = (struck - record.started_at).total_seconds()
    track = landmarks(view)
    inside = np.abs(record.time_s - true_s) < 2.0
    second = np.floor(true_s)
    found = find_force_lag(
        track.time_s - true_impact_s(view),
        find_mass_height(track),
        record.time_s[inside],
        record.force_n[inside],
        second - 0.5,
        second + 1.5,
    )
    assert not found.refused
    assert found.impact_s == pytest.approx(true_s, abs=0.015)
