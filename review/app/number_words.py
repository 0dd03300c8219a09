"""What ``lesson.words`` and ``lesson.changes`` say of numbers, in the coach's language."""

import re
from dataclasses import dataclass

from review.app.language import load_phrases
from review.app.sentences import say_in_words, say_sentences
from review.lesson import Handedness, Measure, changes
from review.lesson import label as say_label_in_english
from review.lesson import words as english


@dataclass(frozen=True)
class SaidNumber:
    """A number in words, in the player's own sides: what it is, its value, and its interval; '' where there is none."""

    label: str
    least: str
    within: str = ""

    @property
    def words(self) -> str:
        """The number with its interval."""
        return f"{self.least} ({self.within})" if self.within else self.least


def say_label(name: str, key_frame: str = "") -> str:
    """What a coach calls a measure: 'hip turn at impact'."""
    return say_in_words(say_label_in_english(name, key_frame))


def say_value(name: str, value: float, handedness: Handedness) -> str:
    """Say a number as ``lesson.words.say_value`` does."""
    return _say(name, english.say_value(name, value, handedness))


def say_measure(measure: Measure, handedness: Handedness) -> str:
    """Say a measured number as ``lesson.words.say_measure`` does; why one is missing too."""
    words, within = say_measure_apart(measure, handedness)
    return f"{words} ({within})" if within else words


def say_measure_apart(measure: Measure, handedness: Handedness) -> tuple[str, str]:
    """Say a measured number and its interval as ``lesson.words.say_measure_apart`` does; why one is missing too."""
    if measure.why_missing:
        return f"{say_in_words('not measured')}: {say_sentences(measure.why_missing)}", ""
    words, within = english.say_measure_apart(measure, handedness)
    return _say(measure.name, words), _say(measure.name, within)


def say_change(name: str, first: float, last: float, handedness: Handedness) -> str:
    """Say a change as ``lesson.changes.say_change`` does."""
    return _say(name, changes.say_change(name, first, last, handedness))


def say_change_alone(name: str, first: float, last: float, handedness: Handedness) -> str:
    """Say a change as ``lesson.changes.say_change_alone`` does."""
    return _say(name, changes.say_change_alone(name, first, last, handedness))


def say_change_interval(name: str, first: float, last: float, low: float, high: float, handedness: Handedness) -> str:
    """Say the interval of a change as ``lesson.changes.say_change_interval`` does."""
    return _say(name, changes.say_change_interval(name, first, last, low, high, handedness))


def say_directions(name: str, low: float, high: float, handedness: Handedness) -> tuple[str, str]:
    """Say what up and down mean on a scale as ``lesson.changes.say_directions`` does."""
    up, down = changes.say_directions(name, low, high, handedness)
    return say_in_words(up), say_in_words(down)


def _say(name: str, text: str) -> str:
    if name == "tempo_ratio" and load_phrases():  # here "3.0 to 1" is no interval
        text = re.sub(r" to 1(?![\d.])", " : 1", text)
    return say_in_words(text)
