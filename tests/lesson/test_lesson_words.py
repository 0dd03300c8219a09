"""Words of the numbers: the project's own vocabulary (in-to-out, open, ... as golf coaches use them)."""

import decimal
import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from review.lesson import KINDS, Bound, Handedness, Measure
from review.lesson.changes import say_change, say_change_interval
from review.lesson.sides import SIDED
from review.lesson.words import say_measure, say_value

RIGHT, LEFT = Handedness.RIGHT, Handedness.LEFT
MIRRORED = (
    "club_path_deg",
    "face_angle_deg",
    "face_to_path_deg",
    "launch_direction_deg",
    "side_spin_rpm",
    "spin_axis_deg",
    "offline_yd",
)
"""Device numbers whose sign changes when a swing is seen in a mirror."""

# Plain trade usage, no source: a right-hander whose club moves to the right of the target swings in-to-out and a
# face to the right is open; for a left-hander it is the other way round.
VALUES = [
    ("hip_turn_deg", -42.0, "turned away 42°", "turned away 42°"),
    ("hip_turn_deg", 38.0, "open 38°", "open 38°"),
    ("hip_turn_deg", 0.3, "0°, square", "0°, square"),
    ("shoulder_turn_deg", -88.0, "turned away 88°", "turned away 88°"),
    ("trail_heel_lift_cm", 1.2, "1.2 cm up", "1.2 cm up"),
    ("trail_heel_lift_cm", 0.0, "0.0 cm, as high as at address", "0.0 cm, as high as at address"),
    ("hip_shift_cm", 10.0, "10.0 cm toward target", "10.0 cm toward target"),
    ("hip_shift_cm", -2.5, "2.5 cm away from target", "2.5 cm away from target"),
    ("heel_off_ms", 40.0, "40 ms before impact", "40 ms before impact"),
    ("heel_off_ms", -12.0, "12 ms after impact", "12 ms after impact"),
    ("trail_foot_twist_deg", 14.0, "toe turned 14° toward target", "toe turned 14° toward target"),
    ("trail_foot_slip_cm", -1.5, "1.5 cm away from target", "1.5 cm away from target"),
    ("trail_foot_slip_to_toes_cm", 2.0, "2.0 cm toward the toes", "2.0 cm toward the toes"),
    ("trail_foot_slip_length_cm", 2.5, "2.5 cm", "2.5 cm"),
    ("tempo_ratio", 3.1, "3.1 to 1", "3.1 to 1"),
    ("downswing_s", 0.26, "0.26 s", "0.26 s"),
    ("club_speed_mph", 69.7, "69.7 mph", "69.7 mph"),
    ("club_path_deg", 4.0, "4.0° in-to-out", "4.0° out-to-in"),
    ("club_path_deg", -4.0, "4.0° out-to-in", "4.0° in-to-out"),
    ("club_path_deg", -0.04, "0.0° path, straight at the target", "0.0° path, straight at the target"),
    ("face_angle_deg", 2.0, "open 2.0° to the target", "closed 2.0° to the target"),
    ("face_angle_deg", 0.0, "0.0°, square to the target", "0.0°, square to the target"),
    ("face_to_path_deg", 3.0, "open 3.0° to the path", "closed 3.0° to the path"),
    ("face_to_path_deg", -3.0, "closed 3.0° to the path", "open 3.0° to the path"),
    ("attack_angle_deg", -2.4, "2.4° down", "2.4° down"),
    ("attack_angle_deg", 0.0, "0.0°, level", "0.0°, level"),
    ("launch_direction_deg", -1.5, "1.5° left of target", "1.5° left of target"),
    ("offline_yd", 3.2, "3.2 yd right of target", "3.2 yd right of target"),
    ("offline_yd", 0.0, "0.0 yd, on the target line", "0.0 yd, on the target line"),
    ("spin_axis_deg", -10.3, "tilted left 10.3°", "tilted left 10.3°"),
    ("strike_across_mm", 18.0, "18 mm toward the toe", "18 mm toward the toe"),
    ("strike_up_mm", -7.0, "7 mm low", "7 mm low"),
    ("back_spin_rpm", 6012.4, "6012 rpm", "6012 rpm"),
]


