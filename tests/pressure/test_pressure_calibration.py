"""Where a mat lies, from three steps: made-up mats of every angle, the sample lesson's truth, steps that contradict."""

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from review.errors import BadInputError
from review.pressure import StepTimes, calibrate, find_stand_x_cm, find_steps, read_trace_table
from tests.pressure.made_mats import make_steps, on_mat

SAMPLE = Path(__file__).parents[2] / "sample_clips"
TIMES = StepTimes((0.5, 3.5), (5.5, 8.5), (10.5, 13.5))


@pytest.mark.parametrize("is_mirrored", [False, True])
def test_every_angle_is_recovered_from_the_steps_alone(is_mirrored):
    places = np.array([[10.0, 5.0], [-8.0, 2.0], [21.0, -3.0]])
    for angle in np.linspace(-180, 180, 37):
        mat = calibrate(make_steps(angle, is_mirrored), stance_cm=43.0)
        assert mat.is_mirrored is is_mirrored
        assert abs((mat.angle_deg - angle + 180) % 360 - 180) < 0.5
        back = mat.to_player(on_mat(places, angle, is_mirrored, (3.0, -2.0)))
        # the origin is where the player stood still: 4 cm toward the toes of midway
        assert back == pytest.approx(places - (0, 4), abs=0.25)
        assert mat.to_position_pct(back[:, 0]) == pytest.approx(50 + places[:, 0] / 0.43, abs=1.0)


def test_the_sample_mat_lies_where_its_truth_says():
    truth = json.loads((SAMPLE / "truth.json").read_text())["pressure_mat"]
    record = read_trace_table(SAMPLE / "pressure_calibration.csv", on_date=date(2026, 3, 14))
    begin = 33.18  # the table's first line; lesson.toml gives the steps on the same clock
    spans = ((33.68, 37.98), (39.78, 44.58), (46.38, 50.78))
    stated = calibrate(record, StepTimes(*((a - begin, b - begin) for a, b in spans)))
    by_itself = calibrate(record)
    flared = calibrate(record, stand_x_cm=find_stand_x_cm(20, 8))  # lesson.toml
    for mat in (stated, by_itself, flared):
        assert mat.angle_deg == pytest.approx(truth["rotation_deg"], abs=1.0)
        assert not mat.is_mirrored
        assert mat.is_approximate
        assert mat.stance_cm == pytest.approx(2 * truth["ankle_x_cm"]["lead"], rel=0.05)
        middle = mat.to_player(np.array([truth["shift_cm"]]))[0]
        assert abs(middle[0]) < (0.25 if mat is flared else 1.0)  # with feet so turned one stands 0.6 cm off the middle


@pytest.mark.parametrize("is_mirrored", [False, True])
def test_feet_turned_out_differently_leave_the_middle_between_the_ankles(is_mirrored):
    lead, trail = np.deg2rad([25.0, 5.0])
    ankles = np.array([[21.0, 0.0], [-21.0, 0.0]])  # the foot's own line passes through a point 5 cm before the ankle
    under_feet = ankles + 5.0 * np.array([[np.tan(lead), 1.0], [-np.tan(trail), 1.0]])
    still = under_feet.mean(axis=0)
    steps = make_steps(40, is_mirrored, steps_cm=(still, still + (18, 0), still + (0, 7)))
    mat = calibrate(steps, stance_cm=42.0, stand_x_cm=find_stand_x_cm(25, 5))
    lead_ankle = mat.to_player(on_mat(ankles, 40, is_mirrored, (3.0, -2.0)))
    assert mat.to_position_pct(lead_ankle[:, 0]) == pytest.approx([100, 0], abs=0.3)
    assert find_stand_x_cm(None, 8) == 0.0
    assert find_stand_x_cm(12, 12) == pytest.approx(0.0)


def test_plateaus_are_found_where_they_are():
    found = find_steps(make_steps(30))
    for (a, b), (low, high) in zip(
        (found.still_s, found.lead_s, found.toes_s), ((0, 4), (5, 9), (10, 14)), strict=True
    ):
        assert a == pytest.approx(low, abs=0.4)
        assert b == pytest.approx(high, abs=0.4)


def moved(still=(0, 4), lead=(18, 4), toes=(0, 11)):
    return make_steps(steps_cm=(still, lead, toes))


@pytest.mark.parametrize(
    ("record", "times", "reason"),
    [
        (moved(lead=(3, 4)), TIMES, "move of 5 cm or more to 'weight on the lead foot'"),
        (moved(lead=(0, 11), toes=(18, 4)), TIMES, r"12 cm or less .*, found 18.0 cm, as if the second and third"),
        (moved(lead=(9, 4), toes=(0, 14)), TIMES, r"shorter than that to 'weight on the lead foot' \(9.0 cm\)"),
        (moved(toes=(0, 5)), TIMES, "move of 2.5 cm or more to 'weight on the toes"),
        (moved(toes=(9, 9)), TIMES, "quarter turn from the lead foot, found 29°"),
        (make_steps(sway_cm=3.0), TIMES, "held still, found a pressure that wanders"),
        (make_steps(force_n=0.0), TIMES, "somebody on the mat"),
        (make_steps(), replace(TIMES, toes_s=(20.0, 24.0)), "'weight on the toes of both feet' held for a second"),
        (moved(toes=(18, 4)), None, "three stretches held still .*, found 2"),
    ],
)
def test_steps_that_contradict_each_other_are_refused(record, times, reason):
    with pytest.raises(BadInputError, match=reason):
        calibrate(record, times)


def test_a_step_on_one_foot_off_the_mat_is_refused():
    record = make_steps()
    force = np.where(record.time_s > 9.5, 300.0, record.force_n)
    with pytest.raises(BadInputError, match="about the same force"):
        calibrate(replace(record, force_n=force), TIMES)
