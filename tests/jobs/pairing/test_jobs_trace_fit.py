"""A pressure trace of another lesson, another day or without a clock is told, and how many recordings fit."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from review.app.language import speak
from review.app.sentences import say_sentences
from review.jobs.pairing.matching import match_lesson
from review.jobs.pairing.trace_fit import say_other_day
from review.lesson import Shot
from review.pressure import PressureRecord

BEGAN = datetime(2026, 3, 14, 10, 0)
EACH_S = (0, 61, 125, 202, 260, 333)
SHOTS = [
    Shot(f"s{i}", i, "shots.csv", struck_at=BEGAN + timedelta(seconds=at_s)) for i, at_s in enumerate(EACH_S, start=1)
]


def record(each_s=EACH_S, began=BEGAN):
    """Recordings of 6 s, 50 samples a second, each with one fast move in its middle."""
    one = np.arange(-3, 3, 0.02)
    time_s = np.concatenate([at_s + one for at_s in each_s]) - each_s[0] + 3
    x = np.tile(10 * np.tanh(one / 0.1), len(each_s))
    started_at = began + timedelta(seconds=each_s[0] - 3)
    return PressureRecord("mat.csv", "0" * 64, started_at, time_s, np.column_stack([x, 0 * x]))


def match(trace):
    return match_lesson((), SHOTS, (), (trace,))


def test_where_all_fit_nothing_is_said():
    matched = match(record())
    assert all(swing.trace for swing in matched.swings)
    assert matched.notes == matched.refused == ()


def test_how_many_lie_beside_shots_is_told():
    matched = match(record((*EACH_S[:4], 400, 470)))
    assert [bool(swing.trace) for swing in matched.swings] == [True] * 4 + [False] * 2
    assert matched.notes == (
        "mat.csv: 6 recordings from 09:59:57 to 10:07:52 beside 6 shots from 10:00:00 to 10:05:33; "
        "2 shots without one; 2 recordings of no shot.",
    )


@pytest.mark.parametrize(
    ("trace", "why"),
    [
        (
            record((18000, 18100)),
            "found 2 recordings from 14:59:57 to 15:01:42 beside 6 swings from 10:00:00 to 10:05:33; check",
        ),
        (record(began=BEGAN + timedelta(days=1)), "the lesson's day, 2026-03-14, found one of 2026-03-15; check"),
        (record(began=BEGAN - timedelta(days=30)), "the lesson's day, 2026-03-14, found one of 2026-02-12; check that"),
        (replace(record(), started_at=None), "expected a time of day, found none; give that of its first sample"),
    ],
)
def test_what_is_not_of_the_lesson_is_asked_and_hangs_on_no_swing(trace, why):
    matched = match(trace)
    assert why in matched.refused[0]
    assert not any(swing.trace for swing in matched.swings)
    assert matched.notes == ()
    speak("de")
    try:
        german = say_sentences(matched.refused[0])
    finally:
        speak("en")
    assert "erwartet" in german
    assert "expected" not in german
    assert "check that" not in german


def test_an_evening_that_ends_after_midnight_is_one_lesson():
    evening = [datetime(2026, 3, 14, 23, 50), datetime(2026, 3, 15, 0, 20)]
    assert say_other_day(record(began=datetime(2026, 3, 15, 0, 10)), evening[:1]) == ""
    assert say_other_day(record(began=datetime(2026, 3, 14, 23, 40)), evening[1:]) != ""
    assert say_other_day(record((0, 3600), datetime(2026, 3, 14, 23, 40)), evening[1:]) == ""
