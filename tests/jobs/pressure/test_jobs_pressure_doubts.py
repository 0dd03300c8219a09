"""A mat that cannot lie as its steps say: x and y swapped, the wrong foot; a trace without a swing in it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from review.jobs.pressure.doubts import find_doubt, leave_out_doubtful, say_no_swing, tell_set_right
from review.jobs.pressure.mats import Mat
from review.pressure import MatPlacement, calibrate, lay_path, read_force_platforms, read_pressure
from tests.pressure.made_mats import make_steps, on_mat

DATA = Path(__file__).parents[2] / "pressure" / "data"
MOMENTS = {"top": -0.3, "impact": 0.0}
T = np.arange(-1.0, 0.5, 0.01)
PLAYER_CM = np.column_stack([np.interp(T, [-0.3, 0.0], [-8.0, 12.0]), np.interp(T, [-0.3, 0.0], [2.0, 5.0])])


def lay(placement, xy_cm, n=3):
    return Mat(placement), [(lay_path(T, xy_cm, placement), MOMENTS)] * n


def test_the_steps_set_swapped_columns_right_and_it_is_told():
    steps = make_steps(4.0)
    swapped = replace(steps, xy_cm=steps.xy_cm[:, ::-1])
    xy = on_mat(PLAYER_CM, 4.0, False, (3.0, -2.0))
    plain, plain_ways = lay(calibrate(steps, stance_cm=40.0), xy)
    other, other_ways = lay(calibrate(swapped, stance_cm=40.0), xy[:, ::-1])
    for a, b in zip(*(read_pressure(ways[0][0], MOMENTS) for ways in (plain_ways, other_ways)), strict=True):
        assert a.value == pytest.approx(b.value, abs=1e-6, nan_ok=True)
    assert find_doubt(plain, plain_ways) == find_doubt(other, other_ways) == ""
    assert tell_set_right(plain, 3) == tell_set_right(other, 0) == ""
    assert tell_set_right(other, 3).startswith("The target line runs along the table's y")


def test_a_trace_that_is_not_told_as_the_steps_is_said():
    placement = calibrate(make_steps(4.0), stance_cm=40.0)
    xy = on_mat(PLAYER_CM, 4.0, False, (3.0, -2.0))
    assert "3 of 3 swings: x and y of the trace may not be those of the three steps" in find_doubt(
        *lay(placement, xy[:, ::-1])
    )


def test_with_a_stick_the_moves_tell_it():
    stick = MatPlacement(4.0, stance_cm=40.0, is_approximate=True, has_origin=False)
    xy = on_mat(PLAYER_CM, 4.0, False, (3.0, -2.0))
    assert find_doubt(*lay(stick, xy)) == ""
    assert "farther across the target line than along it in 3 of 3 swings" in find_doubt(*lay(stick, xy[:, ::-1]))
    assert "across the table's x" in find_doubt(*lay(replace(stick, has_angle=False), xy[:, ::-1]))
    assert "away from the target on the way down in 3 of 3 swings: the stick" in find_doubt(
        *lay(replace(stick, angle_deg=184.0), xy)
    )


@pytest.mark.parametrize("angle_deg", [4.0, -100.0])
def test_weight_on_the_trail_foot_in_the_second_step_is_told(angle_deg):
    xy = on_mat(PLAYER_CM, angle_deg, False, (3.0, -2.0))
    wrong = calibrate(make_steps(angle_deg, steps_cm=((0, 4), (-18, 4), (0, 11))), stance_cm=40.0)
    assert wrong.is_mirrored  # nothing in the steps themselves speaks against it
    mat, ways = lay(wrong, xy)
    said = "away from the target on the way down in 3 of 3 swings: in the second step the weight may have been on the"
    assert said in find_doubt(mat, ways)
    assert find_doubt(mat, ways[:1]) == ""  # one swing may be anything
    right = lay(calibrate(make_steps(angle_deg), stance_cm=40.0), xy)[1]
    assert find_doubt(mat, [*right, *ways[:2]]) == ""


def test_a_player_who_goes_back_to_the_trail_foot_after_arm_level_is_in_no_doubt():
    back = np.column_stack([np.interp(T, [-0.3, -0.12, 0.0], [-8.0, 14.0, -10.0]), np.zeros(len(T))])
    placement = MatPlacement(stance_cm=40.0)
    assert find_doubt(*lay(placement, back)) == ""  # by its farthest place
    mat, ways = lay(placement, back)
    assert find_doubt(mat, [(path, {**MOMENTS, "arm level": -0.12}) for path, _ in ways]) == ""


def test_what_is_toward_the_target_is_left_out_with_the_reason():
    measures = read_pressure(lay(MatPlacement(stance_cm=40.0), PLAYER_CM)[1][0][0], {**MOMENTS, "arm level": -0.1})
    kept = {m.name for m in leave_out_doubtful(measures) if not m.why_missing}
    assert kept == {"pressure_move_cm", "pressure_path_cm"}
    assert {m.why_missing for m in leave_out_doubtful(measures)} == {"", "how the mat lies is doubtful"}


def test_standing_is_no_swing_and_neither_is_what_lies_beside_the_feet():
    placement = MatPlacement(stance_cm=40.0)
    standing = read_force_platforms(DATA / "standing.c3d")
    for impact_s in (0.3, 0.35, 5.0, 9.0):  # by the fastest move it would be at 0.3 s
        path = lay_path(standing.time_s - impact_s, standing.xy_cm, replace(placement, has_origin=False))
        assert say_no_swing(path, MOMENTS, False).endswith("the pressure hardly moves from top to impact")
    short = lay_path(T, PLAYER_CM / 5, placement)  # 4 cm, as in a chip
    assert [bool(say_no_swing(short, MOMENTS, is_by_force)) for is_by_force in (True, False)] == [False, True]
    for placed in (placement, replace(placement, has_origin=False)):
        assert say_no_swing(lay_path(T, PLAYER_CM, placed), MOMENTS, False) == ""
        beside = say_no_swing(lay_path(T, PLAYER_CM + (90, 0), placed), MOMENTS, True)
        assert ("outside the feet from top to impact" in beside) is placed.has_origin
