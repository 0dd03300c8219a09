"""What up and down mean on a scale, and its numbers."""

import pytest

from review.charts.axis import choose_ticks, least_span, say_heading, say_short, say_tick
from review.lesson import KINDS, Handedness
from review.lesson.changes import say_change_directions, say_directions

RIGHT, LEFT = Handedness.RIGHT, Handedness.LEFT


@pytest.mark.parametrize(
    ("name", "low", "high", "hand", "up", "down"),
    [
        ("club_path_deg", -2, 3, RIGHT, "in-to-out", "out-to-in"),
        ("club_path_deg", -2, 3, LEFT, "out-to-in", "in-to-out"),
        ("club_path_deg", 1, 3, RIGHT, "more in-to-out", "less in-to-out"),
        ("club_path_deg", -3, -1, LEFT, "less in-to-out", "more in-to-out"),
        ("hip_turn_deg", -50, -30, LEFT, "less turned away", "more turned away"),
        ("offline_yd", -5, 5, LEFT, "right of target", "left of target"),
        ("carry_yd", 110, 130, RIGHT, "longer", "shorter"),
        ("heel_off_ms", -10, 30, RIGHT, "earlier", "later"),
        ("dynamic_loft_deg", 20, 25, RIGHT, "more", "less"),
    ],
)
def test_directions(name, low, high, hand, up, down):
    assert say_directions(name, low, high, hand) == (up, down)


def test_every_measure_has_words_for_both_directions():
    for name in KINDS:
        for low, high in ((-1.0, 1.0), (0.0, 5.0), (-5.0, 0.0)):
            up, down = say_directions(name, low, high, LEFT)
            assert up
            assert down
            assert up != down
    assert say_change_directions("club_path_deg", 5.0, RIGHT) == ("more in-to-out", "less in-to-out")
    with pytest.raises(KeyError):
        say_directions("charm", 0, 1, RIGHT)


def test_numbers_of_a_scale():
    assert say_tick("club_path_deg", -4.0, 0) == "4°"  # "out-to-in" stands at that end
    assert say_tick("carry_yd", 120.0, 0) == "120"
    assert say_short("hip_shift_cm", -2.13) == "2.1 cm"
    assert say_short("hip_turn_deg", -41.6) == "42°"
    assert say_heading("carry_yd", "") == "Carry, yards"
    ticks, decimals = choose_ticks([121.5], least_span("carry_yd"))
    assert ticks[0] <= 121.5 <= ticks[-1]
    assert decimals <= KINDS["carry_yd"].decimals