@pytest.mark.parametrize(("name", "value", "right", "left"), VALUES)
def test_a_value_in_words(name: str, value: float, right: str, left: str) -> None:
    assert say_value(name, value, RIGHT) == right
    assert say_value(name, value, LEFT) == left


CHANGES = [
    ("club_path_deg", 6.0, 2.0, "4.0° less in-to-out"),
    ("club_path_deg", 6.0, -1.0, "7.0° less in-to-out, now 1.0° out-to-in"),
    ("club_path_deg", 6.0, 0.0, "6.0° less in-to-out, now 0.0° path, straight at the target"),
    ("club_path_deg", 0.0, -2.0, "2.0° more out-to-in"),
    ("club_path_deg", -3.0, -5.0, "2.0° more out-to-in"),
    ("club_path_deg", 2.0, 2.04, "no change"),
    ("face_to_path_deg", -4.0, -1.5, "2.5° less closed to the path"),
    ("hip_turn_deg", 20.0, 36.0, "16° more open"),
    ("hip_turn_deg", -40.0, -52.0, "12° more turned away"),
    ("hip_turn_deg", -10.0, 8.0, "18° less turned away, now open 8°"),
    ("trail_heel_lift_cm", 0.9, 3.8, "2.9 cm higher"),
    ("heel_off_ms", 60.0, 20.0, "40 ms later"),
    ("hip_shift_cm", 12.0, 6.5, "5.5 cm less toward target"),
    ("club_speed_mph", 69.7, 70.9, "1.2 mph faster"),
    ("carry_yd", 151.0, 148.0, "3.0 yd shorter"),
    ("backswing_s", 0.80, 0.85, "0.05 s longer"),
    ("tempo_ratio", 3.4, 3.0, "ratio 0.4 lower"),
    ("dynamic_loft_deg", 30.0, 27.0, "3.0° less"),
    ("attack_angle_deg", -4.0, -2.5, "1.5° less down"),
    ("offline_yd", 9.0, -2.0, "11.0 yd less right of target, now 2.0 yd left of target"),
    ("strike_across_mm", 18.0, 5.0, "13 mm less toward the toe"),
    ("side_spin_rpm", 800.0, 300.0, "500 rpm less spin to the right"),
]


@pytest.mark.parametrize(("name", "first", "last", "words"), CHANGES)
def test_a_change_in_the_players_words(name: str, first: float, last: float, words: str) -> None:
    assert say_change(name, first, last, RIGHT) == words


def test_a_left_handers_change_is_the_mirror_image() -> None:
    assert say_change("club_path_deg", -6.0, 1.0, LEFT) == "7.0° less in-to-out, now 1.0° out-to-in"


CHANGE_INTERVALS = [
    ("club_path_deg", (6.0, 2.0, -5.3, -2.7), RIGHT, "2.7 to 5.3° less in-to-out"),
    ("club_path_deg", (-6.0, -2.0, 2.7, 5.3), LEFT, "2.7 to 5.3° less in-to-out"),
    ("club_path_deg", (2.0, 3.0, -1.0, 3.0), RIGHT, "1.0° less to 3.0° more in-to-out"),
    ("club_path_deg", (2.0, 3.5, 0.04, 3.0), RIGHT, "0.0 to 3.0° more in-to-out"),
    ("club_path_deg", (2.0, 3.5, -0.04, 3.0), RIGHT, "0.0 to 3.0° more in-to-out"),
    ("club_path_deg", (0.0, 1.0, -1.0, 3.0), RIGHT, "1.0° more out-to-in to 3.0° more in-to-out"),
    ("club_speed_mph", (69.7, 70.9, -0.4, 2.8), RIGHT, "0.4 mph slower to 2.8 mph faster"),
    ("trail_heel_lift_cm", (0.9, 3.8, 2.1, 3.7), RIGHT, "2.1 to 3.7 cm higher"),
    ("tempo_ratio", (3.4, 3.0, -0.6, -0.2), RIGHT, "ratio 0.2 to 0.6 lower"),
    ("tempo_ratio", (3.4, 3.3, -0.3, 0.1), RIGHT, "ratio 0.3 lower to ratio 0.1 higher"),
    ("hip_turn_deg", (20.0, 36.0, math.nan, math.nan), RIGHT, ""),
]


