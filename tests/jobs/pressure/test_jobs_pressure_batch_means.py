"""Means of a batch's pressure: Student's interval against scipy, and what the fastest move cannot tell."""

import math

import numpy as np
import pytest
from scipy import stats

from review.jobs.pressure.batch_means import average, average_pressure
from review.jobs.pressure.impact_in_trace import BY_FORCE, BY_MOVE, PlacedInTime
from review.jobs.pressure.measuring import SwingPressure
from review.lesson import Measure, Swing
from review.pressure import MatPlacement, lay_path

VALUES = (60.0, 64.0, 71.0, 58.0)


def measured(values=VALUES, own_sd=1.0, shared_sd=0.0):
    return [Measure("pressure_position_pct", v, "impact", own_sd=own_sd, shared_sd=shared_sd) for v in values]


def test_the_interval_is_students_and_never_narrower_than_the_readings_make_it():
    mean, half = average(measured())
    low, high = stats.t.interval(0.9, 3, loc=np.mean(VALUES), scale=stats.sem(VALUES))
    assert (mean - half, mean + half) == pytest.approx((low, high))
    assert average(measured((60.0, 60.0), own_sd=2.0))[1] == pytest.approx(1.6449 * 2 / math.sqrt(2), rel=1e-4)
    assert average(measured((60.0, 60.0), own_sd=0.0, shared_sd=2.0))[1] == pytest.approx(1.6449 * 2, rel=1e-4)
    assert math.isnan(average(measured((60.0,), own_sd=0.0))[1])


def swing(by, is_approximate=False):
    t = np.arange(-1.0, 1.0, 0.01)
    path = lay_path(t, np.zeros((len(t), 2)), MatPlacement(is_approximate=is_approximate))
    measures = (*measured((60.0,)), Measure("pressure_position_pct", 30.0, "top"), Measure("pressure_return_cm", 4.0))
    return SwingPressure(Swing("s", 1), PlacedInTime(0, 0, by), {}, path, measures)


def test_what_hangs_on_impact_has_a_mean_only_where_impact_is_known():
    known = average_pressure([swing(BY_FORCE), swing(BY_FORCE, is_approximate=True)])
    assert [(m.name, m.key_frame, m.mean, m.is_about) for m in known] == [
        ("pressure_position_pct", "impact", 60.0, True),
        ("pressure_position_pct", "top", 30.0, True),
        ("pressure_return_cm", "", 4.0, False),
    ]
    moved = average_pressure([swing(BY_MOVE), swing(BY_MOVE), swing(BY_FORCE)])
    assert [(m.name, m.key_frame) for m in moved] == [("pressure_position_pct", "top")]
