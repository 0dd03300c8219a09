"""Doubts about rows: physics and geometry, in the player's words; nothing is dropped."""

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from review.lesson import Handedness, Shot
from review.shots import read_shot_table
from review.shots.carry_checks import LONG_BALL, SHORT_BALL, compute_longest_carry_yd
from review.shots.flight import Air, ClubKind, Launch, compute_flight
from review.shots.flight.impact import (
    compute_speed_ratio_limit,
    compute_spin_limit_rpm,
    compute_spin_of_push_rpm,
)
from review.shots.flight.trajectory import BALL_MASS_KG
from review.shots.plausibility import Doubt, compute_means, find_doubts

RIGHT, LEFT = Handedness.RIGHT, Handedness.LEFT
SAMPLE = Path(__file__).parents[2] / "sample_clips" / "shots.csv"
GOOD = {
    **{"club_speed_mph": 80.0, "ball_speed_mph": 108.0, "club_path_deg": 3.0, "face_angle_deg": 1.0},
    **{"face_to_path_deg": -2.0, "attack_angle_deg": -3.0, "dynamic_loft_deg": 22.0, "launch_angle_deg": 16.0},
    **{"launch_direction_deg": 1.5, "back_spin_rpm": 5500.0, "spin_axis_deg": -5.0, "carry_yd": 152.0},
    **{"offline_yd": -2.0, "height_yd": 24.0, "strike_across_mm": 3.0, "strike_up_mm": -2.0},
}
SIDED = (
    *("club_path_deg", "face_angle_deg", "face_to_path_deg", "launch_direction_deg"),
    *("side_spin_rpm", "spin_axis_deg", "offline_yd"),
)


def shot(club: str = "7-iron", shot_id: str = "a", **values: float) -> Shot:
    return Shot(shot_id, 1, "table.csv", {**GOOD, **values}, club=club)


def bare(club: str = "", **values: float) -> Shot:
    return Shot("a", 1, "table.csv", values, club=club)


def doubts_of(*shots: Shot, handedness: Handedness = RIGHT, **options: object) -> tuple[Doubt, ...]:
    return find_doubts(shots, handedness, **options)  # type: ignore[arg-type]


def test_a_good_row_and_every_row_of_the_sample_lesson_are_not_doubted() -> None:
    assert doubts_of(shot()) == ()
    assert doubts_of(*read_shot_table(SAMPLE).shots) == ()
    assert doubts_of() == ()


def test_energy_limit_from_momentum_and_restitution() -> None:
    # two bodies in a line, solved as equations: momentum is kept, parting speed = e x closing speed
    head, ball, e = 0.205, BALL_MASS_KG, 0.83
    after = np.linalg.solve([[head, ball], [-1, 1]], [head * 1.0, e * 1.0])
    assert compute_speed_ratio_limit(0.0, ClubKind.DRIVER) == pytest.approx(after[1])
    assert compute_speed_ratio_limit(0.0, ClubKind.DRIVER) == pytest.approx(1.5, abs=0.01)
    # no strike may give more energy than the head had
    for e_all in (0.83, 1.0):
        ratio = compute_speed_ratio_limit(0.0, ClubKind.DRIVER, e_all)
        left_over = (head - ball * ratio) / head
        assert head * left_over**2 + ball * ratio**2 <= head + 1e-12


@given(loft=st.floats(0, 90), club=st.sampled_from(ClubKind))
def test_more_loft_never_gives_more_speed(loft: float, club: ClubKind) -> None:
    assert compute_speed_ratio_limit(loft, club) <= compute_speed_ratio_limit(0.0, club) + 1e-12
    assert compute_spin_limit_rpm(100.0, loft, club) <= compute_spin_limit_rpm(100.0, 90.0, club) + 1e-9


