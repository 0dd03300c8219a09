"""What a shot's row says of start and spin: measured, else put together from what else the row has."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from review.lesson.swings import Shot
from review.shots.flight.clubs import ClubKind, find_club_kind
from review.shots.flight.d_plane import (
    compute_spin_axis_deg,
    compute_spin_from_club,
    compute_spin_rpm,
    compute_start_range,
)
from review.shots.flight.trajectory import Launch

Values = Mapping[str, float]
"""A row's numbers by measure name, as in ``Shot.values``."""

FASTEST_MPH = 300.0
MOST_SPIN_RPM = 30000.0
"""Beyond these a number is no ball's, and is not flown."""

MEASURED = "measured"
FROM_PARTS = "from back and side spin"
FROM_CLUB = "from face and path"


@dataclass(frozen=True)
class Found:
    """A number and how it was come by; NaN and '' where the row does not give it."""

    value: float = math.nan
    source: str = ""

    @property
    def is_known(self) -> bool:
        """Whether there is a number."""
        return math.isfinite(self.value)


def get_value(values: Values, name: str) -> float:
    """The row's number of that name, NaN where it has none."""
    return values.get(name, math.nan)


def find_start(values: Values, club: ClubKind = ClubKind.UNKNOWN) -> Found:
    """Find the launch direction in degrees, + right of target: measured, else from face and path."""
    measured = get_value(values, "launch_direction_deg")
    if math.isfinite(measured):
        return Found(measured, MEASURED)
    path, face = get_value(values, "club_path_deg"), get_value(values, "face_angle_deg")
    if math.isfinite(path + face):
        return Found(compute_start_range(path, face, club).middle, FROM_CLUB)
    return Found()


def find_face_to_path(values: Values) -> Found:
    """Find face to path in degrees, + right: face - path, else the row's own number."""
    difference = get_value(values, "face_angle_deg") - get_value(values, "club_path_deg")
    if math.isfinite(difference):
        return Found(difference, FROM_CLUB)
    measured = get_value(values, "face_to_path_deg")
    return Found(measured, MEASURED) if math.isfinite(measured) else Found()


def find_spin_axis(values: Values) -> Found:
    """Find the spin axis in degrees, + tilted right: measured, else from its parts, else from the club (D-plane)."""
    measured = get_value(values, "spin_axis_deg")
    if math.isfinite(measured):
        return Found(measured, MEASURED)
    side, back = get_value(values, "side_spin_rpm"), get_value(values, "back_spin_rpm")
    if math.isfinite(side + back):
        return Found(compute_spin_axis_deg(side, back), FROM_PARTS)
    club = [get_value(values, n) for n in ("club_path_deg", "attack_angle_deg", "face_angle_deg", "dynamic_loft_deg")]
    if all(map(math.isfinite, club)):
        return Found(compute_spin_from_club(*club).axis_tilt_deg, FROM_CLUB)
    return Found()


def find_spin(values: Values) -> Found:
    """Find the whole spin in rpm: measured, else from back and side spin, else from back spin and axis."""
    measured = get_value(values, "spin_rpm")
    if math.isfinite(measured):
        return Found(measured, MEASURED)
    side, back = get_value(values, "side_spin_rpm"), get_value(values, "back_spin_rpm")
    if math.isfinite(side + back):
        return Found(compute_spin_rpm(side, back), FROM_PARTS)
    axis = math.radians(get_value(values, "spin_axis_deg"))
    if math.isfinite(back + axis) and math.cos(axis) > 0.05 and back >= 0:
        return Found(back / math.cos(axis), FROM_PARTS)
    return Found()


def make_launch(shots: Iterable[Shot]) -> Launch:
    """Gather the launches of shots in their order; NaN where a row does not say enough to fly it.

    Launch direction and spin axis are taken from face and path where they were not measured. A speed or spin that
    nothing can have (negative, beyond ``FASTEST_MPH`` or ``MOST_SPIN_RPM``) becomes NaN too.
    """
    rows = []
    for shot in shots:
        values = shot.values
        speed, spin = get_value(values, "ball_speed_mph"), find_spin(values).value
        rows.append(
            (
                speed if 0 <= speed <= FASTEST_MPH else math.nan,
                get_value(values, "launch_angle_deg"),
                find_start(values, find_club_kind(shot.club)).value,
                spin if 0 <= spin <= MOST_SPIN_RPM else math.nan,
                find_spin_axis(values).value,
            )
        )
    return Launch(*np.array(rows, dtype=float).reshape(-1, 5).T)
