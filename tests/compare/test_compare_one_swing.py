"""One swing beside a batch: the interval for one further value as written in textbooks, and how often it holds."""

import math

import numpy as np
import pytest
from scipy import stats

from review.compare import Sample
from review.compare.one_swing import put_beside, say_why_not_beside
from review.lesson import Bound, Measure

KEY = ("hip_turn_deg", "impact")
VALUES = (31.0, 35.5, 28.2, 33.1, 36.0, 30.4)


def _measure(value=33.0, own_sd=0.0, shared_sd=0.0, **more):
    return Measure("hip_turn_deg", value, "impact", own_sd=own_sd, shared_sd=shared_sd, **more)


def test_the_interval_is_that_for_one_further_value():
    beside = put_beside(KEY, _measure(), Sample(VALUES))
    half = stats.t.ppf(0.975, 5) * np.std(VALUES, ddof=1) * math.sqrt(1 + 1 / 6)
    assert (beside.low, beside.high) == pytest.approx((np.mean(VALUES) - half, np.mean(VALUES) + half))
    assert beside.could_be
    assert not put_beside(KEY, _measure(60.0), Sample(VALUES)).could_be


def test_two_cameras_and_more_measures_make_it_wider():
    plain = put_beside(KEY, _measure(), Sample(VALUES))
    cameras = put_beside(KEY, _measure(shared_sd=3.0), Sample(VALUES, shared_sd=4.0, setup="a"))
    many = put_beside(KEY, _measure(), Sample(VALUES), n_together=10)
    unsure = put_beside(KEY, _measure(own_sd=9.0), Sample(VALUES))
    width = [one.high - one.low for one in (plain, cameras, many, unsure)]
    assert min(width[1:]) > width[0]
    scatter = np.var(VALUES, ddof=1) * (1 + 1 / 6)
    df = 5 * ((scatter + 5.0**2) / scatter) ** 2
    assert width[1] == pytest.approx(2 * stats.t.ppf(0.975, df) * math.sqrt(scatter + 5.0**2))


def test_one_more_swing_is_called_another_one_time_in_twenty():
    random = np.random.default_rng(5)
    made = random.normal(30, 3, (4000, 7))
    out = [not put_beside(KEY, _measure(float(row[0])), Sample(tuple(row[1:].tolist()))).could_be for row in made]
    assert np.mean(out) == pytest.approx(0.05, abs=0.012)


def test_with_two_cameras_it_still_is_one_in_twenty():
    random = np.random.default_rng(5)
    out = []
    for _ in range(4000):
        batch, clip = random.normal(30, 2, 6) + random.normal(0, 4), random.normal(30, 2) + random.normal(0, 5)
        sample = Sample(tuple(batch.tolist()), shared_sd=4.0, setup="a")
        out.append(not put_beside(KEY, _measure(float(clip), shared_sd=5.0), sample).could_be)
    assert np.mean(out) == pytest.approx(0.05, abs=0.012)


@pytest.mark.parametrize(
    ("measure", "values", "why"),
    [
        (_measure(float("nan"), why_missing="not seen"), VALUES, "not seen"),
        (_measure(bound=Bound.AT_LEAST), VALUES, "only a bound"),
        (_measure(), (30.0,), "fewer than two swings of the batch"),
    ],
)
def test_with_too_little_nothing_is_said_but_why(measure, values, why):
    assert put_beside(KEY, measure, Sample(values)) is None
    assert why in say_why_not_beside(measure, Sample(values))
    assert say_why_not_beside(_measure(), Sample(VALUES)) == ""


def test_what_lies_outside_is_what_could_not_be_one():
    for value in (20.0, 40.0, 60.0, 90.0):
        beside = put_beside(KEY, _measure(value), Sample(VALUES))
        assert (beside.outside > 1) is not beside.could_be
