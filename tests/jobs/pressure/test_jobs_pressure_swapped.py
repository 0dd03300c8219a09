"""x and y swapped in a table: the steps set it right and it is told; without steps the moves tell it."""

from dataclasses import replace

import numpy as np
import pytest

from review.jobs.pressure.impact_in_trace import BY_FORCE, PlacedInTime
from review.jobs.pressure.mats import Mat
from review.jobs.pressure.measuring import LessonPressure, SwingPressure
from review.jobs.pressure.swapped import tell_swapped
from review.lesson import Swing
from review.pressure import MatPlacement, calibrate, lay_path, read_pressure
from tests.pressure.made_mats import make_steps, on_mat

MOMENTS = {"top": -0.3, "impact": 0.0}
T = np.arange(-1.0, 0.5, 0.01)
PLAYER_CM = np.column_stack([np.interp(T, [-0.3, 0.0], [-8.0, 12.0]), np.interp(T, [-0.3, 0.0], [2.0, 5.0])])


def read_lesson(placement, xy_cm, n=3):
    path = lay_path(T, xy_cm, placement)
    swings = [SwingPressure(Swing(f"s{i}", i), PlacedInTime(0, 0, BY_FORCE), MOMENTS, path, ()) for i in range(n)]
    return LessonPressure(Mat(placement), tuple(swings))


def test_the_steps_set_swapped_columns_right_and_it_is_told():
    steps = make_steps(4.0)
    swapped = replace(steps, xy_cm=steps.xy_cm[:, ::-1])
    plain, other = calibrate(steps, stance_cm=40.0), calibrate(swapped, stance_cm=40.0)
    xy = on_mat(PLAYER_CM, 4.0, False, (3.0, -2.0))
    one, two = read_lesson(plain, xy), read_lesson(other, xy[:, ::-1])
    for a, b in zip(*(read_pressure(r.swings[0].path, MOMENTS) for r in (one, two)), strict=True):
        assert a.value == pytest.approx(b.value, abs=1e-6, nan_ok=True)
    assert tell_swapped(one) == ""
    assert tell_swapped(two).startswith("The target line runs along the table's y")
    assert tell_swapped(replace(two, swings=())) == ""


def test_a_trace_that_is_not_told_as_the_steps_is_said():
    placement = calibrate(make_steps(4.0), stance_cm=40.0)
    xy = on_mat(PLAYER_CM, 4.0, False, (3.0, -2.0))
    assert "3 of 3 swings: x and y of the trace may not be those of the three steps" in tell_swapped(
        read_lesson(placement, xy[:, ::-1])
    )


def test_with_a_stick_the_moves_tell_it():
    stick = MatPlacement(4.0, stance_cm=40.0, is_approximate=True, has_origin=False)
    xy = on_mat(PLAYER_CM, 4.0, False, (3.0, -2.0))
    assert tell_swapped(read_lesson(stick, xy)) == ""
    assert "farther across the target line than along it in 3 of 3 swings" in tell_swapped(
        read_lesson(stick, xy[:, ::-1])
    )
    assert "across the table's x" in tell_swapped(read_lesson(replace(stick, has_angle=False), xy[:, ::-1]))
