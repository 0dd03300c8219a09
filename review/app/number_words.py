"""What the program says of numbers, in the coach's language: the sentences of ``lesson.words``, phrase by phrase.

Only what the program itself says goes through here, never words of a coach or pupil.
"""

import re
from functools import cache

from review.app.language import load_phrases
from review.lesson import KINDS, Handedness, Measure
from review.lesson import label as say_label_in_english
from review.lesson import words as english

_WORD = r"[^\W\d]+"
_UNITS = set(re.findall(_WORD, " ".join(kind.unit for kind in KINDS.values()))) - {"to"}
_NUMBER = r"(?<=\d)\.(?=\d)"


def say_in_words(text: str) -> str:
    """Say a sentence about numbers in the chosen language; English stays whole where a phrase of it is not known."""
    phrases = load_phrases()
    if not phrases:
        return text
    find = _finder(tuple(phrases))
    if set(re.findall(_WORD, find.sub("", text))) - _UNITS:
        return text
    return re.sub(_NUMBER, ",", find.sub(lambda found: phrases[found.group(0)], text))


def say_label(name: str, key_frame: str = "") -> str:
    """What a coach calls a measure: 'hip turn at impact'."""
    return say_in_words(say_label_in_english(name, key_frame))


def say_value(name: str, value: float, handedness: Handedness) -> str:
    """Say a number as ``lesson.words.say_value`` does."""
    return _say(name, english.say_value(name, value, handedness))


def say_measure(measure: Measure, handedness: Handedness) -> str:
    """Say a measured number as ``lesson.words.say_measure`` does; why one is missing stays English."""
    said, sign, why = english.say_measure(measure, handedness), "", ""
    if measure.why_missing:
        said, sign, why = said.partition(": ")
    return f"{_say(measure.name, said)}{sign}{why}"


def say_change(name: str, first: float, last: float, handedness: Handedness) -> str:
    """Say a change as ``lesson.words.say_change`` does."""
    return _say(name, english.say_change(name, first, last, handedness))


def say_change_interval(name: str, first: float, last: float, low: float, high: float, handedness: Handedness) -> str:
    """Say the interval of a change as ``lesson.words.say_change_interval`` does."""
    return _say(name, english.say_change_interval(name, first, last, low, high, handedness))


def say_directions(name: str, low: float, high: float, handedness: Handedness) -> tuple[str, str]:
    """Say what up and down mean on a scale as ``lesson.words.say_directions`` does."""
    up, down = english.say_directions(name, low, high, handedness)
    return say_in_words(up), say_in_words(down)


def _say(name: str, text: str) -> str:
    if name == "tempo_ratio" and load_phrases():  # here "3.0 to 1" is no interval
        text = re.sub(r" to 1(?![\d.])", " : 1", text)
    return say_in_words(text)


@cache
def _finder(phrases: tuple[str, ...]) -> re.Pattern[str]:
    longest_first = sorted(phrases, key=len, reverse=True)
    return re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, longest_first))})(?![\w-])")
