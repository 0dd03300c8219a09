"""Shapes in trade words (common practice, no source) for either hand, and the reason in a sentence."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from review.lesson import Handedness, Shot
from review.shots.flight import (
    ClubKind,
    Curve,
    Start,
    compute_flight,
    find_face_to_path,
    find_shape,
    find_spin,
    find_spin_axis,
    find_start,
    make_launch,
    say_why,
)

RIGHT, LEFT = Handedness.RIGHT, Handedness.LEFT
SIDED = (
    *("club_path_deg", "face_angle_deg", "face_to_path_deg", "launch_direction_deg"),
    *("side_spin_rpm", "spin_axis_deg", "offline_yd"),
)
OTHER_HAND = {RIGHT: LEFT, LEFT: RIGHT}


def mirror(values: dict[str, float]) -> dict[str, float]:
    return {name: -value if name in SIDED else value for name, value in values.items()}


def swap_sides(words: str) -> str:
    return words.replace("left", "#").replace("right", "left").replace("#", "right")


@pytest.mark.parametrize(
    ("start", "axis", "right", "left"),
    [
        (0.0, 0.0, "straight", "straight"),
        (1.0, 1.9, "straight", "straight"),
        (3.0, 0.0, "push", "pull"),
        (-3.0, 0.0, "pull", "push"),
        (0.0, -5.0, "draw", "fade"),
        (0.5, 5.0, "fade", "draw"),
        (0.0, 15.0, "slice", "hook"),
        (0.0, -12.0, "hook", "slice"),
        (3.0, -5.0, "push draw", "pull fade"),
        (-3.0, -20.0, "pull hook", "push slice"),
        (4.0, 20.0, "push slice", "pull hook"),
    ],
)
def test_words_of_start_and_spin_axis(start: float, axis: float, right: str, left: str) -> None:
    values = {"launch_direction_deg": start, "spin_axis_deg": axis}
    assert find_shape(values, RIGHT).words == right
    assert find_shape(values, LEFT).words == left


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, "not known"),
        ({"launch_direction_deg": 2.0}, "push, curve not known"),
        ({"launch_direction_deg": 0.2}, "straight start, curve not known"),
        ({"spin_axis_deg": 6.0}, "fade, start not known"),
        ({"face_to_path_deg": 0.2}, "no curve, start not known"),
        # 250 yd carry, started 3 degrees left, landed 5 yd right: 1.1 + 3 degrees of curve
        ({"launch_direction_deg": -3.0, "carry_yd": 250.0, "offline_yd": 5.0}, "pull fade"),
        ({"launch_direction_deg": -3.0, "carry_yd": 250.0, "offline_yd": 40.0}, "pull slice"),
        ({"back_spin_rpm": 3000.0, "side_spin_rpm": -300.0, "launch_direction_deg": 0.0}, "draw"),
        ({"club_path_deg": -5.0, "face_angle_deg": -2.0}, "pull fade"),
        ({"club_path_deg": math.nan, "launch_direction_deg": math.nan}, "not known"),
    ],
)
def test_what_the_row_has_decides_how_the_shape_is_found(values: dict[str, float], words: str) -> None:
    assert find_shape(values, RIGHT).words == words


NUMBERS = {
    "club_path_deg": st.floats(-12, 12),
    "face_angle_deg": st.floats(-12, 12),
    "face_to_path_deg": st.floats(-12, 12),
    "attack_angle_deg": st.floats(-6, 6),
    "dynamic_loft_deg": st.floats(8, 50),
    "launch_direction_deg": st.floats(-12, 12),
    "back_spin_rpm": st.floats(500, 9000),
    "side_spin_rpm": st.floats(-2000, 2000),
    "spin_axis_deg": st.floats(-40, 40),
    "carry_yd": st.floats(50, 250),
    "offline_yd": st.floats(-40, 40),
    "strike_across_mm": st.floats(-25, 25),
}


@given(
    values=st.fixed_dictionaries({}, optional=NUMBERS),
    handedness=st.sampled_from(Handedness),
    club=st.sampled_from(ClubKind),
)
def test_a_mirrored_shot_of_the_other_hand_has_the_same_words(
    values: dict[str, float], handedness: Handedness, club: ClubKind
) -> None:
    other, mirrored = OTHER_HAND[handedness], mirror(values)
    seen, turned = find_shape(values, handedness, club), find_shape(mirrored, other, club)
    assert turned.words == seen.words
    assert turned.curve_side == -seen.curve_side
    assert say_why(mirrored, other, club) == swap_sides(say_why(values, handedness, club))


@pytest.mark.parametrize(
    ("values", "why"),
    [
        (
            {"club_path_deg": -5.0, "face_angle_deg": -2.0, "launch_direction_deg": -2.8, "spin_axis_deg": 8.0},
            "started 2.8° left because the face was closed 2.0° to the target; "
            "curved right because the face was open 3.0° to the path",
        ),
        (
            {"club_path_deg": 8.0, "face_angle_deg": 0.0, "launch_direction_deg": 2.2},
            "started 2.2° right because the path was 8.0° in-to-out, while the face was square to the target; "
            "should curve left because the face was closed 8.0° to the path",
        ),
        (
            {"club_path_deg": -3.0, "face_angle_deg": 1.5, "launch_direction_deg": 0.2},
            "started straight because the face was open 1.5° to the target and the path was 3.0° out-to-in: one made "
            "up for the other; should curve right because the face was open 4.5° to the path",
        ),
        (
            {"club_path_deg": 1.0, "face_angle_deg": 2.0, "launch_direction_deg": 6.0, "spin_axis_deg": 0.5},
            "started 6.0° right, though the face was open 2.0° to the target and the path was 1.0° in-to-out, which "
            "would start it 1.6 to 1.8° right; did not curve because the face was nearly square to the path (1.0° off)",
        ),
        (
            {"face_to_path_deg": 3.0, "spin_axis_deg": -6.0, "strike_across_mm": 18.0},
            "curved left because the strike was 18 mm toward the toe, though the face was open 3.0° to the path",
        ),
        (
            {"face_to_path_deg": 4.0, "spin_axis_deg": 0.0, "strike_across_mm": 15.0},
            "did not curve because the strike was 15 mm toward the toe, which made up for the face: the face was "
            "open 4.0° to the path",
        ),
        (
            {"face_to_path_deg": 4.0, "spin_axis_deg": -6.0},
            "curved left, though the face was open 4.0° to the path: a strike off the centre can do that, or a "
            "misread row",
        ),
        ({"launch_direction_deg": 3.0}, "started 3.0° right (why: needs face angle and club path)"),
        ({"spin_axis_deg": 6.0}, "curved right (why: needs face to path)"),
        ({"carry_yd": 150.0}, ""),
    ],
)
def test_the_reason_in_a_sentence(values: dict[str, float], why: str) -> None:
    assert say_why(values, RIGHT) == why


def test_the_reason_of_a_left_hander_is_in_the_left_handers_words() -> None:
    values = {"club_path_deg": 5.0, "face_angle_deg": 2.0, "launch_direction_deg": 2.8, "spin_axis_deg": -8.0}
    assert say_why(values, LEFT) == (
        "started 2.8° right because the face was closed 2.0° to the target; "
        "curved left because the face was open 3.0° to the path"
    )
    shape = find_shape(values, LEFT)
    assert (shape.start, shape.curve) == (Start.PULL, Curve.FADE)


def test_the_curve_from_face_and_path_is_where_the_flight_goes() -> None:
    values = {
        **{"club_path_deg": -4.0, "face_angle_deg": -1.0, "attack_angle_deg": -3.0, "dynamic_loft_deg": 22.0},
        **{"ball_speed_mph": 110.0, "launch_angle_deg": 16.0, "spin_rpm": 6000.0},
    }
    flight = compute_flight(make_launch([Shot("a", 1, "t", values, club="7i")]))
    start = find_start(values, ClubKind.IRON).value
    landed = math.degrees(math.asin(flight.offline_yd[0] / flight.carry_yd[0]))
    shape = find_shape(values, RIGHT, ClubKind.IRON)
    assert shape.words == "pull fade"
    assert landed - start > 1.0  # to the right of where it started


def test_spin_is_put_together_from_what_there_is() -> None:
    assert find_spin({"spin_rpm": 5000.0, "back_spin_rpm": 1.0}).value == 5000.0
    assert find_spin({"back_spin_rpm": 3000.0, "side_spin_rpm": 4000.0}).value == pytest.approx(5000.0)
    assert find_spin({"back_spin_rpm": 3000.0, "spin_axis_deg": 60.0}).value == pytest.approx(6000.0)
    assert not find_spin({"back_spin_rpm": 3000.0}).is_known
    assert find_spin_axis({"back_spin_rpm": 1000.0, "side_spin_rpm": 1000.0}).value == pytest.approx(45.0)
    assert find_face_to_path({"face_angle_deg": 1.0, "club_path_deg": 3.0, "face_to_path_deg": 9.0}).value == -2.0
    assert find_face_to_path({"face_to_path_deg": 9.0}).value == 9.0


def test_rows_without_a_launch_keep_their_place() -> None:
    full = {"ball_speed_mph": 100.0, "launch_angle_deg": 15.0, "launch_direction_deg": 1.0, "spin_axis_deg": 2.0}
    shots = [
        Shot("a", 1, "t", {**full, "spin_rpm": 5000.0}),
        Shot("b", 2, "t", full),
        Shot("c", 3, "t", {**full, "spin_rpm": -5000.0}),
    ]
    carry = compute_flight(make_launch(shots)).carry_yd
    assert carry[0] > 100
    assert math.isnan(carry[1])
    assert math.isnan(carry[2])
    assert len(make_launch([])) == 0
