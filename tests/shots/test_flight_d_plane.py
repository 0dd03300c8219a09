"""Start and spin from the club. Jorgensen 1999, The Physics of Golf; share: Wood et al. 2018, Proceedings 2(6):249."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from review.shots.flight import (
    START_SHARES,
    ClubKind,
    Share,
    compute_spin_axis_deg,
    compute_spin_from_club,
    compute_spin_rpm,
    compute_start_deg,
    compute_start_range,
    find_club_kind,
    split_spin,
)

ANGLE = st.floats(-15, 15)
LOFT = st.floats(5, 60)


# Worked by hand from v x n, with v and n from azimuth and elevation.
@pytest.mark.parametrize(
    ("path", "attack", "face", "loft", "spin_loft", "tilt"),
    [
        (0, 0, 2, 12, 12.163, 9.324),
        (-2, 0, 2, 12, 12.640, 18.169),
        (3, -4, 1, 24, 28.068, -3.876),
        (0, 0, 0, 12, 12.000, 0.0),
    ],
)
def test_worked_examples(path: float, attack: float, face: float, loft: float, spin_loft: float, tilt: float) -> None:
    got = compute_spin_from_club(path, attack, face, loft)
    assert got.spin_loft_deg == pytest.approx(spin_loft, abs=5e-4)
    assert got.axis_tilt_deg == pytest.approx(tilt, abs=5e-4)


@given(face=ANGLE, loft=LOFT)
def test_a_level_path_at_the_target_has_the_closed_form(face: float, loft: float) -> None:
    expected = math.degrees(math.atan(math.sin(math.radians(face)) / math.tan(math.radians(loft))))
    assert compute_spin_from_club(0, 0, face, loft).axis_tilt_deg == pytest.approx(expected, abs=1e-9)


@given(path=ANGLE, attack=ANGLE, face=ANGLE, loft=LOFT)
def test_vectors_agree_with_scipy_rotations(path: float, attack: float, face: float, loft: float) -> None:
    # scipy.spatial.transform: y turned up about x, then to the right about -z
    way = Rotation.from_euler("xz", [attack, -path], degrees=True).apply([0, 1, 0])
    normal = Rotation.from_euler("xz", [loft, -face], degrees=True).apply([0, 1, 0])
    turn, _ = Rotation.align_vectors([normal], [way])
    assert compute_spin_from_club(path, attack, face, loft).spin_loft_deg == pytest.approx(
        math.degrees(turn.magnitude()), abs=1e-5
    )


@given(path=ANGLE, attack=ANGLE, face=ANGLE, loft=LOFT)
def test_in_a_mirror_the_axis_tilts_the_other_way_and_sizes_stay(
    path: float, attack: float, face: float, loft: float
) -> None:
    seen, mirrored = (compute_spin_from_club(s * path, attack, s * face, loft) for s in (1, -1))
    assert mirrored.spin_loft_deg == pytest.approx(seen.spin_loft_deg, abs=1e-9)
    if seen.spin_loft_deg < 0.01:
        return  # the axis of next to no spin is rounding
    both = mirrored.axis_tilt_deg + seen.axis_tilt_deg
    assert math.remainder(both, 360.0) == pytest.approx(0.0, abs=1e-9)  # pure topspin is 180 either way


@given(path=ANGLE, attack=ANGLE, face=ANGLE, loft=LOFT, turn=ANGLE)
def test_a_target_elsewhere_changes_neither_spin_loft_nor_tilt(
    path: float, attack: float, face: float, loft: float, turn: float
) -> None:
    seen = compute_spin_from_club(path, attack, face, loft)
    turned = compute_spin_from_club(path + turn, attack, face + turn, loft)
    assert turned.spin_loft_deg == pytest.approx(seen.spin_loft_deg, abs=1e-9)
    if seen.spin_loft_deg > 0.01:  # the axis of next to no spin is rounding
        difference = turned.axis_tilt_deg - seen.axis_tilt_deg
        assert math.remainder(difference, 360.0) == pytest.approx(0.0, abs=1e-6)


def test_no_spin_has_no_tilt_and_topspin_lies_beyond_a_right_angle() -> None:
    assert compute_spin_from_club(3, 5, 3, 5).axis_tilt_deg == 0.0
    assert abs(compute_spin_from_club(0, 5, 0, 2).axis_tilt_deg) == pytest.approx(180.0)


# Path -3, face +2 with the ends and the middle of the published range 61-83 %.
@pytest.mark.parametrize(("share", "start"), [(0.61, 0.05), (0.75, 0.75), (0.83, 1.15)])
def test_start_lies_its_share_from_path_to_face(share: float, start: float) -> None:
    assert compute_start_deg(-3.0, 2.0, share) == pytest.approx(start, abs=1e-9)


@given(path=ANGLE, face=ANGLE, club=st.sampled_from(ClubKind))
def test_the_range_of_starts_lies_between_path_and_face(path: float, face: float, club: ClubKind) -> None:
    start = compute_start_range(path, face, club)
    slack = 1e-9
    assert min(path, face) - slack <= start.low <= start.middle + slack
    assert start.middle - slack <= start.high <= max(path, face) + slack


def test_shares_stay_in_the_published_range_and_fall_from_driver_to_wedge() -> None:
    middles = [START_SHARES[kind].middle for kind in ClubKind if kind is not ClubKind.UNKNOWN]
    assert middles == sorted(middles, reverse=True)
    assert min(s.low for s in START_SHARES.values()) == 0.61
    assert max(s.high for s in START_SHARES.values()) == 0.83
    with pytest.raises(ValueError, match="low <= middle"):
        Share(0.8, 0.7, 0.9)


@given(side=st.floats(-5000, 5000), back=st.floats(-500, 12000))
def test_spin_splits_and_joins(side: float, back: float) -> None:
    axis, spin = compute_spin_axis_deg(side, back), compute_spin_rpm(side, back)
    assert split_spin(spin, axis) == pytest.approx((side, back), abs=1e-6)
    assert compute_spin_axis_deg(-side, back) == pytest.approx(-axis) or back < 0


# Rows of CaddieSet (Jung et al. 2025, CVPRW, 5988-5996; MIT): side spin, back spin, spin axis.
@pytest.mark.parametrize(("side", "back", "axis"), [(-331, 1705, -10.98645025), (-571, 1868, -16.99705711)])
def test_the_axis_from_its_parts_is_that_of_measured_rows(side: float, back: float, axis: float) -> None:
    assert compute_spin_axis_deg(side, back) == pytest.approx(axis, abs=1e-6)


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Driver", ClubKind.DRIVER),
        ("W1", ClubKind.DRIVER),
        ("3 wood", ClubKind.WOOD),
        ("5W", ClubKind.WOOD),
        ("4-hybrid", ClubKind.HYBRID),
        ("3H", ClubKind.HYBRID),
        ("6-iron", ClubKind.IRON),
        ("7i", ClubKind.IRON),
        ("Iron 8", ClubKind.IRON),
        ("I7", ClubKind.IRON),
        ("PW", ClubKind.WEDGE),
        ("sand wedge", ClubKind.WEDGE),
        ("56°", ClubKind.WEDGE),
        ("", ClubKind.UNKNOWN),
        ("the old one", ClubKind.UNKNOWN),
    ],
)
def test_clubs_are_known_by_plain_names(name: str, kind: ClubKind) -> None:
    assert find_club_kind(name) is kind
