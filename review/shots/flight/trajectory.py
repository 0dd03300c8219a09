"""The ball's flight: drag and lift integrated from the launch to the ground.

Axes as everywhere in this package: x right of target, y toward the target, z up, the ball starts at 0.
Still air, level ground, a ball that spins about an axis square to its way (no rifle spin).
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.constants import foot, g, inch, mph
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicHermiteSpline

from review.lesson.swings import FloatArray

YARD_M = 3 * foot
BALL_MASS_KG = 0.04593
"""Heaviest ball of the Rules of Golf; the smallest diameter of the rules follows."""
BALL_DIAMETER_M = 1.680 * inch

REYNOLDS_RANGE = (7e4, 2.1e5)
SPIN_RATIO_RANGE = (0.08, 0.2)
"""Where the coefficients were measured (Smits & Smith 1994): Reynolds number, and rim speed / ball speed."""

# Smits & Smith 1994: spin lost per second = 0.0004 x mph x rpm.
_SPIN_LOSS_PER_M = 0.0004 / mph
_RPM = 2 * math.pi / 60
_CHUNK = 200
_LONGEST_S = 120.0
_KNOTS = 151
_LEAST_RISE_MPS = 0.05


@dataclass(frozen=True)
class Air:
    """Density in kg/m3 (default: 15 degrees at sea level, dry) and viscosity in Pa s. Density 0 is a vacuum."""

    density_kg_m3: float = 1.225
    viscosity_pa_s: float = 1.81e-5

    def __post_init__(self) -> None:
        if not (0.0 <= self.density_kg_m3 < 10.0 and 0.0 < self.viscosity_pa_s < 1.0):
            raise ValueError(f"air needs a density of 0..10 kg/m3 and a positive viscosity, got {self}")


@dataclass(frozen=True)
class Ball:
    """How a ball meets the air: factors on the measured drag and lift, and whether it loses spin on the way."""

    drag_factor: float = 1.0
    lift_factor: float = 1.0
    is_losing_spin: bool = True


@dataclass(frozen=True, eq=False)
class Launch:
    """Launches of n shots, each (n,): + right of target, + up, spin axis + tilted right; spin is not negative."""

    ball_speed_mph: FloatArray
    launch_angle_deg: FloatArray
    launch_direction_deg: FloatArray
    spin_rpm: FloatArray
    spin_axis_deg: FloatArray

    def __post_init__(self) -> None:
        shapes = {np.shape(values) for values in vars(self).values()}
        if len(shapes) != 1 or len(next(iter(shapes))) != 1:
            raise ValueError(f"a launch needs five arrays of one shape (n,), got {sorted(shapes)}")
        if np.any(self.ball_speed_mph < 0) or np.any(self.spin_rpm < 0):
            raise ValueError("ball speed and spin cannot be negative")

    def __len__(self) -> int:
        return len(self.ball_speed_mph)


@dataclass(frozen=True, eq=False)
class Flight:
    """Flights of n shots in the order of their launches; NaN throughout where a launch value is not finite.

    ``carry_yd`` is the straight way from the tee to where the ball comes down, ``offline_yd`` its part to the right
    of the target line, ``height_yd`` the highest point, ``landing_angle_deg`` how steeply it comes down (+),
    ``path_yd`` (n, points, 3) the way itself at even times. ``outside`` is the part 0..1 of the flight time
    in which the coefficients are used outside the range they were measured in. A ball that does not rise
    (0.05 m/s upward or less) has a flight of 0.
    """

    carry_yd: FloatArray
    height_yd: FloatArray
    time_s: FloatArray
    landing_angle_deg: FloatArray
    offline_yd: FloatArray
    outside: FloatArray
    path_yd: FloatArray


def compute_flight(launch: Launch, air: Air | None = None, ball: Ball | None = None, n_points: int = 61) -> Flight:
    """Compute the flights of n shots.

    Parameters
    ----------
    launch : n launches.
    air, ball : default ``Air()`` and ``Ball()``.
    n_points : points of each path, from the tee to the landing.

    Notes
    -----
    Drag Cd = 0.24 + 0.18 W + 0.06 sin(pi (Re - 9e4) / 2e5), lift Cl = 0.54 W^0.4 with W = rim speed / speed: Smits &
    Smith 1994, Science and Golf II (form from memory). Measured for Re 7e4..2.1e5 and W 0.08..0.2; used outside as
    they stand, and ``outside`` says for how long.
    """
    air, ball = air or Air(), ball or Ball()
    n = len(launch)
    table = np.full((n, 6), np.nan)
    path = np.full((n, n_points, 3), np.nan)
    values = np.stack([np.asarray(v, dtype=float) for v in vars(launch).values()], axis=1)
    is_known = np.all(np.isfinite(values), axis=1)
    values[~is_known] = 0.0
    rise_mps = values[:, 0] * mph * np.sin(np.radians(values[:, 1]))
    flies = is_known & (rise_mps > _LEAST_RISE_MPS)
    table[is_known & ~flies] = 0.0
    path[is_known & ~flies] = 0.0
    chosen = np.flatnonzero(flies)
    # like flights together, so that one step suits them all and the end is the same
    chosen = chosen[np.argsort(rise_mps[chosen], kind="stable")]
    for begin in range(0, len(chosen), _CHUNK):
        part = chosen[begin : begin + _CHUNK]
        table[part], path[part] = _fly(values[part], air, ball, n_points)
    carry, height, time, landing, offline, outside = table.T
    return Flight(carry, height, time, landing, offline, outside, path)


def compute_spin_loss_rpm_s(ball_speed_mph: float, spin_rpm: float) -> float:
    """Compute the spin lost per second: 0.0004 x mph x rpm (Smits & Smith 1994)."""
    return _SPIN_LOSS_PER_M * ball_speed_mph * mph * spin_rpm


def _fly(values: FloatArray, air: Air, ball: Ball, n_points: int) -> tuple[FloatArray, FloatArray]:
    n = len(values)
    start, axis = _start_of(values)
    state = np.concatenate([np.zeros((3, n)), start, values[None, :, 3] * _RPM])

    def rates(_: float, flat: FloatArray) -> FloatArray:
        now = flat.reshape(7, n)
        velocity, spin = now[3:6], now[6]
        speed, spin_ratio, reynolds = _numbers_of(velocity, spin, air)
        drag = ball.drag_factor * (0.24 + 0.18 * spin_ratio + 0.06 * np.sin(np.pi * (reynolds - 9e4) / 2e5))
        lift = ball.lift_factor * 0.54 * spin_ratio**0.4
        force = air.density_kg_m3 * math.pi * BALL_DIAMETER_M**2 / 8 / BALL_MASS_KG * speed
        push = _cross(axis, velocity)
        # the way turns away from the axis a little; lift counts square to the way
        size = np.maximum(np.sqrt(np.sum(push**2, axis=0)), 1e-12) / speed
        acceleration = force * (lift * push / size - drag * velocity)
        acceleration[2] -= g
        loss = _SPIN_LOSS_PER_M * speed * spin if ball.is_losing_spin and air.density_kg_m3 else np.zeros(n)
        return np.concatenate([velocity, acceleration, -loss[None]]).ravel()

    def highest(_: float, flat: FloatArray) -> float:
        return float(np.max(flat.reshape(7, n)[2]))

    highest.terminal, highest.direction = True, -1.0  # type: ignore[attr-defined]
    solved = solve_ivp(
        rates,
        (0.0, _LONGEST_S),
        state.ravel(),
        "DOP853",
        events=highest,
        first_step=float(start[2].min()) / g / 10,
        rtol=1e-7,
        atol=1e-7,
        dense_output=True,
    )
    if solved.status != 1 or solved.sol is None:
        raise ValueError(f"the flight of {values.tolist()} did not end within {_LONGEST_S:.0f} s")
    # a hair further, so that the longest flight has crossed the ground too; denser early, for the shortest hop
    time = (float(solved.t[-1]) + 1e-6) * np.linspace(0.0, 1.0, _KNOTS) ** 2
    course = solved.sol(time).reshape(7, n, _KNOTS)
    shots = [_measure(time, course[:, i], air, n_points) for i in range(n)]
    return np.stack([numbers for numbers, _ in shots]), np.stack([path for _, path in shots])


def _start_of(values: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Start velocity (3, n) in m/s, and the unit spin axis (3, n): to the right for plain back spin."""
    speed = values[:, 0] * mph
    up, right, tilt = (np.radians(values[:, i]) for i in (1, 2, 4))
    way = np.stack([np.sin(right) * np.cos(up), np.cos(right) * np.cos(up), np.sin(up)])
    across = np.stack([np.cos(right), -np.sin(right), np.zeros_like(right)])
    return speed * way, np.cos(tilt) * across - np.sin(tilt) * _cross(across, way)


