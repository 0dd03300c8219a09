"""What can be chosen, without Qt: the rows of the settings page, and the next choice either way."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from review.app.language import LANGUAGES, say_count, tr
from review.app.look.choice import BALL_STEP, IDLE_TIMES_S, MOST_BALLS, THEME_NAMES, Choice
from review.app.look.theme import TEXT_SIZES


@dataclass(frozen=True)
class Row:
    """One setting: what is chosen in words, more about it, and ``step``, which gives the choice one farther."""

    words: str
    more: str
    step: Callable[[int], Choice]


def list_rows(choice: Choice) -> tuple[Row, ...]:
    """The settings in the order in which they stand."""
    sizes = (tr("normal"), tr("larger"), tr("largest"))
    return (
        Row(
            tr("Colours: {what}", what=tr("light") if choice.theme_name == "light" else tr("dark")),
            tr("Light for a bright room, dark for a dim one. F2 changes it too."),
            lambda by: replace(choice, theme_name=_next(THEME_NAMES, choice.theme_name, by)),
        ),
        Row(
            tr("Letters: {what}", what=sizes[TEXT_SIZES.index(choice.text_size)]),
            tr("Larger where the screen stands far away. F3 changes them too."),
            lambda by: replace(choice, text_size=_next(TEXT_SIZES, choice.text_size, by)),
        ),
        Row(
            tr("Language: {what}", what=LANGUAGES[choice.language]),
            tr("Of everything in the window. F4 changes it too."),
            lambda by: replace(choice, language=_next(tuple(LANGUAGES), choice.language, by)),
        ),
        Row(
            tr("Pupil view hides itself: after {time}", time=_say_time(choice.idle_s)),
            tr("Counted from the last key; the next key brings it back."),
            lambda by: replace(choice, idle_s=_next(IDLE_TIMES_S, choice.idle_s, by)),
        ),
        Row(
            tr("Many balls: from {n} on", n=choice.many_balls),
            tr("From then on F9 asks whether it is enough for today. The number is yours; none is known."),
            lambda by: replace(choice, many_balls=_next(_BALLS, choice.many_balls, by)),
        ),
    )


_T = TypeVar("_T")
_BALLS = tuple(range(BALL_STEP, MOST_BALLS + 1, BALL_STEP))


def _next(values: tuple[_T, ...], now: _T, by: int) -> _T:
    """The value so many farther; numbers end where they end, of two or three kinds the first follows the last."""
    at = values.index(now) + by
    return values[at % len(values)] if len(values) <= len(TEXT_SIZES) else values[min(max(at, 0), len(values) - 1)]


def _say_time(time_s: int) -> str:
    if time_s < 60:
        return tr("{n} seconds", n=time_s)
    return say_count(time_s // 60, "1 minute", "{n} minutes")
