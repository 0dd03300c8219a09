"""What the ball did and why: start, spin, shape, flight and strike, from a device's numbers.

Pure functions on numbers and arrays; formulas, sources and limits in docs/flight.md.
"""

from review.shots.flight.clubs import HEAD_MASSES_KG, START_SHARES, ClubKind, Share, find_club_kind
from review.shots.flight.d_plane import (
    SpinFromClub,
    StartRange,
    compute_spin_axis_deg,
    compute_spin_from_club,
    compute_spin_rpm,
    compute_start_deg,
    compute_start_range,
    split_spin,
)
from review.shots.flight.launches import Found, find_face_to_path, find_spin, find_spin_axis, find_start, make_launch
from review.shots.flight.reason import say_why
from review.shots.flight.shape import Curve, Shape, Start, find_shape
from review.shots.flight.strike_pattern import Ellipse, StrikePattern, compute_strike_pattern, gather_strikes
from review.shots.flight.trajectory import Air, Ball, Flight, Launch, compute_flight, compute_spin_loss_rpm_s

__all__ = [
    "HEAD_MASSES_KG",
    "START_SHARES",
    "Air",
    "Ball",
    "ClubKind",
    "Curve",
    "Ellipse",
    "Flight",
    "Found",
    "Launch",
    "Shape",
    "Share",
    "SpinFromClub",
    "Start",
    "StartRange",
    "StrikePattern",
    "compute_flight",
    "compute_spin_axis_deg",
    "compute_spin_from_club",
    "compute_spin_loss_rpm_s",
    "compute_spin_rpm",
    "compute_start_deg",
    "compute_start_range",
    "compute_strike_pattern",
    "find_club_kind",
    "find_face_to_path",
    "find_shape",
    "find_spin",
    "find_spin_axis",
    "find_start",
    "gather_strikes",
    "make_launch",
    "say_why",
    "split_spin",
]
