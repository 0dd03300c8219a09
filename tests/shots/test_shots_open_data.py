"""An open data set of real shots through the coach's mapping: units, repeated shots, the spin axis from its parts."""

import csv
from pathlib import Path

import pytest

from review.shots import ColumnMapping, read_shot_table
from review.shots.flight import compute_spin_axis_deg

EXCERPT = Path(__file__).parents[1] / "data" / "caddieset_excerpt.csv"
MAPPING = ColumnMapping(
    columns={
        "ClubType": "club",
        "Distance": "total_yd",
        "Carry": "carry_yd",
        "LrDistanceOut": "offline_yd",
        "DirectionAngle": "launch_direction_deg",
        "SpinBack": "back_spin_rpm",
        "SpinSide": "side_spin_rpm",
        "SpinAxis": "spin_axis_deg",
        "BallSpeed": "ball_speed_mph",
    },
    units={"Distance": "m", "Carry": "m", "LrDistanceOut": "m", "BallSpeed": "m/s"},
)


def test_an_open_data_set_reads_through_a_mapping():
    table = read_shot_table(EXCERPT, MAPPING)
    with EXCERPT.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))
    assert len(table.shots) == len(rows) == 40
    for shot, row in zip(table.shots, rows, strict=True):
        assert shot.club == row["ClubType"]
        # international yard and mile, exact: 0.9144 m, 1609.344 m
        assert shot.values["carry_yd"] == pytest.approx(float(row["Carry"]) / 0.9144, rel=1e-12)
        assert shot.values["ball_speed_mph"] == pytest.approx(float(row["BallSpeed"]) * 3600 / 1609.344, rel=1e-12)
        axis_deg = compute_spin_axis_deg(shot.values["side_spin_rpm"], shot.values["back_spin_rpm"])
        assert shot.values["spin_axis_deg"] == pytest.approx(axis_deg, abs=1e-6)


def test_shots_that_stand_there_twice_are_told():
    (told,) = [note for note in read_shot_table(EXCERPT, MAPPING).notes if "same numbers" in note]
    assert "an earlier one: 10 (row 31, 32, 33, 34, 35 and more)" in told
