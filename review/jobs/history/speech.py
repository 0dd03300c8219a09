"""How what is found is said: in English here, in the coach's language where the window hands in its own."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from review.lesson import Handedness, Measure, label
from review.lesson.changes import say_change, say_change_alone, say_change_interval
from review.lesson.words import say_measure, say_value


def _fill(text: str, **parts: object) -> str:
    return text.format(**parts) if parts else text


@dataclass(frozen=True)
class Speech:
    """``tr`` says a sentence with its ``{names}`` filled, ``sentence`` one that another room made."""

    tr: Callable[..., str] = _fill
    sentence: Callable[[str], str] = str
    day: Callable[[date], str] = date.isoformat
    label: Callable[[str, str], str] = label
    value: Callable[[str, float, Handedness], str] = say_value
    measure: Callable[[Measure, Handedness], str] = say_measure
    change: Callable[[str, float, float, Handedness], str] = say_change
    change_alone: Callable[[str, float, float, Handedness], str] = say_change_alone
    interval: Callable[[str, float, float, float, float, Handedness], str] = say_change_interval


ENGLISH = Speech()
