"""The start of the swing and the top of the backswing."""

from dataclasses import dataclass

import numpy as np

from review.lesson import FloatArray
from review.swing.motion import RATE_HZ, Motion

# Parts of stature and of stature per second.
_STILL_SPEED = 0.05
_QUIET_SPEEDS = 2.0
_FIRST_DISPLACEMENT = 0.006
_AS_LONG_AGAIN = 1.3
_LASTING_DISPLACEMENT = 0.03
_BACK_AT_THE_BALL = 0.4
_WAGGLED_BACK = 0.015
_STILL_PLACE = 0.012
_STILL_S = 0.15
_DOWNSWING_S = (0.12, 0.50)
_TOP_AGREES_S = 0.05
_REVERSAL_REACH_S = 0.06
_PAUSE_PLACE = 0.02
_PAUSE_S = 0.2
_MOST_SWING_S = 4.0


@dataclass(frozen=True)
class Start:
    """True times of address (last still instant) and takeaway (movement that lasts), with a certainty."""

    address_s: float
    takeaway_s: float
    certainty: float


def find_top(motion: Motion, fastest_down: int, impact_s: float) -> tuple[int, float] | None:
    """Sample at which the hands turn back, with a certainty; None when the clip begins later.

    Highest and slowest hands before the downswing; where the two agree the top is sure. After a pause it is the end of
    the pause: from there the hands come down.
    """
    latest, earliest = (impact_s - gap for gap in _DOWNSWING_S)
    window = np.flatnonzero((motion.time_s >= earliest) & (motion.time_s <= latest))
    if len(window) == 0 or _falls_from_the_first(motion, int(window[0]), fastest_down):
        return None
    highest = int(window[np.argmin(motion.hands[window, 1])])
    slowest = int(window[np.argmin(motion.hand_speed[window])])
    paused = _find_end_of_pause(motion, slowest, fastest_down, impact_s)
    if paused is not None:
        return paused, 0.8
    if abs(highest - slowest) / RATE_HZ <= _TOP_AGREES_S:
        return round((highest + slowest) / 2), 0.95
    # Far apart the hands either float before the top or move level through it: where their path reverses decides.
    reversal = _find_reversal(motion, int(window[0]), int(window[-1]))
    return int(np.median([highest, slowest, reversal])), 0.5


def _falls_from_the_first(motion: Motion, first: int, fastest_down: int) -> bool:
    return first == 0 and bool((motion.down_speed[: fastest_down + 1] > 0).all())


def _find_end_of_pause(motion: Motion, slowest: int, fastest_down: int, impact_s: float) -> int | None:
    """Last sample of a rest around the slowest one, None when it lasts no longer than the way down after it."""
    away = motion.distance_from(slowest) > _PAUSE_PLACE
    before = np.flatnonzero(away[:slowest])
    after = np.flatnonzero(away[slowest:fastest_down])
    begin = int(before[-1]) if len(before) else 0
    end = slowest + int(after[0]) if len(after) else fastest_down
    if (end - begin) / RATE_HZ < max(_PAUSE_S, impact_s - motion.time_s[end]):
        return None
    still = np.flatnonzero(motion.distance_from(slowest)[slowest:end] < _PAUSE_PLACE / 4)
    return slowest + int(still[-1])


def _find_reversal(motion: Motion, start: int, end: int) -> int:
    """Where the path of the hands turns back on itself: arriving and leaving directions are most opposed."""
    reach = int(_REVERSAL_REACH_S * RATE_HZ)
    best, most = start, -np.inf
    for i in range(max(start, reach), min(end, len(motion.hands) - reach - 1)):
        arriving = motion.hands[i] - motion.hands[i - reach]
        leaving = motion.hands[i + reach] - motion.hands[i]
        opposed = float(-(arriving @ leaving) / (np.linalg.norm(arriving) * np.linalg.norm(leaving) + 1e-4))
        if opposed > most:
            best, most = i, opposed
    return best


def find_start(motion: Motion, top: int, impact_s: float) -> Start | None:
    """Find the start of the backswing; None when the clip begins after it.

    Going back in time from where the hands are near the ball, the start is where they come to rest, or, in a waggle
    that flows into the swing, where they turn.

    The body leaves slowly. Its way grows about with the square of time, so it takes about as long from nothing to one
    part as from one part to four: that gives the start even where the first millimetres drown in noise. Down the line
    the hands leave along the line of sight, so the way is that of the whole upper body.
    """
    from_impact = motion.distance_from(motion.index_of(impact_s))
    earliest = max(0, top - int(_MOST_SWING_S * RATE_HZ))
    near = np.flatnonzero(from_impact[earliest:top] < _BACK_AT_THE_BALL * from_impact[top])
    if len(near) == 0:
        return None
    left = earliest + int(near[-1])
    i = _find_rest(motion, left)
    if i is None:
        return None
    before = slice(max(0, i - int(_STILL_S * RATE_HZ)), i + 1)
    resting = motion.distance_from(i)[before] <= _STILL_PLACE
    hands = np.linalg.norm(motion.hands - motion.hands[before][resting].mean(axis=0), axis=1)
    moved = motion.upper_body - motion.upper_body[before][resting].mean(axis=0)
    body = np.sqrt((moved**2).sum(axis=2).mean(axis=1))

    def first_beyond(way: FloatArray, length: float) -> int:
        beyond = np.flatnonzero(way[i : max(top, i + 1)] > length)
        return i + int(beyond[0]) if len(beyond) else i

    one, four = first_beyond(body, _FIRST_DISPLACEMENT), first_beyond(body, 4.0 * _FIRST_DISPLACEMENT)
    extrapolated_s = motion.time_s[one] - _AS_LONG_AGAIN * (motion.time_s[four] - motion.time_s[one])
    address_s = float(max(motion.time_s[0], min(motion.time_s[i], extrapolated_s)))
    lasting = first_beyond(hands, _LASTING_DISPLACEMENT)
    certainty = 0.95 if i > 0.05 * RATE_HZ else 0.3
    return Start(address_s, float(motion.time_s[max(lasting, i)]), certainty)


def _find_rest(motion: Motion, left: int) -> int | None:
    """Last sample before ``left`` at which the hands are still or turn back; None when they move from the first."""
    still_speed = max(_STILL_SPEED, _QUIET_SPEEDS * float(np.quantile(motion.hand_speed, 0.05)))
    way = motion.distance_from(left)
    farthest = left
    for i in range(left, -1, -1):
        if way[i] > way[farthest]:
            farthest = i
        if motion.hand_speed[i] <= still_speed:
            return i
        if way[i] < way[farthest] - _WAGGLED_BACK:
            return farthest
    return None
