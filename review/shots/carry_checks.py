"""Carry against what the launch can fly, with the error of drag and lift as tolerance."""

from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np

from review.lesson.swings import FloatArray, Shot
from review.shots.flight.launches import get_value, make_launch
from review.shots.flight.trajectory import Air, Ball, Launch, compute_flight

# Balls have changed since the coefficients were measured; with these factors the band holds every commonly quoted
# average carry of tour players, driver to wedge (from memory), and leaves the distance standard room to roll.
SHORT_BALL = Ball(drag_factor=1.15, lift_factor=0.85)
LONG_BALL = Ball(drag_factor=0.85, lift_factor=1.15)
_N_SD = 3.0
_SPEEDS_MPH = np.array([1.0, 10, 20, 30, 45, 60, 80, 100, 120, 140, 160, 180, 210, 260])
_ANGLES_DEG = np.arange(10.0, 49.0, 4.0)
_SPINS_RPM = np.array([1500.0, 3000.0, 4500.0, 6500.0])

Finding = tuple[tuple[str, ...], str]


def check_carries(shots: Sequence[Shot], errors: Mapping[str, float], air: Air) -> list[Finding | None]:
    """Check each shot's carry: by its launch and spin where the row has both, else by its ball speed alone."""
    launch = make_launch(shots)
    # direction and, where it is not known, the axis do not change a carry enough to matter
    level = np.zeros(len(launch))
    axis = np.where(np.isfinite(launch.spin_axis_deg), launch.spin_axis_deg, 0.0)
    shortest, longest = (
        compute_flight(
            Launch(np.maximum(speed, 0.0), launch.launch_angle_deg, level, launch.spin_rpm, axis), air, ball, n_points=2
        ).carry_yd
        for speed, ball in (
            (launch.ball_speed_mph - _N_SD * errors.get("ball_speed_mph", 0.0), SHORT_BALL),
            (launch.ball_speed_mph + _N_SD * errors.get("ball_speed_mph", 0.0), LONG_BALL),
        )
    )
    slack = _N_SD * errors.get("carry_yd", 0.0)
    return [
        _check_one(shot, float(low) - slack, float(high) + slack, errors, air)
        for shot, low, high in zip(shots, shortest, longest, strict=True)
    ]


def compute_longest_carry_yd(ball_speed_mph: float, air: Air) -> float:
    """Compute the farthest that any launch and spin carry a ball of that speed, yards; interpolated."""
    return float(np.interp(ball_speed_mph, _SPEEDS_MPH, _tabulate_longest(air)))


@lru_cache(maxsize=8)
def _tabulate_longest(air: Air) -> FloatArray:
    grid = np.meshgrid(_SPEEDS_MPH, _ANGLES_DEG, _SPINS_RPM, indexing="ij")
    speed, angle, spin = (values.ravel() for values in grid)
    level = np.zeros_like(speed)
    carry = compute_flight(Launch(speed, angle, level, spin, level), air, LONG_BALL, n_points=2).carry_yd
    longest: FloatArray = carry.reshape(len(_SPEEDS_MPH), -1).max(axis=1)
    return longest


def _check_one(shot: Shot, low: float, high: float, errors: Mapping[str, float], air: Air) -> Finding | None:
    values = shot.values
    carry, speed = get_value(values, "carry_yd"), get_value(values, "ball_speed_mph")
    if not np.isfinite(carry) or not np.isfinite(speed) or speed <= 0:
        return None
    if np.isfinite(low + high):
        if low <= carry <= high:
            return None
        spins = tuple(name for name in ("spin_rpm", "back_spin_rpm") if name in values)
        return (
            ("ball_speed_mph", "launch_angle_deg", *spins, "carry_yd"),
            f"carry: expected {max(0.0, low):.0f} to {high:.0f} yd for a ball at {speed:.1f} mph launched "
            f"{values['launch_angle_deg']:.1f}° up, found {carry:.1f} yd",
        )
    most = compute_longest_carry_yd(speed + _N_SD * errors.get("ball_speed_mph", 0.0), air)
    most += _N_SD * errors.get("carry_yd", 0.0)
    if carry <= most:
        return None
    return (
        ("ball_speed_mph", "carry_yd"),
        f"carry: expected at most {most:.0f} yd for a ball at {speed:.1f} mph, whatever its launch, "
        f"found {carry:.1f} yd",
    )
