"""What one strike can give at most: ball speed and spin from the club's speed, by momentum and energy.

A free head of mass M strikes a ball of mass m at rest at the spin loft s. Along the face's normal the ball gets
v cos(s) (1 + e) / (1 + m / M), e the coefficient of restitution; along the face, when it leaves rolling,
v sin(s) / (7/2 + m / M) (a solid sphere: its moment of inertia is 2/5 m r^2).
"""

import math

from scipy.constants import mph

from review.shots.flight.clubs import HEAD_MASSES_KG, ClubKind
from review.shots.flight.trajectory import BALL_DIAMETER_M, BALL_MASS_KG

COR_LIMIT = 0.83
"""Limit of the coefficient of restitution of a driver in the rules of R&A and USGA; other clubs give less."""
_ROLLING = 7 / 2
_RADIUS_M = BALL_DIAMETER_M / 2
_RPM = 2 * math.pi / 60


def compute_speed_ratio_limit(
    spin_loft_deg: float = 0.0, club: ClubKind = ClubKind.UNKNOWN, restitution: float = COR_LIMIT
) -> float:
    """Compute the largest ball speed / club speed: about 1.5 for a driver at spin loft 0, less with more loft."""
    mass_ratio = BALL_MASS_KG / HEAD_MASSES_KG[club]
    loft = math.radians(min(abs(spin_loft_deg), 90.0))
    normal = math.cos(loft) * (1 + restitution) / (1 + mass_ratio)
    along = math.sin(loft) / (_ROLLING + mass_ratio)
    return math.hypot(normal, along)


def compute_spin_limit_rpm(
    club_speed_mph: float, spin_loft_deg: float = 90.0, club: ClubKind = ClubKind.UNKNOWN
) -> float:
    """Compute the most spin that energy allows: twice that of a ball leaving rolling (all of the grip springs back).

    Real strikes lie between rolling and about 1.4 times rolling (from memory).
    """
    mass_ratio = BALL_MASS_KG / HEAD_MASSES_KG[club]
    loft = math.radians(min(abs(spin_loft_deg), 90.0))
    along = club_speed_mph * mph * math.sin(loft) / (_ROLLING + mass_ratio)
    return 2 * compute_spin_of_push_rpm(along / mph)


def compute_spin_of_push_rpm(push_speed_mph: float) -> float:
    """Compute the spin of a ball set off by a push along its rim alone, w r = 5/2 v: no strike gives more."""
    return 2.5 * push_speed_mph * mph / _RADIUS_M / _RPM
