"""From how the club met the ball to where the ball starts and how it spins.

Axes: x right of target, y toward the target, z up. Path, face and directions: + right of target; attack and loft:
+ up. The ball leaves, and spins, in the plane of the club's way v and the face's normal n: Jorgensen 1999, The
Physics of Golf, 2nd ed. A strike off the centre of the face adds spin of its own (gear effect), which is not in here.
"""

import math
from dataclasses import dataclass

import numpy as np

from review.lesson.swings import FloatArray
from review.shots.flight.clubs import START_SHARES, ClubKind


@dataclass(frozen=True)
class SpinFromClub:
    """What face and path do to the spin, in degrees.

    ``spin_loft_deg`` is the angle between the club's way and the face's normal, 0..180; ``axis_tilt_deg`` the spin
    axis against the ground, + tilted right, in (-180, 180]; beyond +-90 is topspin, 0 where there is no spin.
    """

    spin_loft_deg: float
    axis_tilt_deg: float


@dataclass(frozen=True)
class StartRange:
    """Launch direction in degrees, + right of target: the likeliest, and the ends that the club's share allows."""

    low: float
    middle: float
    high: float


def compute_spin_from_club(
    club_path_deg: float, attack_angle_deg: float, face_angle_deg: float, dynamic_loft_deg: float
) -> SpinFromClub:
    """Compute spin loft and spin-axis tilt from the vectors: the axis is parallel to v x n.

    With a level path along the target line the tilt is atan(sin(face) / tan(loft)).
    """
    way = _unit_vector(club_path_deg, attack_angle_deg)
    normal = _unit_vector(face_angle_deg, dynamic_loft_deg)
    axis = np.cross(way, normal)
    size = float(np.linalg.norm(axis))
    spin_loft = math.degrees(math.atan2(size, float(way @ normal)))
    if size < 1e-12:
        return SpinFromClub(spin_loft, 0.0)
    path = math.radians(club_path_deg)
    backward = axis[0] * math.cos(path) - axis[1] * math.sin(path)
    flat = math.copysign(math.hypot(axis[0], axis[1]), backward)
    return SpinFromClub(spin_loft, math.degrees(math.atan2(-axis[2], flat)) + 0.0)


def compute_start_deg(club_path_deg: float, face_angle_deg: float, share: float) -> float:
    """Compute the launch direction: path + share x (face - path), degrees, + right of target."""
    return club_path_deg + share * (face_angle_deg - club_path_deg)


def compute_start_range(club_path_deg: float, face_angle_deg: float, club: ClubKind = ClubKind.UNKNOWN) -> StartRange:
    """Compute where the ball should start, with the ends that the club's share leaves open (``START_SHARES``)."""
    share = START_SHARES[club]
    ends = [compute_start_deg(club_path_deg, face_angle_deg, part) for part in (share.low, share.high)]
    return StartRange(min(ends), compute_start_deg(club_path_deg, face_angle_deg, share.middle), max(ends))


def compute_spin_axis_deg(side_spin_rpm: float, back_spin_rpm: float) -> float:
    """Compute the spin axis from its parts: atan2(side, back), degrees, + tilted right, beyond +-90 is topspin."""
    return math.degrees(math.atan2(side_spin_rpm, back_spin_rpm)) + 0.0


def compute_spin_rpm(side_spin_rpm: float, back_spin_rpm: float) -> float:
    """Compute the whole spin from its parts, rpm, never negative."""
    return math.hypot(side_spin_rpm, back_spin_rpm)


def split_spin(spin_rpm: float, spin_axis_deg: float) -> tuple[float, float]:
    """Split the whole spin into (side, back) rpm, side + right; the way back from the two functions above."""
    axis = math.radians(spin_axis_deg)
    return spin_rpm * math.sin(axis), spin_rpm * math.cos(axis)


def _unit_vector(azimuth_deg: float, elevation_deg: float) -> FloatArray:
    azimuth, elevation = math.radians(azimuth_deg), math.radians(elevation_deg)
    return np.array(
        [
            math.sin(azimuth) * math.cos(elevation),
            math.cos(azimuth) * math.cos(elevation),
            math.sin(elevation),
        ]
    )