def test_spin_limit_is_twice_rolling_and_keeps_the_energy() -> None:
    # sphere set rolling along the face of a free head: equal rim and head speed, impulse J on both
    head, ball, radius = 0.300, BALL_MASS_KG, 0.042672 / 2
    push = 1.0 / (1 / head + 1 / ball + radius**2 / (0.4 * ball * radius**2))
    rolling_rpm = push * radius / (0.4 * ball * radius**2) * 60 / (2 * math.pi)
    per_mph = compute_spin_limit_rpm(1.0, 90.0, ClubKind.IRON)
    assert per_mph == pytest.approx(2 * rolling_rpm * 0.44704)
    # with the whole grip given back the energy is just kept
    v_ball, v_head = 2 * push / ball, 1.0 - 2 * push / head
    spin = 2 * push * radius / (0.4 * ball * radius**2)
    assert ball * v_ball**2 + 0.4 * ball * radius**2 * spin**2 + head * v_head**2 == pytest.approx(head)
    assert compute_spin_of_push_rpm(v_ball / 0.44704) == pytest.approx(spin * 60 / (2 * math.pi))


@pytest.mark.parametrize(
    ("row", "measures", "parts"),
    [
        (
            bare("driver", club_speed_mph=100.0, ball_speed_mph=160.0),
            ("club_speed_mph", "ball_speed_mph"),
            ("1.60 times", "100.0 mph", "at most 1.50 times"),
        ),
        (
            bare(club_path_deg=4.0, face_angle_deg=1.0, face_to_path_deg=3.0),
            ("face_angle_deg", "club_path_deg", "face_to_path_deg"),
            ("expected face less path, closed 3.0° to the path", "found open 3.0° to the path"),
        ),
        (
            bare("7i", club_path_deg=1.0, face_angle_deg=2.0, launch_direction_deg=-6.0),
            ("club_path_deg", "face_angle_deg", "launch_direction_deg"),
            ("1.0° in-to-out", "open 2.0° to the target", "give or take 2.6°", "found 6.0° left of target"),
        ),
        (
            bare("7i", attack_angle_deg=-3.0, dynamic_loft_deg=22.0, launch_angle_deg=30.0),
            ("attack_angle_deg", "dynamic_loft_deg", "launch_angle_deg"),
            ("3.0° down", "22.0°", "found 30.0° up"),
        ),
        (
            bare(ball_speed_mph=20.0, spin_rpm=15000.0),
            ("spin_rpm", "ball_speed_mph"),
            ("expected at most", "found 15000 rpm"),
        ),
        (
            bare("7i", club_speed_mph=80.0, attack_angle_deg=-1.0, dynamic_loft_deg=12.0, spin_rpm=11000.0),
            ("spin_rpm", "club_speed_mph"),
            ("expected at most", "found 11000 rpm"),
        ),
        (
            bare(side_spin_rpm=500.0, back_spin_rpm=5000.0, spin_axis_deg=-5.7),
            ("spin_axis_deg", "side_spin_rpm", "back_spin_rpm"),
            ("expected tilted right 5.7°", "found tilted left 5.7°"),
        ),
        (
            bare(side_spin_rpm=3000.0, back_spin_rpm=4000.0, spin_rpm=4000.0),
            ("spin_rpm", "side_spin_rpm", "back_spin_rpm"),
            ("expected 5000 rpm", "found 4000 rpm"),
        ),
        (
            bare(back_spin_rpm=4000.0, spin_axis_deg=120.0),
            ("spin_axis_deg", "back_spin_rpm"),
            ("at most 90°", "tilted right 120.0°"),
        ),
        (bare(spin_rpm=-3.0), ("spin_rpm",), ("expected at least 0 rpm", "found -3 rpm")),
        (bare(club_speed_mph=400.0), ("club_speed_mph",), ("expected at most 180 mph", "found 400.0 mph")),
        (
            bare(carry_yd=50.0, total_yd=60.0, offline_yd=-90.0),
            ("offline_yd", "total_yd"),
            ("60.0 yd", "found 90.0 yd left of target"),
        ),
        (
            bare(ball_speed_mph=100.0, carry_yd=230.0),
            ("ball_speed_mph", "carry_yd"),
            ("whatever its launch", "found 230.0 yd"),
        ),
        (
            shot(carry_yd=80.0),
            ("ball_speed_mph", "launch_angle_deg", "back_spin_rpm", "carry_yd"),
            ("expected 1", "108.0 mph", "found 80.0 yd"),
        ),
    ],
)
def test_each_doubt_names_its_measures_what_was_expected_and_found(
    row: Shot, measures: tuple[str, ...], parts: tuple[str, ...]
) -> None:
    (doubt,) = doubts_of(row)
    assert doubt.shot_id == "a"
    assert doubt.measures == measures
    for part in parts:
        assert part in doubt.reason


