"""The ball's flight against closed forms, published figures and a second integrator."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.constants import mph
from scipy.integrate import odeint

from review.shots.flight import Air, Ball, Flight, Launch, compute_flight, compute_spin_loss_rpm_s
from review.shots.flight.trajectory import BALL_DIAMETER_M, BALL_MASS_KG, YARD_M
from review.tables import compute_factor

VACUUM = Air(density_kg_m3=0.0)
AS_MEASURED_WITHOUT_DECAY = Ball(is_losing_spin=False)


def launch(*shots: tuple[float, float, float, float, float]) -> Launch:
    return Launch(*(np.array(column, dtype=float) for column in zip(*shots, strict=True)))


def fly(
    speed_mph: float, angle: float, direction: float = 0.0, spin: float = 0.0, axis: float = 0.0, air: Air | None = None
) -> Flight:
    return compute_flight(launch((speed_mph, angle, direction, spin, axis)), air)


def test_range_in_a_vacuum() -> None:
    # v^2 sin(2 a) / g = 170.894 m at 70 m/s and 10 degrees
    flight = fly(70 / mph, 10.0, spin=2500.0, axis=20.0, air=VACUUM)
    assert flight.carry_yd[0] * YARD_M == pytest.approx(170.894, abs=5e-4)
    assert flight.landing_angle_deg[0] == pytest.approx(10.0, abs=1e-6)
    assert flight.height_yd[0] * YARD_M == pytest.approx((70 * math.sin(math.radians(10))) ** 2 / 2 / 9.80665, abs=1e-6)
    assert flight.time_s[0] == pytest.approx(2 * 70 * math.sin(math.radians(10)) / 9.80665, abs=1e-6)
    assert flight.offline_yd[0] == pytest.approx(0.0, abs=1e-6)


def test_spin_lost_per_second() -> None:
    # Smits & Smith 1994 as restated in a textbook: 120 mph, 7097 rpm lose 340 rpm/s
    assert compute_spin_loss_rpm_s(120.0, 7097.0) == pytest.approx(340.0, abs=1.0)


def test_regression_value_of_the_published_coefficients() -> None:
    # RK4 with 1 ms, 1.225 kg/m3, no decay: 261.2 yd, 38.1 yd, 7.3 s, 41.1 degrees. A check of the sums, not truth.
    flight = compute_flight(launch((78.679 / mph, 10, 0, 2520, 0)), ball=AS_MEASURED_WITHOUT_DECAY)
    assert flight.carry_yd[0] == pytest.approx(261.2, abs=0.05)
    assert flight.height_yd[0] == pytest.approx(38.1, abs=0.05)
    assert flight.time_s[0] == pytest.approx(7.3, abs=0.05)
    assert flight.landing_angle_deg[0] == pytest.approx(41.1, abs=0.05)
    assert 0.5 < flight.outside[0] < 0.65  # too fast at first and too slow a spin; told, not hidden


@pytest.mark.parametrize(
    ("speed_mph", "angle", "direction", "spin", "axis"),
    [(165.0, 11.0, -2.0, 2600.0, 8.0), (95.0, 18.0, 3.0, 5500.0, -12.0), (55.0, 38.0, 0.0, 8500.0, 25.0)],
)
def test_a_second_integrator_lands_at_the_same_place(
    speed_mph: float, angle: float, direction: float, spin: float, axis: float
) -> None:
    # LSODA (scipy.integrate.odeint), and the axis held as a vector turned by rotation matrices
    up, right, tilt = np.radians([angle, direction, axis])
    yaw = np.array([[math.cos(right), math.sin(right), 0], [-math.sin(right), math.cos(right), 0], [0, 0, 1]])
    pitch = np.array([[1, 0, 0], [0, math.cos(up), -math.sin(up)], [0, math.sin(up), math.cos(up)]])
    spin_axis = yaw @ pitch @ [math.cos(tilt), 0, -math.sin(tilt)]
    velocity = yaw @ pitch @ [0, speed_mph * mph, 0]

    def rates(state: np.ndarray, _: float) -> np.ndarray:
        v, omega = state[3:6], state[6]
        speed = np.linalg.norm(v)
        ratio, reynolds = omega * BALL_DIAMETER_M / 2 / speed, 1.225 * speed * BALL_DIAMETER_M / 1.81e-5
        drag = 0.24 + 0.18 * ratio + 0.06 * math.sin(math.pi * (reynolds - 9e4) / 2e5)
        sideways = np.cross(spin_axis, v)
        push = 0.54 * ratio**0.4 * sideways / np.linalg.norm(sideways) - drag * v / speed
        area = math.pi * BALL_DIAMETER_M**2 / 4
        force = 0.5 * 1.225 * area * speed**2 * push
        return np.concatenate([v, force / BALL_MASS_KG - [0, 0, 9.80665], [-0.0004 / mph * speed * omega]])

    time = np.linspace(0, 12, 12001)
    start = np.concatenate([np.zeros(3), velocity, [spin * 2 * math.pi / 60]])
    course = odeint(rates, start, time, rtol=1e-10, atol=1e-10)
    down = int(np.argmax(course[1:, 2] < 0)) + 1
    part = course[down - 1, 2] / (course[down - 1, 2] - course[down, 2])
    landing = (course[down - 1] + part * (course[down] - course[down - 1])) / YARD_M
    flight = fly(speed_mph, angle, direction, spin, axis)
    assert flight.offline_yd[0] == pytest.approx(landing[0], abs=0.01)
    assert flight.carry_yd[0] == pytest.approx(math.hypot(landing[0], landing[1]), abs=0.01)
    assert flight.height_yd[0] == pytest.approx(course[:, 2].max() / YARD_M, abs=0.01)


def test_the_path_runs_from_the_tee_to_the_landing() -> None:
    flight = compute_flight(launch((150, 12, 2, 3000, 6), (80, 25, -1, 6000, -3)), n_points=41)
    assert flight.path_yd.shape == (2, 41, 3)
    assert np.allclose(flight.path_yd[:, 0], 0.0)
    assert np.allclose(flight.path_yd[:, -1, 2], 0.0)
    assert np.allclose(np.hypot(*flight.path_yd[:, -1, :2].T), flight.carry_yd)
    assert np.allclose(flight.path_yd[:, -1, 0], flight.offline_yd)
    assert np.all(flight.path_yd[:, 1:-1, 2] > 0)
    assert flight.path_yd[:, :, 2].max(axis=1) == pytest.approx(flight.height_yd, rel=2e-3)


@settings(max_examples=25, deadline=None)
@given(
    speed=st.floats(30, 190),
    angle=st.floats(1, 60),
    direction=st.floats(-20, 20),
    spin=st.floats(0, 11000),
    axis=st.floats(-45, 45),
)
def test_a_mirrored_launch_flies_a_mirrored_path(
    speed: float, angle: float, direction: float, spin: float, axis: float
) -> None:
    flight = compute_flight(launch((speed, angle, direction, spin, axis), (speed, angle, -direction, spin, -axis)))
    assert flight.offline_yd[1] == pytest.approx(-flight.offline_yd[0], abs=1e-4)
    assert flight.carry_yd[1] == pytest.approx(flight.carry_yd[0], abs=1e-4)
    assert np.allclose(flight.path_yd[1] * [-1, 1, 1], flight.path_yd[0], atol=1e-4)


@settings(max_examples=25, deadline=None)
@given(speed=st.floats(30, 190), angle=st.floats(1, 60), spin=st.floats(0, 11000), direction=st.floats(-40, 40))
def test_another_direction_turns_the_same_flight(speed: float, angle: float, spin: float, direction: float) -> None:
    flight = compute_flight(launch((speed, angle, 0, spin, 7), (speed, angle, direction, spin, 7)))
    assert flight.carry_yd[1] == pytest.approx(flight.carry_yd[0], abs=1e-4)
    turned = [math.degrees(math.atan2(x, y)) for x, y in flight.path_yd[:, -1, :2]]
    assert turned[1] - turned[0] == pytest.approx(direction, abs=1e-3)


def test_units_change_nothing() -> None:
    to_mph, to_deg = compute_factor("km/h", "mph"), compute_factor("rad", "deg")
    assert to_mph is not None
    assert to_deg is not None
    other = launch((160 * 1.609344 * to_mph, 0.2 * to_deg, 0.03 * to_deg, 2700, -0.1 * to_deg))
    flight, same = compute_flight(other), fly(160, math.degrees(0.2), math.degrees(0.03), 2700, math.degrees(-0.1))
    assert flight.carry_yd == pytest.approx(same.carry_yd, rel=1e-6)
    assert flight.offline_yd == pytest.approx(same.offline_yd, rel=1e-5)


def test_each_shot_flies_alone_whatever_flies_with_it() -> None:
    rng = np.random.default_rng(5)
    shots = [tuple(row) for row in rng.uniform((40, 3, -9, 500, -30), (180, 45, 9, 9000, 30), (230, 5))]
    together = compute_flight(launch(*shots))
    for i in (0, 111, 229):
        alone = compute_flight(launch(shots[i]))
        assert together.carry_yd[i] == pytest.approx(alone.carry_yd[0], abs=1e-4)
        assert together.path_yd[i] == pytest.approx(alone.path_yd[0], abs=1e-4)


def test_thin_air_carries_farther_and_back_spin_carries_a_drive() -> None:
    assert fly(160, 11, spin=2600, air=Air(1.0)).carry_yd > fly(160, 11, spin=2600).carry_yd
    assert fly(160, 11, spin=2600).carry_yd > fly(160, 11, spin=0).carry_yd


def test_a_tilted_axis_curves_the_ball_to_its_side() -> None:
    flight = compute_flight(launch((160, 11, 0, 2600, 8), (160, 11, 0, 2600, -8)))
    assert flight.offline_yd[0] > 10
    assert flight.offline_yd[1] < -10


def test_what_does_not_rise_does_not_fly_and_what_is_not_known_stays_so() -> None:
    flight = compute_flight(
        launch((100, -3, 1, 500, 0), (0, 10, 0, 0, 0), (math.nan, 10, 0, 0, 0), (100, 10, 0, math.inf, 0))
    )
    assert flight.carry_yd[:2].tolist() == [0.0, 0.0]
    assert np.all(np.isnan(flight.carry_yd[2:]))
    assert np.all(np.isnan(flight.path_yd[2:]))
    assert compute_flight(Launch(*[np.zeros(0)] * 5)).path_yd.shape == (0, 61, 3)


def test_a_tiny_hop_beside_a_long_drive() -> None:
    flight = compute_flight(launch((10, 1, 0, 0, 0), (180, 12, 0, 2500, 0)))
    vacuum_time_s = 2 * 10 * mph * math.sin(math.radians(1)) / 9.80665
    assert flight.time_s[0] == pytest.approx(vacuum_time_s, rel=0.01)  # next to no drag at this speed and time


@pytest.mark.parametrize("angle", [0.1, 45.0, 89.9])
@pytest.mark.parametrize("spin", [0.0, 30000.0])
def test_the_wildest_launch_comes_down(angle: float, spin: float) -> None:
    flight = fly(300.0, angle, 80.0, spin, 85.0)
    assert 0 < flight.time_s[0] < 60
    assert np.all(np.isfinite(flight.path_yd))


@pytest.mark.parametrize("bad", [(-1, 10, 0, 100, 0), (100, 10, 0, -5, 0)])
def test_negative_speed_or_spin_is_refused(bad: tuple[float, float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="cannot be negative"):
        launch(bad)


def test_arrays_of_different_length_are_refused() -> None:
    with pytest.raises(ValueError, match="one shape"):
        Launch(np.zeros(2), np.zeros(2), np.zeros(3), np.zeros(2), np.zeros(2))


# Overall Distance Standard: ball 176 mph, 10 degrees, 2520 rpm; from 2028 on 183 mph, 11 degrees, 2220 rpm (as
# reported); the limit of 317 yd + 3 is carry and roll, so no ball within the rules carries farther than that.
@pytest.mark.parametrize(("speed", "angle", "spin"), [(176, 10, 2520), (183, 11, 2220)])
def test_no_ball_of_the_distance_standard_carries_beyond_its_limit(speed: float, angle: float, spin: float) -> None:
    assert fly(speed, angle, spin=spin).carry_yd[0] < 320
