"""The figures of numbers in words: their decimals, their unit, and the side of the player they lie on."""

import math

from review.lesson.measures import KINDS
from review.lesson.people import Handedness
from review.lesson.sides import SIDED, Sided

MINUS = "\N{MINUS SIGN}"


def more_of(sided: Sided, side: int) -> str:
    """'in-to-out', 'turned away': what there is more of on a side."""
    return sided.more_positive if side > 0 else sided.more_negative


def side_of(name: str, value: float, handedness: Handedness) -> int:
    """1, 0 or -1 for the player's own positive, zero and negative side at the decimals shown."""
    shown = rounded(name, value)
    side = (shown > 0) - (shown < 0)
    sided = SIDED.get(name)
    mirrored = sided is not None and sided.is_by_hand and handedness is Handedness.LEFT
    return -side if mirrored else side


def rounded(name: str, value: float) -> float:
    """At the decimals shown; what is not finite stays."""
    return round(value, KINDS[name].decimals) if math.isfinite(value) else value


def digits(name: str, value: float) -> str:
    """The digits of its size, without sign and unit."""
    return f"{abs(value):.{KINDS[name].decimals}f}"


def with_unit(name: str, value: float) -> str:
    """The digits of its size with the unit."""
    return f"{digits(name, value)}{KINDS[name].unit}"


def signed_digits(name: str, value: float) -> str:
    """The digits with a minus sign where it is negative as shown."""
    return f"{MINUS if rounded(name, value) < 0 else ''}{digits(name, value)}"