def _numbers_of(velocity: FloatArray, spin: FloatArray, air: Air) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Speed in m/s, rim speed / speed, Reynolds number."""
    speed = np.maximum(np.sqrt(np.sum(velocity**2, axis=0)), 1e-6)
    reynolds = air.density_kg_m3 * speed * BALL_DIAMETER_M / air.viscosity_pa_s
    return speed, spin * BALL_DIAMETER_M / 2 / speed, reynolds


def _measure(time: FloatArray, course: FloatArray, air: Air, n_points: int) -> tuple[FloatArray, FloatArray]:
    """Numbers of one flight in the order of ``Flight``, and its path in yards."""
    way = CubicHermiteSpline(time, course[:3], course[3:6], axis=1)
    height = CubicHermiteSpline(time, course[2], course[5])
    # 0 is the tee; the ball is down where it meets the ground from above
    landing = float(height.roots(extrapolate=False)[-1])
    own = np.linspace(0.0, landing, n_points)
    path = way(own).T
    path[-1, 2] = 0.0
    tops = height.derivative().roots(extrapolate=False)
    across, along, down = way(landing, 1)
    _, spin_ratio, reynolds = _numbers_of(course[3:6], course[6], air)
    is_inside = (
        (reynolds >= REYNOLDS_RANGE[0])
        & (reynolds <= REYNOLDS_RANGE[1])
        & (spin_ratio >= SPIN_RATIO_RANGE[0])
        & (spin_ratio <= SPIN_RATIO_RANGE[1])
    )
    in_air = time <= landing
    numbers = [
        math.hypot(path[-1, 0], path[-1, 1]) / YARD_M,
        float(np.max(height(tops))) / YARD_M,
        landing,
        math.degrees(math.atan2(-down, math.hypot(across, along))),
        path[-1, 0] / YARD_M,
        1.0 - float(np.average(is_inside[in_air], weights=np.gradient(time)[in_air])),
    ]
    return np.array(numbers), path / YARD_M


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    """Cross product of (3, n) arrays; much faster than the general one."""
    return np.stack([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])