def test_the_devices_own_error_moves_the_line() -> None:
    row = bare("7i", club_path_deg=1.0, face_angle_deg=2.0, launch_direction_deg=-1.0)
    assert doubts_of(row) == ()
    sharp = {"club_path_deg": 0.2, "launch_direction_deg": 0.2}
    assert len(doubts_of(row, device_errors=sharp)) == 1


def test_a_strike_far_out_on_a_bent_face_may_start_elsewhere() -> None:
    numbers = {"club_path_deg": 0.0, "face_angle_deg": 0.0, "launch_direction_deg": 5.0}
    assert doubts_of(bare("driver", **numbers, strike_across_mm=25.0)) == ()
    assert len(doubts_of(bare("driver", **numbers, strike_across_mm=0.0))) == 1
    assert len(doubts_of(bare("7i", **numbers, strike_across_mm=25.0))) == 1


def test_a_table_in_whole_degrees_may_miss_the_sum_by_its_rounding() -> None:
    whole = bare(club_path_deg=4.0, face_angle_deg=1.0, face_to_path_deg=-2.0)
    assert doubts_of(whole) == ()
    tenths = Shot("b", 2, "table.csv", {"club_path_deg": 3.2, "face_angle_deg": 1.1, "face_to_path_deg": -2.1})
    assert [doubt.shot_id for doubt in doubts_of(whole, tenths)] == ["a"]


NUMBERS = {
    "club_speed_mph": st.floats(20, 130),
    "ball_speed_mph": st.floats(0, 190),
    "club_path_deg": st.floats(-70, 70),
    "face_angle_deg": st.floats(-20, 20),
    "face_to_path_deg": st.floats(-20, 20),
    "attack_angle_deg": st.floats(-10, 10),
    "dynamic_loft_deg": st.floats(5, 50),
    "launch_angle_deg": st.floats(-5, 60),
    "launch_direction_deg": st.floats(-20, 20),
    "back_spin_rpm": st.floats(-2000, 20000),
    "side_spin_rpm": st.floats(-9000, 9000),
    "spin_axis_deg": st.floats(-100, 100),
    "spin_rpm": st.floats(-100, 21000),
    "carry_yd": st.floats(0, 300),
    "offline_yd": st.floats(-400, 400),
    "strike_across_mm": st.floats(-95, 95),
}


@settings(max_examples=60, deadline=None)
@given(values=st.fixed_dictionaries({}, optional=NUMBERS), handedness=st.sampled_from(Handedness))
def test_a_mirrored_row_of_the_other_hand_has_the_mirrored_doubts(
    values: dict[str, float], handedness: Handedness
) -> None:
    other = LEFT if handedness is RIGHT else RIGHT
    mirrored = {name: -value if name in SIDED else value for name, value in values.items()}
    seen = doubts_of(bare("7i", **values), handedness=handedness)
    turned = doubts_of(bare("7i", **mirrored), handedness=other)
    assert [doubt.measures for doubt in turned] == [doubt.measures for doubt in seen]
    for a, b in zip(seen, turned, strict=True):
        if a.measures not in [(name,) for name in SIDED]:  # an end with its sign is said as it stands
            assert b.reason.replace("left", "#").replace("right", "left").replace("#", "right") == a.reason


def test_order_of_rows_changes_nothing() -> None:
    rows = [shot(shot_id=str(i), carry_yd=60.0 + 20 * i, launch_direction_deg=i - 3.0) for i in range(8)]
    forward, backward = doubts_of(*rows), doubts_of(*rows[::-1])
    assert len(forward) > 2
    assert sorted(forward, key=repr) == sorted(backward, key=repr)


