"""Numbers in the player's words: unit, meaning and, for club and face, the hand they play from."""

import math

from review.lesson.figures import digits, rounded, side_of, signed_digits, with_unit
from review.lesson.measures import KINDS, KNOWN_DOWN_TO, Bound, Measure, Source
from review.lesson.people import Handedness
from review.lesson.sides import SIDED, Sided

NOT_KNOWN = "not known"
_SMALL_LIFT_CM = 2.5


def say_value(name: str, value: float, handedness: Handedness) -> str:
    """Say a number with its unit and what it means: 'turned away 42°', '4.0° in-to-out', '69.7 mph'.

    Parameters
    ----------
    name : measure name of ``KINDS``; ``value`` is in its unit and sign.
    handedness : the side the player swings from; it decides in-to-out, out-to-in, open and closed face.

    Returns
    -------
    str
        The words; 'not known' for NaN or an infinite value.

    Raises
    ------
    KeyError
        When the measure is not in the catalogue.
    """
    kind = KINDS[name]
    if not math.isfinite(value):
        return NOT_KNOWN
    sided = SIDED.get(name)
    if sided is None:
        return f"{signed_digits(name, value)}{kind.unit}"
    return _pattern(sided, side_of(name, value, handedness)).format(with_unit(name, value))


def say_measure(measure: Measure, handedness: Handedness) -> str:
    """Say one measured number: with its 90 % interval in brackets, as a bound, or why it is missing.

    'turned away 42° (36 to 48)', 'turned away about 105° or more', 'not measured: <reason>'. The
    interval is said for numbers of the pose; a device gives none. It ends where the number is known
    no farther: 'turned away 98° (88 to 105 or more)'. A heel lift that may be none is 'under 2.5 cm',
    or 'none, or up to 5.8 cm'.
    """
    words, within = say_measure_apart(measure, handedness)
    return f"{words} ({within})" if within else words


def say_measure_apart(measure: Measure, handedness: Handedness) -> tuple[str, str]:
    """Say what :func:`say_measure` does in two parts: the number, and its interval ('' where there is none)."""
    if measure.why_missing:
        return f"not measured: {measure.why_missing}", ""
    if measure.bound is not Bound.NONE:
        return _say_bound(measure, handedness), ""
    words = say_value(measure.name, measure.value, handedness)
    has_interval = math.isfinite(measure.low) and math.isfinite(measure.high)
    if measure.kind.source is not Source.POSE or not has_interval:
        return words, ""
    # a heel that stands cannot go below the ground
    if measure.name == "trail_heel_lift_cm" and rounded(measure.name, measure.low) <= 0.0:
        if measure.high < _SMALL_LIFT_CM:
            return f"under {with_unit(measure.name, _SMALL_LIFT_CM)}", ""
        return f"none, or up to {with_unit(measure.name, measure.high)}", ""
    return words, _say_range(measure.name, measure.value, measure.low, measure.high, handedness)


def _say_bound(measure: Measure, handedness: Handedness) -> str:
    """A saturated number: the bound holds for its size on its own side."""
    words = say_value(measure.name, measure.value, handedness)
    size = with_unit(measure.name, measure.value)
    or_so = "or more" if measure.bound is Bound.AT_LEAST else "or less"
    return f"{words.replace(size, f'about {size}', 1)} {or_so}"


def _say_range(name: str, value: float, low: float, high: float, handedness: Handedness) -> str:
    farthest = KNOWN_DOWN_TO.get(name, -math.inf)
    or_more = " or more" if low < farthest else ""
    low = max(low, farthest)
    sides = {side_of(name, end, handedness) for end in (low, high)}
    if name not in SIDED:
        return f"{signed_digits(name, low)} to {signed_digits(name, high)}"
    if {-1, 1} <= sides or side_of(name, value, handedness) == 0:
        return f"{say_value(name, low, handedness)}{or_more} to {say_value(name, high, handedness)}"
    near, far = sorted((abs(low), abs(high)))
    return f"{digits(name, near)} to {digits(name, far)}{or_more}"


def _pattern(sided: Sided, side: int) -> str:
    return {1: sided.positive, -1: sided.negative, 0: sided.zero}[side]


def count(n: int, what: str) -> str:
    """Count things: '1 swing', '2 swings'."""
    return f"{n} {what}" if n == 1 else f"{n} {what}s"


def size(n_bytes: float) -> str:
    """A size on disk: '35 MB', '2.41 GB'."""
    return f"{n_bytes / 1e9:.2f} GB" if n_bytes >= 1e9 else f"{n_bytes / 1e6:.0f} MB"
