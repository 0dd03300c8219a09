"""Force platforms of a C3D file: a recording of a person standing, and files written from closed-form forces.

The recording and what its own program told of it are example data of biomdp (data/PROVENANCE.md). For the written
files the known truth is statics: a force F at r has the moment r x F.
"""

from datetime import datetime
from pathlib import Path

import numpy as np
import pytest

from review.errors import BadInputError
from review.pressure import read_force_platforms
from tests.pressure.made_plates import RATE_HZ, write_plates

BEGAN = datetime(2026, 3, 14, 10)
STANDING = Path(__file__).parent / "data"
MIDDLE_CM = np.array([30.0, 45.0])
"""Of the platform in the file's axes (its corners); its own axes run against these."""


def made(n=200):
    t = np.arange(n) / RATE_HZ
    still = np.zeros((2, n))
    one = np.stack([20 + 50 * np.sin(7 * t), 30 + 0 * t]), 200 + 100 * np.cos(9 * t), still
    other = np.stack([480 + 10 * t, -40 + 100 * t]), np.full(n, 400.0), np.stack([60 + 0 * t, 20 + 0 * t])
    return one, other


def test_one_platform_gives_the_place_of_the_force(tmp_path):
    (place, down, shear), _ = made()
    write_plates(tmp_path / "one.c3d", [(place, down, shear)], ((0.0, 0.0),))
    record = read_force_platforms(tmp_path / "one.c3d", BEGAN)
    assert record.force_n == pytest.approx(down, rel=1e-4)
    assert pytest.approx(place / 10, abs=0.01) == record.xy_cm.T
    assert record.time_s[-1] == pytest.approx(0.199)
    assert record.started_at == BEGAN


def test_a_person_standing_is_read_as_the_program_that_recorded_it_tells():
    record = read_force_platforms(STANDING / "standing.c3d")
    _, force_n, x_m, y_m = np.genfromtxt(STANDING / "standing.csv", delimiter=",", skip_header=1).T
    every_20th = slice(None, None, 20)
    assert len(record.time_s) == 10_000
    assert record.force_n[every_20th] == pytest.approx(force_n, abs=0.1)
    own_cm = MIDDLE_CM - record.xy_cm[every_20th]
    # the program takes the sensors 57 mm deep, the file says 58: 0.1 mm at the shear of standing
    assert own_cm == pytest.approx(100 * np.column_stack([x_m, y_m]), abs=0.02)
    assert np.ptp(own_cm, axis=0).min() > 5.0  # the place moves enough to be a check


def test_an_empty_platform_does_not_pull_the_place(tmp_path):
    one, _ = made()
    n = len(one[1])
    noise = np.tile([[400.0], [250.0]], n), np.full(n, 1.5) * np.where(np.arange(n) % 2, 1, -1), np.zeros((2, n))
    write_plates(tmp_path / "two.c3d", [one, noise])
    record = read_force_platforms(tmp_path / "two.c3d", BEGAN)
    assert record.force_n == pytest.approx(one[1], rel=1e-4)
    assert pytest.approx(one[0] / 10, abs=0.01) == record.xy_cm.T


def test_a_platform_of_a_size_that_cannot_be_is_refused(tmp_path):
    (place, down, shear), _ = made()
    write_plates(tmp_path / "one.c3d", [(place, down, shear)], ((0.0, 0.0),), unit="m")
    with pytest.raises(BadInputError, match="sides of 10 to 500 cm, found 40000 by 60000 cm"):
        read_force_platforms(tmp_path / "one.c3d")


def test_two_platforms_are_weighed_by_their_force(tmp_path):
    one, other = made()
    write_plates(tmp_path / "two.c3d", [one, other])
    record = read_force_platforms(tmp_path / "two.c3d", BEGAN)
    total = one[1] + other[1]
    assert record.force_n == pytest.approx(total, rel=1e-4)
    assert pytest.approx((one[0] * one[1] + other[0] * other[1]) / total / 10, abs=0.01) == record.xy_cm.T


@pytest.mark.parametrize(("target_deg", "is_other_lead"), [(0.0, True), (180.0, False), (-160.0, False)])
def test_platforms_under_a_foot_each_tell_the_lead_foots_force(tmp_path, target_deg, is_other_lead):
    one, other = made()
    write_plates(tmp_path / "two.c3d", [one, other])
    record = read_force_platforms(tmp_path / "two.c3d", BEGAN, target_deg)
    assert record.lead_force_n == pytest.approx((other if is_other_lead else one)[1], rel=1e-4)


def test_platforms_that_do_not_carry_a_foot_each_tell_no_share(tmp_path):
    one, other = made()
    write_plates(tmp_path / "two.c3d", [one, other])
    assert read_force_platforms(tmp_path / "two.c3d", BEGAN).lead_force_n is None  # no target line
    assert read_force_platforms(tmp_path / "two.c3d", BEGAN, 90.0).lead_force_n is None  # one behind the other
    both_on_one = other[0], np.zeros_like(other[1]), other[2]
    write_plates(tmp_path / "one.c3d", [one, both_on_one])
    assert read_force_platforms(tmp_path / "one.c3d", BEGAN, 0.0).lead_force_n is None


def test_nobody_on_the_platform_is_no_place(tmp_path):
    (place, down, shear), _ = made()
    down = np.where(np.arange(len(down)) < 50, 0.0, down)
    write_plates(tmp_path / "off.c3d", [(place, down, shear)], ((0.0, 0.0),))
    record = read_force_platforms(tmp_path / "off.c3d")
    assert np.isnan(record.xy_cm[:50]).all()
    assert np.isfinite(record.xy_cm[50:]).all()
    assert any("tells no clock" in note for note in record.notes)


def test_what_is_no_c3d_is_refused(tmp_path):
    (tmp_path / "x.c3d").write_bytes(b"no c3d at all" * 100)
    with pytest.raises(BadInputError, match=r"x\.c3d: expected"):
        read_force_platforms(tmp_path / "x.c3d")
    with pytest.raises(BadInputError, match="There is no file"):
        read_force_platforms(tmp_path / "y.c3d")