@pytest.mark.parametrize(("name", "numbers", "hand", "words"), CHANGE_INTERVALS)
def test_the_interval_of_a_change_in_its_words(
    name: str, numbers: tuple[float, float, float, float], hand: Handedness, words: str
) -> None:
    assert say_change_interval(name, *numbers, hand) == words


@pytest.mark.parametrize(
    ("measure", "words"),
    [
        (Measure("hip_turn_deg", -42.0, "top", -48.0, -36.0), "turned away 42° (36 to 48)"),
        (Measure("hip_turn_deg", 38.0, "impact", 31.0, 45.0), "open 38° (31 to 45)"),
        (Measure("hip_turn_deg", 2.0, "impact", -4.0, 8.0), "open 2° (turned away 4° to open 8°)"),
        (Measure("hip_turn_deg", 3.0, "impact", 0.2, 6.0), "open 3° (0 to 6)"),
        (Measure("hip_turn_deg", 0.4, "impact", -0.2, 3.0), "0°, square (0°, square to open 3°)"),
        (Measure("downswing_s", 0.26, low=0.24, high=0.28), "0.26 s (0.24 to 0.28)"),
        (Measure("hip_turn_deg", -75.0, "top", bound=Bound.AT_LEAST), "turned away about 75° or more"),
        # of shoulders turned farther than 105 degrees nothing more is known; hips have no such end
        (Measure("shoulder_turn_deg", -98.0, "top", -108.0, -88.0), "turned away 98° (88 to 105 or more)"),
        (Measure("shoulder_turn_deg", -93.0, "top", -104.9, -81.1), "turned away 93° (81 to 105)"),
        (
            Measure("shoulder_turn_deg", -60.0, "top", -130.0, 10.0),
            "turned away 60° (turned away 105° or more to open 10°)",
        ),
        (Measure("hip_turn_deg", -98.0, "top", -108.0, -88.0), "turned away 98° (88 to 108)"),
        (Measure("hip_shift_cm", 9.0, "top", bound=Bound.AT_MOST), "about 9.0 cm toward target or less"),
        (
            Measure("hip_shift_cm", math.nan, "top", why_missing="one down-the-line camera cannot see it"),
            "not measured: one down-the-line camera cannot see it",
        ),
        (Measure("club_path_deg", 4.0, low=3.0, high=5.0), "4.0° in-to-out"),
    ],
)
def test_a_measure_with_its_interval_bound_or_reason(measure: Measure, words: str) -> None:
    assert say_measure(measure, RIGHT) == words


def test_what_is_not_finite_is_not_known() -> None:
    assert say_value("club_path_deg", math.nan, RIGHT) == "not known"
    assert say_change("club_path_deg", math.nan, 1.0, RIGHT) == "not known"


def test_an_unknown_measure_is_refused() -> None:
    for say in (lambda: say_value("mood", 1.0, RIGHT), lambda: say_change("mood", 1.0, 2.0, RIGHT)):
        with pytest.raises(KeyError):
            say()


def swap_sides(words: str) -> str:
    """Left and right of the world change places in a mirror."""
    return re.sub(r"\b(left|right)\b", lambda found: "left" if found[0] == "right" else "right", words)


numbers = st.floats(-400, 400)


@given(st.sampled_from(MIRRORED), numbers, st.sampled_from(Handedness))
def test_a_mirrored_swing_keeps_its_words_and_swaps_left_and_right(name: str, value: float, hand: Handedness) -> None:
    # The mirror image of a right-hander's swing is a left-hander's: in-to-out and open stay, right of target swaps.
    other = LEFT if hand is RIGHT else RIGHT
    assert say_value(name, -value, other) == swap_sides(say_value(name, value, hand))


