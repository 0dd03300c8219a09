"""What stands beside the newest swing, without Qt's pictures: which numbers, how said, which part of a clip loops."""

from dataclasses import replace

import numpy as np
from shown_lessons import PATH, make_lesson, path

from review.app.live.balls import say_lesson
from review.app.live.newest import find_span
from review.app.live.three_numbers import choose_first, say_numbers, step_choice
from review.lesson import Clip, Handedness, SwingKind


def test_the_number_is_in_the_players_words():
    said = {}
    for hand in Handedness:
        shown = make_lesson([path(4.0)], [1], handedness=hand)
        said[hand] = say_numbers(shown, shown.swings[0], [PATH])[0].words
    # + is right of target: to a right-hander out there, to a left-hander in here
    assert said == {Handedness.RIGHT: "4.0° in-to-out", Handedness.LEFT: "4.0° out-to-in"}


def test_another_number_takes_a_place_and_none_stands_twice():
    shown = make_lesson([path(4.0)], [1])
    chosen = choose_first(shown)
    assert chosen[0] == PATH
    seen = {chosen[1]}
    for _ in range(20):
        chosen = step_choice(chosen, 1, shown)
        assert len(set(chosen)) == 3
        seen.add(chosen[1])
    assert len(seen) > 3


def test_practice_swings_are_no_balls_and_a_swing_left_out_says_so():
    shown = make_lesson([path(1.0), None, path(2.0)], [1, 1, 1], kinds={2: SwingKind.PRACTICE}, left_out={3: "topped"})
    assert say_lesson(shown, shown.swings[2]) == "Swing 3 · batch 1 · 2 balls · left out"
    assert say_lesson(shown, shown.swings[1]) == "Swing 2 · batch 1 · 2 balls · practice"


def test_what_loops_lies_around_the_strike_in_true_time():
    played_s = np.arange(0, 40.0, 1 / 30)  # filmed at 240, played at 30 a second: an eighth of the speed
    slow = Clip("c", "0", "f.mp4", "f.mp4", duration_s=40.0, time_scale=1 / 8, strike_s=20.0)
    first, last = find_span(played_s * slow.time_scale, slow)
    assert abs(played_s[first] - (20.0 - 1.6 * 8)) < 0.1
    assert abs(played_s[last] - (20.0 + 0.9 * 8)) < 0.1
    unheard = Clip("c", "0", "f.mp4", "f.mp4", duration_s=40.0)
    assert find_span(played_s, unheard) == (0, len(played_s) - 1)


def test_what_is_being_measured_or_waits_is_said_so_of_body_numbers_alone():
    shown = make_lesson([None], [1])
    swing = replace(shown.swings[0], clips=(Clip("c", "0", "f.mp4", "f.mp4"),))
    keys = [PATH, ("hip_turn_deg", "impact")]
    said = {
        state: [number.words for number in say_numbers(shown, swing, keys, **clips)]
        for state, clips in {"now": {"measured_now": {"c"}}, "later": {"waiting": {"c"}}, "never": {}}.items()
    }
    assert said == {"now": ["–", "being measured"], "later": ["–", "waits to be measured"], "never": ["–", "–"]}
