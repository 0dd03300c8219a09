"""The pressure of a lesson for a file: what nobody told of the mat is null, not zero."""

from datetime import date

import numpy as np
import pytest

from review.jobs.pressure.impact_in_trace import BY_FORCE, PlacedInTime
from review.jobs.pressure.mats import Mat
from review.jobs.pressure.measuring import LessonPressure, SwingPressure, lay_trace
from review.jobs.pressure.report import make_pressure_report
from review.lesson import Lesson, Swing, Trace
from review.pressure import MatPlacement

STEPS = MatPlacement(3.0, True, (4.0, -1.0), 44.0)
STICK = MatPlacement(3.0, stance_cm=44.0, is_approximate=True, has_origin=False)
NOTHING = MatPlacement(stance_cm=44.0, is_approximate=True, has_angle=False, has_origin=False)


@pytest.mark.parametrize(
    ("placement", "address_s", "angle_deg", "mirrored", "origin_cm", "own_origin_cm"),
    [
        (STEPS, -1.0, 3.0, True, [4.0, -1.0], [4.0, -1.0]),
        (STICK, -1.0, 3.0, False, None, [7.0, 5.0]),
        (STICK, -3.0, 3.0, False, None, None),
        (NOTHING, -3.0, None, None, None, None),
    ],
)
def test_what_nobody_told_of_the_mat_is_null(placement, address_s, angle_deg, mirrored, origin_cm, own_origin_cm):
    t = np.arange(0, 3, 0.01)
    trace = Trace("t", None, t, np.tile((7.0, 5.0), (len(t), 1)))
    placed, mat = PlacedInTime(2.0, 0.01, BY_FORCE), Mat(placement)
    swing = SwingPressure(Swing("s", 1), placed, {"impact": 0.0}, lay_trace(trace, placed, mat, address_s), ())
    lesson = Lesson("l", "p", date(2026, 3, 14))
    report = make_pressure_report(lesson, LessonPressure(mat, (swing,)), {})
    assert report["mat"] == {
        "angle_deg": angle_deg,
        "mirrored": mirrored,
        "origin_cm": origin_cm,
        "stance_cm": 44.0,
        "approximate": placement.is_approximate,
    }
    assert report["swings"][0]["origin_cm"] == own_origin_cm
