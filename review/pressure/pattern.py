"""Where the pressure goes on the way down, in plain words: described, never a fault.

Good players of every level either go on toward the target until impact, or go back toward the trail foot after the
arm is level (Ball & Best 2007, J Sports Sci 25:757-770, where neither is an error).
"""

from collections.abc import Sequence
from enum import StrEnum

from review.lesson import Measure

_LEAST_RETURN_CM = 1.0
_MOST_RETURN_CM = 2.0


class Pattern(StrEnum):
    """What the pressure does between arm level and impact."""

    ONWARD = "keeps moving toward the target until impact"
    BACK = "goes back toward the trail foot before impact"
    UNCLEAR = "hardly moves between arm level and impact, or it cannot be told"


def tell_pattern(measures: Sequence[Measure]) -> Pattern | None:
    """Tell the pattern of one swing from its measures; None where arm level or impact is not known.

    It goes back where the return is surely more than 1 cm (its 90 % interval; common practice, no source), onward
    where it surely goes back no more than 2 cm and the peak is at impact or so near that the placing in time cannot
    part them. A trace placed by its fastest move only seldom tells either.
    """
    by_name = {m.name: m for m in measures if not m.why_missing}
    back, peak = by_name.get("pressure_return_cm"), by_name.get("pressure_peak_ms")
    if back is None or peak is None:
        return None
    if back.low > _LEAST_RETURN_CM:
        return Pattern.BACK
    return Pattern.ONWARD if peak.low <= 0 and back.high < _MOST_RETURN_CM else Pattern.UNCLEAR


def say_patterns(patterns: Sequence[Pattern | None]) -> str:
    """Say what a batch does: 'goes back toward the trail foot before impact (5 of 6)'; '' where none is known."""
    known = [pattern for pattern in patterns if pattern is not None]
    if not known:
        return ""
    often = max(Pattern, key=known.count)
    return f"{often.value} ({known.count(often)} of {len(known)})"
