"""Where the pressure goes on the way down, in plain words: described, never a fault.

Good players of every level either go on toward the target until impact, or go back toward the trail foot after the
arm is level (Ball & Best 2007, J Sports Sci 25:757-770, where neither is an error).
"""

import cmath
import math
from collections.abc import Mapping, Sequence
from enum import StrEnum

from review.lesson import Z90, KeyFrameName, Measure

BOTH_WAYS = "Good players do it either way: on until impact, or back before it (Ball & Best 2007)."
_LEAST_RETURN_CM = 1.0
_MOST_RETURN_CM = 2.0
_MOST_PEAK_SD_MS = 70.0
"""A peak whose time is known worse may lie before arm level or after impact; common practice, no source."""
_STILL_CM = 2.0
"""A shorter way from arm level to impact is hardly one; common practice, no source."""


class Pattern(StrEnum):
    """What the pressure does between arm level and impact."""

    ONWARD = "keeps moving toward the target until impact"
    BACK = "goes back toward the trail foot before impact"
    STILL = "hardly moves between arm level and impact"
    UNKNOWN = "what it does before impact cannot be told"


def tell_pattern(measures: Sequence[Measure]) -> Pattern | None:
    """Tell the pattern of one swing from its measures; None where arm level or impact is not known.

    It goes back where the return is surely more than 1 cm (its 90 % interval; common practice, no source), hardly
    moves where it surely goes less than 2 cm from arm level to impact, and onward where it surely goes back no more
    than 2 cm and the peak is at impact or so near that the placing in time cannot part them. A trace placed by its
    fastest move only seldom tells the first, never the last.
    """
    by_key = {(m.name, m.key_frame): m for m in measures if not m.why_missing}
    back, peak = by_key.get(("pressure_return_cm", "")), by_key.get(("pressure_peak_ms", ""))
    if back is None or peak is None:
        return None
    if back.low > _LEAST_RETURN_CM:
        return Pattern.BACK
    if back.high >= _MOST_RETURN_CM:
        return Pattern.UNKNOWN
    if _goes_at_most_cm(by_key) < _STILL_CM:
        return Pattern.STILL
    return Pattern.ONWARD if peak.low <= 0 and peak.own_sd <= _MOST_PEAK_SD_MS else Pattern.UNKNOWN


def say_patterns(patterns: Sequence[Pattern | None]) -> str:
    """Say what a batch does: 'goes back toward the trail foot before impact (5 of 6)'; '' where none is known."""
    known = [pattern for pattern in patterns if pattern is not None]
    if not known:
        return ""
    often = max(Pattern, key=known.count)
    return f"{often.value} ({known.count(often)} of {len(known)})"


def _goes_at_most_cm(by_key: Mapping[tuple[str, str], Measure]) -> float:
    """How far it is at most from the place at arm level to that at impact (its 90 % interval); NaN where not known."""
    places, sds = [], []
    for key_frame in (KeyFrameName.ARM_LEVEL, KeyFrameName.IMPACT):
        move = by_key.get(("pressure_move_cm", key_frame))
        if move is None:
            return math.nan
        # a move too short to have a direction ends where it began
        turned = by_key.get(("pressure_direction_deg", key_frame))
        places.append(0j if turned is None else cmath.rect(move.value, math.radians(turned.value)))
        sds.append(move.own_sd)
    return abs(places[1] - places[0]) + Z90 * math.hypot(*sds)
