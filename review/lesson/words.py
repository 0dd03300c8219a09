"""Numbers in the player's words: unit, meaning and, for club and face, the hand they play from."""

import math

from review.lesson.measures import KINDS, KNOWN_DOWN_TO, Bound, Measure, Source
from review.lesson.people import Handedness
from review.lesson.sides import CHANGED, SIDED, Sided

MINUS = "\N{MINUS SIGN}"
NOT_KNOWN = "not known"
NO_CHANGE = "no change"
ABOUT_THE_SAME = "about the same"
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
        return f"{_signed_digits(name, value)}{kind.unit}"
    return _pattern(sided, _side(name, value, handedness)).format(_size(name, value))


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
    if measure.name == "trail_heel_lift_cm" and _rounded(measure.name, measure.low) <= 0.0:
        if measure.high < _SMALL_LIFT_CM:
            return f"under {_size(measure.name, _SMALL_LIFT_CM)}", ""
        return f"none, or up to {_size(measure.name, measure.high)}", ""
    return words, _say_range(measure.name, measure.value, measure.low, measure.high, handedness)


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
    apart = _rounded(name, _rounded(name, last) - _rounded(name, first))
    is_apart = apart != _rounded(name, difference)
    if words == NO_CHANGE:
        return ABOUT_THE_SAME if is_apart else words
    if is_apart:
        words = f"about {words}"
    before, after = (_side(name, value, handedness) for value in (first, last))
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
    if _rounded(name, difference) == 0:
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
    ends = [end if _rounded(name, end) else math.copysign(0.0, middle) for end in (low, high)]
    words = [_change_words(name, first, math.copysign(1.0, end), handedness) for end in ends]
    more_or_less, tail = zip(*(word.partition(" ")[::2] for word in words), strict=True)
    if words[0] != words[1] and tail[0] == tail[1] and tail[0]:
        from_to = " to ".join(f"{_size(name, end)} {word}" for end, word in zip(ends, more_or_less, strict=True))
        return f"{from_to} {tail[0]}"
    if words[0] != words[1]:
        return " to ".join(_sized_change(name, end, word) for end, word in zip(ends, words, strict=True))
    near, far = sorted(ends, key=abs)
    if name == "tempo_ratio":
        return f"ratio {_digits(name, near)} to {_digits(name, far)} {words[0]}"
    return f"{_digits(name, near)} to {_size(name, far)} {words[0]}"


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
    up = _side(name, math.inf, handedness)
    if low < 0 < high:
        return _more(sided, up), _more(sided, -up)
    side = up if low >= 0 else -up
    ends = f"more {_more(sided, side)}", f"less {_more(sided, side)}"
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
    moved = _side(name, math.copysign(1.0, difference), handedness)
    before = _side(name, first, handedness)
    if before in (0, moved):
        return f"more {_more(sided, moved)}"
    return f"less {_more(sided, before)}"


def _sized_change(name: str, difference: float, words: str) -> str:
    if name == "tempo_ratio":
        return f"ratio {_digits(name, difference)} {words}"
    return f"{_size(name, difference)} {words}"


def _say_bound(measure: Measure, handedness: Handedness) -> str:
    """A saturated number: the bound holds for its size on its own side."""
    words = say_value(measure.name, measure.value, handedness)
    size = _size(measure.name, measure.value)
    or_so = "or more" if measure.bound is Bound.AT_LEAST else "or less"
    return f"{words.replace(size, f'about {size}', 1)} {or_so}"


def _say_range(name: str, value: float, low: float, high: float, handedness: Handedness) -> str:
    farthest = KNOWN_DOWN_TO.get(name, -math.inf)
    or_more = " or more" if low < farthest else ""
    low = max(low, farthest)
    sides = {_side(name, end, handedness) for end in (low, high)}
    if name not in SIDED:
        return f"{_signed_digits(name, low)} to {_signed_digits(name, high)}"
    if {-1, 1} <= sides or _side(name, value, handedness) == 0:
        return f"{say_value(name, low, handedness)}{or_more} to {say_value(name, high, handedness)}"
    near, far = sorted((abs(low), abs(high)))
    return f"{_digits(name, near)} to {_digits(name, far)}{or_more}"


def _pattern(sided: Sided, side: int) -> str:
    return {1: sided.positive, -1: sided.negative, 0: sided.zero}[side]


def _more(sided: Sided, side: int) -> str:
    return sided.more_positive if side > 0 else sided.more_negative


def _side(name: str, value: float, handedness: Handedness) -> int:
    """1, 0 or -1 for the player's own positive, zero and negative side at the decimals shown."""
    rounded = _rounded(name, value)
    side = (rounded > 0) - (rounded < 0)
    sided = SIDED.get(name)
    mirrored = sided is not None and sided.is_by_hand and handedness is Handedness.LEFT
    return -side if mirrored else side


def _rounded(name: str, value: float) -> float:
    return round(value, KINDS[name].decimals) if math.isfinite(value) else value


def _digits(name: str, value: float) -> str:
    return f"{abs(value):.{KINDS[name].decimals}f}"


def _size(name: str, value: float) -> str:
    return f"{_digits(name, value)}{KINDS[name].unit}"


def _signed_digits(name: str, value: float) -> str:
    return f"{MINUS if _rounded(name, value) < 0 else ''}{_digits(name, value)}"


def count(n: int, what: str) -> str:
    """Count things: '1 swing', '2 swings'."""
    return f"{n} {what}" if n == 1 else f"{n} {what}s"


def size(n_bytes: float) -> str:
    """A size on disk: '35 MB', '2.41 GB'."""
    return f"{n_bytes / 1e9:.2f} GB" if n_bytes >= 1e9 else f"{n_bytes / 1e6:.0f} MB"
