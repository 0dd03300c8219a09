"""Strike patterns against numpy and scipy, and by simulation where the truth is known."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize
from scipy.stats import chi2, f, multivariate_normal

from review.lesson import Shot
from review.shots.flight import compute_strike_pattern, gather_strikes

STRIKES = np.array([[4, -7], [2, -1], [18, -8], [4, -1], [-4, -1], [-1, 1], [5, 0], [7, -3]], dtype=float)


def test_mean_and_scatter_are_those_of_numpy() -> None:
    pattern = compute_strike_pattern(STRIKES)
    assert pattern is not None
    assert pattern.n == 8
    assert (pattern.mean_across_mm, pattern.mean_up_mm) == pytest.approx(np.mean(STRIKES, axis=0))
    assert (pattern.sd_across_mm, pattern.sd_up_mm) == pytest.approx(np.std(STRIKES, axis=0, ddof=1))
    assert pattern.distance_mm == pytest.approx(np.linalg.norm(np.mean(STRIKES, axis=0)))


@pytest.mark.parametrize("share", [0.68, 0.95])
def test_the_edge_of_an_ellipse_has_the_chi_square_distance(share: float) -> None:
    pattern = compute_strike_pattern(STRIKES)
    assert pattern is not None
    ellipse = next(e for e in pattern.ellipses if e.share == share)
    angle, turn = math.radians(ellipse.angle_deg), np.linspace(0, 2 * math.pi, 50)
    long, short = ellipse.half_long_mm * np.cos(turn), ellipse.half_short_mm * np.sin(turn)
    edge = np.stack(
        [long * math.cos(angle) - short * math.sin(angle), long * math.sin(angle) + short * math.cos(angle)]
    )
    inverse = np.linalg.inv(np.cov(STRIKES.T))
    assert np.einsum("ij,ik,kj->j", edge, inverse, edge) == pytest.approx(chi2.ppf(share, 2))


def test_ellipses_hold_their_share_of_many_strikes() -> None:
    covariance = np.array([[64.0, 20.0], [20.0, 25.0]])
    strikes = multivariate_normal([3, -2], covariance).rvs(20_000, random_state=7)
    pattern = compute_strike_pattern(strikes)
    assert pattern is not None
    assert pattern.ellipses[0].angle_deg == pytest.approx(math.degrees(0.5 * math.atan2(40, 39)), abs=1.5)
    for ellipse in pattern.ellipses:
        angle = math.radians(ellipse.angle_deg)
        turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
        along = (strikes - strikes.mean(axis=0)) @ turn / [ellipse.half_long_mm, ellipse.half_short_mm]
        # four standard errors of a share of 20,000
        assert np.mean(np.sum(along**2, axis=1) <= 1) == pytest.approx(ellipse.share, abs=0.013)


def test_the_distance_interval_is_that_of_hotellings_region() -> None:
    pattern = compute_strike_pattern(STRIKES + [0, -6])
    assert pattern is not None
    mean, n = np.mean(STRIKES + [0, -6], axis=0), len(STRIKES)
    inverse = np.linalg.inv(np.cov(STRIKES.T))
    limit = 2 * (n - 1) / (n - 2) * f.ppf(0.95, 2, n - 2)
    region = {"type": "ineq", "fun": lambda p: limit - n * (p - mean) @ inverse @ (p - mean)}
    nearest = minimize(lambda p: p @ p, mean, constraints=region, options={"ftol": 1e-12})
    assert pattern.distance_low_mm == pytest.approx(math.sqrt(nearest.fun), abs=0.01)
    far = [minimize(lambda p: -p @ p, mean + d, constraints=region) for d in ([5, -5], [-5, -5], [5, 5])]
    assert pattern.distance_high_mm == pytest.approx(math.sqrt(max(-end.fun for end in far)), abs=0.01)


@pytest.mark.parametrize("centre", [(0.0, 0.0), (1.5, 0.0), (8.0, -5.0)])
def test_the_distance_interval_holds_the_truth_at_least_as_often_as_stated(centre: tuple[float, float]) -> None:
    rng = np.random.default_rng(11)
    true = math.hypot(*centre)
    held = 0
    for _ in range(600):
        strikes = rng.multivariate_normal(centre, [[50, 10], [10, 20]], 6)
        pattern = compute_strike_pattern(strikes)
        assert pattern is not None
        held += pattern.distance_low_mm <= true <= pattern.distance_high_mm
    assert held / 600 >= 0.95 - 3 * math.sqrt(0.95 * 0.05 / 600)


@settings(max_examples=50)
@given(st.lists(st.tuples(st.floats(-40, 40), st.floats(-40, 40)), min_size=3, max_size=12))
def test_order_changes_nothing_and_toe_and_heel_swap_cleanly(points: list[tuple[float, float]]) -> None:
    strikes = np.array(points)
    seen, turned = compute_strike_pattern(strikes), compute_strike_pattern(strikes[::-1] * [-1, 1])
    assert seen is not None
    assert turned is not None
    assert turned.mean_across_mm == pytest.approx(-seen.mean_across_mm, abs=1e-9)
    assert turned.distance_mm == pytest.approx(seen.distance_mm, abs=1e-9)
    for a, b in zip(seen.ellipses, turned.ellipses, strict=True):
        assert (a.half_long_mm, a.half_short_mm) == pytest.approx((b.half_long_mm, b.half_short_mm), abs=1e-5)


def test_few_strikes_say_what_they_can() -> None:
    assert compute_strike_pattern(np.zeros((0, 2))) is None
    one = compute_strike_pattern(STRIKES[:1])
    assert one is not None
    assert (one.mean_across_mm, one.ellipses) == (4.0, ())
    assert math.isnan(one.sd_up_mm)
    two = compute_strike_pattern(STRIKES[:2])
    assert two is not None
    assert two.sd_across_mm == pytest.approx(math.sqrt(2))
    assert math.isnan(two.distance_low_mm)


def test_strikes_in_a_line_or_all_alike_are_borne() -> None:
    line = compute_strike_pattern(np.array([[0.0, 5], [1, 5], [2, 5], [3, 5]]))
    assert line is not None
    assert line.ellipses[0].half_short_mm == pytest.approx(0.0, abs=1e-6)
    assert line.ellipses[0].angle_deg == pytest.approx(0.0, abs=1e-6)
    assert line.distance_low_mm == pytest.approx(5.0)
    alike = compute_strike_pattern(np.full((4, 2), 3.0))
    assert alike is not None
    assert alike.distance_low_mm == pytest.approx(alike.distance_high_mm) == pytest.approx(math.hypot(3, 3))


def test_a_strike_with_one_number_is_none() -> None:
    shots = [
        Shot("a", 1, "t", {"strike_across_mm": 4.0, "strike_up_mm": -7.0}),
        Shot("b", 2, "t", {"strike_across_mm": 4.0}),
        Shot("c", 3, "t", {"strike_across_mm": 4.0, "strike_up_mm": math.nan}),
    ]
    assert gather_strikes(shots).tolist() == [[4.0, -7.0]]
    assert gather_strikes([]).shape == (0, 2)


@pytest.mark.parametrize("bad", [np.zeros((3, 3)), np.zeros(3), np.array([[math.nan, 1.0]])])
def test_other_shapes_are_refused(bad: np.ndarray) -> None:
    with pytest.raises(ValueError, match="finite and have shape"):
        compute_strike_pattern(bad)
