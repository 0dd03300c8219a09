"""What a coach writes after ``compare``'s options: batches, repeatability, windows."""

import math

from review.compare import MeasureKey, Window
from review.errors import BadInputError
from review.jobs.lesson_file import parse_aim
from review.lesson.measures import find_kind, say_kinds


def parse_batch(text: str) -> tuple[str, int]:
    """Read 'N' or 'LESSON:N' as (lesson or '', number).

    Raises
    ------
    BadInputError
        When there is no number.
    """
    lesson, _, number = text.rpartition(":")
    if not (number.isascii() and number.isdigit()) or len(number) > 6:
        raise BadInputError(f"Expected the number of a batch, or LESSON:N such as 2026-03-14:1, found {text!r}.")
    return lesson.strip(), int(number)


def parse_repeatability(text: str) -> tuple[str, float]:
    """Read 'club path=0.5' or 'club_path_deg=0.5'.

    Raises
    ------
    BadInputError
        When the measure is not known or the number not above 0.
    """
    said, _, number = (part.strip() for part in text.partition("="))
    value, name = _number(number), find_kind(said)
    if name is None:
        raise BadInputError(f"--repeatability names {said!r}, which is no measure. Known: {say_kinds()}.")
    if value is None or not 0 < value < math.inf:
        raise BadInputError(f"--repeatability expects a number above 0 such as {said}=0.5, found {text!r}.")
    return name, value


def parse_window(text: str) -> tuple[MeasureKey, Window]:
    """Read 'club path=0..4', 'hip turn at impact=20..', in the measure's unit and sign.

    Raises
    ------
    BadInputError
        When the measure is not known or there is no range.
    """
    measure, _, ends = text.partition("=")
    aim = parse_aim(measure.strip())
    low, dots, high = (part.strip() for part in ends.partition(".."))
    numbers = [_number(low) if low else -math.inf, _number(high) if high else math.inf]
    if not dots or numbers[0] is None or numbers[1] is None or not numbers[0] <= numbers[1] or not (low or high):
        raise BadInputError(f"--window expects MEASURE=LOW..HIGH such as 'club path=0..4', found {text!r}.")
    return (aim.name, aim.key_frame), Window(numbers[0], numbers[1])


def _number(text: str) -> float | None:
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        return None
    return value if math.isfinite(value) else None