def test_units_of_the_table_change_nothing(tmp_path: Path) -> None:
    header = "ball speed [{}],launch angle [{}],launch direction [{}],back spin [rpm],spin axis [{}],carry [{}]\n"
    rows = [(108.0, 16.0, 1.5, 5500, -5.0, 152.0), (108.0, 16.0, 1.5, 5500, -5.0, 70.0)]
    imperial, metric = tmp_path / "a.csv", tmp_path / "b.csv"
    body = "".join(",".join(map(str, row)) + "\n" for row in rows)
    imperial.write_text(header.format("mph", "deg", "deg", "deg", "yd") + body)
    scale = (0.44704, math.pi / 180, math.pi / 180, 1, math.pi / 180, 0.9144)
    body = "".join(",".join(repr(v * s) for v, s in zip(row, scale, strict=True)) + "\n" for row in rows)
    metric.write_text(header.format("m/s", "rad", "rad", "rad", "m") + body)
    said = [doubts_of(*read_shot_table(path).shots) for path in (imperial, metric)]
    assert [len(doubts) for doubts in said] == [1, 1]
    assert said[0][0].reason == said[1][0].reason


def test_absent_and_not_finite_numbers_are_borne() -> None:
    odd = {name: value for name, value in zip(GOOD, [math.nan, math.inf, -math.inf] * 9, strict=False)}
    assert doubts_of(bare(), bare(**odd)) == ()
    huge = {name: value for name, value in zip(GOOD, [1e307, -1e307, 1e12] * 9, strict=False)}
    assert len(doubts_of(bare(**huge))) > 5
    (at_rest,) = doubts_of(bare(ball_speed_mph=0.0, carry_yd=5.0, club_speed_mph=50.0))
    assert at_rest.measures == ("ball_speed_mph",)


# Averages of tour players as commonly quoted, from memory: ball speed, launch angle, spin, carry.
@pytest.mark.parametrize(
    ("speed", "angle", "spin", "carry"),
    [
        (167, 10.9, 2686, 275),
        (158, 9.2, 3655, 243),
        (132, 12.1, 5361, 194),
        (120, 16.3, 7097, 172),
        (102, 24.2, 9304, 136),
    ],
)
def test_the_band_of_carries_holds_common_averages(speed: float, angle: float, spin: float, carry: float) -> None:
    launch = Launch(*(np.array([float(v)]) for v in (speed, angle, 0.0, spin, 0.0)))
    short, long = (compute_flight(launch, ball=ball).carry_yd[0] for ball in (SHORT_BALL, LONG_BALL))
    assert short < carry < long


def test_the_distance_standard_leaves_the_long_ball_room_to_roll() -> None:
    # 176 mph, 10 degrees, 2520 rpm: at most 317 + 3 yd of carry and roll
    launch = Launch(*(np.array([v]) for v in (176.0, 10.0, 0.0, 2520.0, 0.0)))
    carry = compute_flight(launch, ball=LONG_BALL).carry_yd[0]
    assert 280 < carry < 320


@pytest.mark.parametrize("speed", [35.0, 91.0, 152.0])
def test_no_launch_carries_farther_than_the_longest(speed: float) -> None:
    rng = np.random.default_rng(3)
    n = 150
    launch = Launch(np.full(n, speed), rng.uniform(8, 50, n), np.zeros(n), rng.uniform(1000, 8000, n), np.zeros(n))
    longest = compute_longest_carry_yd(speed, Air())
    carries = compute_flight(launch, ball=LONG_BALL, n_points=2).carry_yd
    assert 0.93 * longest < carries.max() < 1.02 * longest  # the grid of launches is 4 degrees and 1500 rpm wide


def test_thin_air_allows_a_longer_carry() -> None:
    row = bare(ball_speed_mph=100.0, carry_yd=195.0)
    assert len(doubts_of(row)) == 1
    assert doubts_of(row, air=Air(0.7)) == ()


def test_carries_may_be_left_out() -> None:
    assert doubts_of(shot(carry_yd=40.0), is_carry_checked=False) == ()


def test_a_suspect_row_counts_in_and_out_of_the_mean() -> None:
    rows = [shot(shot_id="a"), shot(shot_id="b", carry_yd=154.0), shot(shot_id="c", carry_yd=20.0)]
    means = compute_means("carry_yd", rows, doubts_of(*rows))
    assert (means.n, means.n_without) == (3, 2)
    assert means.mean == pytest.approx((152 + 154 + 20) / 3)
    assert means.mean_without == pytest.approx(153.0)
    none = compute_means("total_yd", rows, ())
    assert none.n == 0
    assert math.isnan(none.mean)
