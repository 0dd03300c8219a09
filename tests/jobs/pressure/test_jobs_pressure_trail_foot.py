"""Means of the trail foot: each key frame by itself, without bounds; what no swing has is told with its reason."""

from review.jobs.pressure.trail_foot import FootMean, average_foot, find_missing, pick_foot, say_foot
from review.lesson import Bound, Handedness, Measure

NAN = float("nan")
TWIST, SLIP, HEEL_OFF = "trail_foot_twist_deg", "trail_foot_slip_cm", "heel_off_ms"
HEEL_WAS_UP = "the heel was up"


def test_means_leave_out_bounds_and_what_is_missing():
    swings = [
        (Measure(SLIP, 2.0), Measure(HEEL_OFF, 90.0)),
        (Measure(SLIP, 4.0), Measure(HEEL_OFF, 50.0, bound=Bound.AT_LEAST)),
        (Measure(SLIP, NAN, why_missing="the foot was hidden"),),
    ]
    assert average_foot(swings) == (FootMean(SLIP, "", 3.0, 2), FootMean(HEEL_OFF, "", 90.0, 1))


def test_the_twist_of_one_key_frame_is_not_averaged_with_that_of_another():
    swings = [
        (Measure(TWIST, 2.0, "arm level"), Measure(TWIST, 10.0, "impact")),
        (Measure(TWIST, 4.0, "arm level"), Measure(TWIST, NAN, "impact", why_missing=HEEL_WAS_UP)),
    ]
    assert average_foot(swings) == (FootMean(TWIST, "arm level", 3.0, 2), FootMean(TWIST, "impact", 10.0, 1))


def test_a_number_is_missing_where_no_swing_has_it_at_any_key_frame():
    quick = "the quick run cannot tell it"
    swings = [
        (Measure(TWIST, 2.0, "arm level"), Measure(TWIST, NAN, "impact", why_missing=HEEL_WAS_UP)),
        (Measure(HEEL_OFF, NAN, why_missing=quick),),
        (Measure(HEEL_OFF, NAN, why_missing=quick),),
    ]
    assert find_missing(swings) == ((HEEL_OFF, quick),)
    assert find_missing([()]) == ()


def test_a_swings_numbers_come_in_one_order_and_other_measures_stay_away():
    measures = [Measure(HEEL_OFF, 90.0), Measure("hip_shift_cm", 3.0, "impact"), Measure(TWIST, 2.0, "impact")]
    assert [m.name for m in pick_foot(measures)] == [TWIST, HEEL_OFF]


def test_means_in_a_row():
    means = (FootMean(TWIST, "arm level", 4.2, 6), FootMean(SLIP, "", -1.0, 6), FootMean(HEEL_OFF, "", 92.0, 5))
    assert say_foot(means, Handedness.LEFT) == (
        "toe turned 4° toward target at arm level, slip 1.0 cm away from target, heel off 92 ms before impact"
    )
    assert say_foot((), Handedness.RIGHT) == ""
