"""Numbers in German: nothing of what the program says of a number is left English."""

import math
import re

import pytest

from review.app.language import load_words, speak
from review.app.number_words import (
    say_change,
    say_change_interval,
    say_directions,
    say_in_words,
    say_label,
    say_measure,
    say_value,
)
from review.compare.verdict import judge
from review.lesson import KINDS, Bound, Handedness, Measure

HANDS = tuple(Handedness)
PLACES = ("", "address", "takeaway", "top", "arm level", "impact", "finish")


@pytest.fixture(autouse=True)
def _german():
    speak("de")
    yield
    speak("en")


def everything_said():
    """What is said of every measure: either side, none, changes that cross, intervals, bounds."""
    for name, kind in KINDS.items():
        yield kind.positive
        yield kind.negative
        yield from (say_label(name, place) for place in PLACES)
        for hand in HANDS:
            values = (12.0, -12.0, 0.0, 1.0)
            yield from (say_value(name, value, hand) for value in (*values, math.nan))
            for first in values:
                for last in values:
                    yield say_change(name, first, last, hand)
                    yield say_change_interval(name, first, last, last - first - 2, last - first + 2, hand)
            for low, high in ((-5.0, 5.0), (1.0, 5.0), (-5.0, -1.0)):
                yield from say_directions(name, low, high, hand)
                yield say_measure(Measure(name, (low + high) / 2, "", low, high), hand)
            for bound in (Bound.AT_LEAST, Bound.AT_MOST):
                yield say_measure(Measure(name, -100.0, bound=bound), hand)


def test_no_english_word_is_left():
    german = set(re.findall(r"[^\W\d]+", " ".join(load_words("de_numbers").values())))
    units = set(re.findall(r"[^\W\d]+", " ".join(kind.unit for kind in KINDS.values()))) - {"to"}
    said = [say_in_words(text) for text in everything_said()]
    left = {word for text in said for word in re.findall(r"[^\W\d]+", text)} - german - units
    assert len(said) > 2000
    assert left == set()


def test_numbers_have_a_decimal_comma_and_their_sides():
    right, left = Handedness.RIGHT, Handedness.LEFT
    assert say_value("club_path_deg", 4.0, right) == "4,0° von innen"
    assert say_value("club_path_deg", 4.0, left) == "4,0° von außen"
    assert say_value("tempo_ratio", 3.0, right) == "3,0 : 1"
    assert say_change("club_path_deg", 5.9, 1.9, right) == "4,0° weniger von innen"
    assert say_change_interval("club_path_deg", 5.9, 1.9, -5.3, -2.7, right) == "2,7 bis 5,3° weniger von innen"
    assert say_label("hip_turn_deg", "impact") == "Hüftdrehung im Treffmoment"
    assert say_measure(Measure("hip_turn_deg", 1.0, "", 0.0, 1.0), right) == "offen 1° (0 bis 1)"


def test_reasons_of_verdicts_are_german_and_what_is_not_known_stays_whole():
    reasons = {
        judge(
            "club_path_deg", size, 2.0, p=p, adjusted_p=adjusted, welch_p=welch, n_first=n, n_last=n, is_permuted=True
        )[1]
        for size in (1.0, 4.0)
        for n in (3, 6)
        for p, adjusted, welch in ((0.01, 0.01, 0.01), (0.03, 0.05, 0.03), (0.1, 0.1, 0.1), (0.5, 0.5, 0.5))
    }
    assert len(reasons) > 4
    assert all(say_in_words(reason) != reason for reason in reasons)
    assert say_in_words("about 0.2° up to the barn") == "about 0.2° up to the barn"


def test_why_a_number_is_missing_is_a_whole_sentence_and_what_is_not_known_stays_english():
    measure = Measure("hip_turn_deg", math.nan, why_missing="no clip to measure")
    assert say_measure(measure, Handedness.RIGHT) == "nicht gemessen: kein Clip zum Messen"
    measure = Measure("hip_turn_deg", math.nan, why_missing="no room to swing")
    assert say_measure(measure, Handedness.RIGHT) == "nicht gemessen: no room to swing"


def test_english_stays_as_the_program_says_it():
    speak("en")
    assert say_value("club_path_deg", 4.0, Handedness.RIGHT) == "4.0° in-to-out"