@given(st.sampled_from(MIRRORED), numbers, numbers, st.sampled_from(Handedness))
def test_a_mirrored_change_too(name: str, first: float, last: float, hand: Handedness) -> None:
    other = LEFT if hand is RIGHT else RIGHT
    assert say_change(name, -first, -last, other) == swap_sides(say_change(name, first, last, hand))


@given(st.sampled_from(sorted(set(KINDS) - set(MIRRORED))), numbers)
def test_other_numbers_are_said_alike_for_both_hands(name: str, value: float) -> None:
    assert say_value(name, value, LEFT) == say_value(name, value, RIGHT)


def test_a_change_that_the_values_as_shown_do_not_give_says_so() -> None:
    assert say_value("trail_heel_lift_cm", 2.5244, RIGHT) == "2.5 cm up"
    assert say_value("trail_heel_lift_cm", 4.1598, RIGHT) == "4.2 cm up"
    assert say_change("trail_heel_lift_cm", 2.5244, 4.1598, RIGHT) == "about 1.6 cm higher"
    assert say_change("tempo_ratio", 2.66, 2.63, RIGHT) == "about the same"
    assert say_change("hip_shift_cm", 0.349, -1.549, RIGHT) == (
        "about 1.9 cm less toward target, now 1.5 cm away from target"
    )


@given(st.sampled_from(sorted(KINDS)), numbers, numbers)
def test_a_change_without_about_is_that_of_the_values_shown(name: str, first: float, last: float) -> None:
    values = [_read_size(say_value(name, value, RIGHT)) for value in (first, last)]
    change = say_change(name, first, last, RIGHT)
    near, far = sorted(values)
    nothing = change in ("no change", "about the same")
    size = decimal.Decimal(0) if nothing else _read_size(change)
    # a step of the last digit, the most that rounding both values and the change can make
    step = decimal.Decimal(1).scaleb(-KINDS[name].decimals)
    parted = min(abs(size - (far - near)), abs(size - (far + near)))
    assert parted <= (step if change.startswith("about") else 0)


def _read_size(words: str) -> decimal.Decimal:
    found = re.search(r"\d+(?:\.\d+)?", words)
    return decimal.Decimal(found[0]) if found else decimal.Decimal(0)


@given(st.sampled_from(sorted(KINDS)), numbers, numbers, st.sampled_from(Handedness))
def test_words_always_carry_unit_and_never_a_bare_sign(name: str, first: float, last: float, hand: Handedness) -> None:
    value, change = say_value(name, first, hand), say_change(name, first, last, hand)
    assert KINDS[name].unit in value
    assert "-" not in re.sub("in-to-out|out-to-in", "", value + change)
    assert "nan" not in value + change
    # there and back again: a change one way is never said like the change back
    back = say_change(name, last, first, hand)
    assert (change == back) == (change in ("no change", "about the same"))


@pytest.mark.parametrize(
    ("value", "low", "high", "words"),
    [
        (0.9, -0.4, 2.1, "under 2.5 cm"),
        (1.2, -1.0, 3.4, "none, or up to 3.4 cm"),
        (2.9, 0.02, 5.8, "none, or up to 5.8 cm"),
        (-1.0, -1.8, -0.2, "under 2.5 cm"),
        (2.0, 0.4, 3.6, "2.0 cm up (0.4 to 3.6)"),
    ],
)
def test_a_lift_that_may_be_none(value: float, low: float, high: float, words: str) -> None:
    assert say_measure(Measure("trail_heel_lift_cm", value, "impact", low, high), RIGHT) == words


def test_the_most_that_can_be_said_of_a_slip() -> None:
    most = Measure("trail_foot_slip_length_cm", 1.8, bound=Bound.AT_MOST)
    assert say_measure(most, RIGHT) == "about 1.8 cm or less"


def test_every_measure_with_two_sides_has_words_for_them():
    assert {name for name, kind in KINDS.items() if kind.positive} <= set(SIDED)
