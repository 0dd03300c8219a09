"""Changes of numbers in the player's words: how far, which way, and what up and down mean on a scale."""

import math

from review.lesson.figures import digits, more_of, rounded, side_of, with_unit
from review.lesson.measures import KINDS
from review.lesson.people import Handedness
from review.lesson.sides import CHANGED, SIDED
from review.lesson.words import NOT_KNOWN, say_value

NO_CHANGE = "no change"
ABOUT_THE_SAME = "about the same"


def say_change(name: str, first: float, last: float, handedness: Handedness) -> str:
    """Say a change from ``first`` to ``last``: '4.0° less in-to-out', '16° more open', '1.2 mph faster'.

    Where the number crosses over, the new state is named too: '7.0° less in-to-out, now 1.0°
    out-to-in'. 'no change' where the difference is zero at the decimals shown.

    The size is that of the change itself, as its interval and verdict are. Where both values as shown lie another
    distance apart (2.52 and 4.16 are shown as 2.5 and 4.2), the change says so: 'about 1.6 cm higher', 'about the
    same'.

    Parameters
    ----------
    first, last : values in the measure's unit and sign.

    Raises
    ------
    KeyError
        When the measure is not in the catalogue.
    """
    words = say_change_alone(name, first, last, handedness)
    difference = last - first
    if not math.isfinite(difference):
        return words
    apart = rounded(name, rounded(name, last) - rounded(name, first))
    is_apart = apart != rounded(name, difference)
    if words == NO_CHANGE:
        return ABOUT_THE_SAME if is_apart else words
    if is_apart:
        words = f"about {words}"
    before, after = (side_of(name, value, handedness) for value in (first, last))
    has_crossed = before != 0 and after != before
    if name in CHANGED or name not in SIDED or not has_crossed:
        return words
    return f"{words}, now {say_value(name, last, handedness)}"


def say_change_alone(name: str, first: float, last: float, handedness: Handedness) -> str:
    """Say the size and way of a change where its two ends are not shown; the new state is not named."""
    difference = last - first
    if name not in KINDS:
        raise KeyError(name)
    if not math.isfinite(difference):
        return NOT_KNOWN
    if rounded(name, difference) == 0:
        return NO_CHANGE
    return _sized_change(name, difference, _change_words(name, first, difference, handedness))


def is_none_in_words(change: str) -> bool:
    """Whether a change that was said is none at the decimals shown."""
    return change in (NO_CHANGE, ABOUT_THE_SAME)


def say_change_interval(name: str, first: float, last: float, low: float, high: float, handedness: Handedness) -> str:
    """Say the interval of a change in the words of :func:`say_change`: '2.7 to 5.3° less in-to-out'.

    Parameters
    ----------
    first, last : values in the measure's unit and sign; ``low``..``high`` the interval of last - first.

    Returns
    -------
    str
        The words, with both directions named where the interval spans zero ('1.0° less to 3.0° more
        in-to-out'); '' where a number is not finite.
    """
    if name not in KINDS:
        raise KeyError(name)
    if not all(math.isfinite(v) for v in (first, last, low, high)):
        return ""
    middle = last - first or high or low
    ends = [end if rounded(name, end) else math.copysign(0.0, middle) for end in (low, high)]
    words = [_change_words(name, first, math.copysign(1.0, end), handedness) for end in ends]
    more_or_less, tail = zip(*(word.partition(" ")[::2] for word in words), strict=True)
    if words[0] != words[1] and tail[0] == tail[1] and tail[0]:
        from_to = " to ".join(f"{with_unit(name, end)} {word}" for end, word in zip(ends, more_or_less, strict=True))
        return f"{from_to} {tail[0]}"
    if words[0] != words[1]:
        return " to ".join(_sized_change(name, end, word) for end, word in zip(ends, words, strict=True))
    near, far = sorted(ends, key=abs)
    if name == "tempo_ratio":
        return f"ratio {digits(name, near)} to {digits(name, far)} {words[0]}"
    return f"{digits(name, near)} to {with_unit(name, far)} {words[0]}"


def say_directions(name: str, low: float, high: float, handedness: Handedness) -> tuple[str, str]:
    """Say what up and down mean on a scale from ``low`` to ``high``: ('in-to-out', 'out-to-in').

    On one side of zero with "more" and "less": ('less turned away', 'more turned away'); ('longer',
    'shorter') where the trade has one word.

    Raises
    ------
    KeyError
        When the measure is not in the catalogue.
    """
    if name not in KINDS:
        raise KeyError(name)
    sided = SIDED.get(name)
    if name in CHANGED or sided is None:
        return say_change_directions(name, 0.0, handedness)
    up = side_of(name, math.inf, handedness)
    if low < 0 < high:
        return more_of(sided, up), more_of(sided, -up)
    side = up if low >= 0 else -up
    ends = f"more {more_of(sided, side)}", f"less {more_of(sided, side)}"
    return ends if low >= 0 else ends[::-1]


def say_change_directions(name: str, first: float, handedness: Handedness) -> tuple[str, str]:
    """Say what a change up and one down from ``first`` mean: ('more in-to-out', 'less in-to-out')."""
    up, down = (_change_words(name, first, sign, handedness) for sign in (1.0, -1.0))
    return up, down


def _change_words(name: str, first: float, difference: float, handedness: Handedness) -> str:
    """'more in-to-out', 'higher', ...: what a difference of this sign, not zero, means from ``first`` on."""
    if name == "tempo_ratio":
        return "higher" if difference > 0 else "lower"
    sided = SIDED.get(name)
    if name in CHANGED or sided is None:
        up, down = CHANGED.get(name, ("more", "less"))
        return up if difference > 0 else down
    moved = side_of(name, math.copysign(1.0, difference), handedness)
    before = side_of(name, first, handedness)
    if before in (0, moved):
        return f"more {more_of(sided, moved)}"
    return f"less {more_of(sided, before)}"


def _sized_change(name: str, difference: float, words: str) -> str:
    if name == "tempo_ratio":
        return f"ratio {digits(name, difference)} {words}"
    return f"{with_unit(name, difference)} {words}"
