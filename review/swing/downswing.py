"""Where the hands come down on the ball, when they are lowest, when the lead arm is level."""

import numpy as np
from scipy.signal import find_peaks

from review.swing.motion import RATE_HZ, Motion

# Parts of stature and of stature per second. Rendered swings come down at 2.1 to 3.1, a half swing at about 1.
_LEAST_DOWN_SPEED = 0.5
_LEAST_HAND_SPEED = 1.0
_LEAST_PART_OF_FASTEST = 0.4
_AS_LOW = 0.12
_RISE_AFTER = 0.10
_RISES_WITHIN_S = 0.40
_REACH_S = 0.30
# The hands are lowest a little before the strike: 13 ms in the median of 80 clips of 40 rendered players, either view.
_LOWEST_BEFORE_IMPACT_S = 0.013
_CERTAINTY = 0.85


def find_downswings(motion: Motion) -> list[int]:
    """Samples at which the hands come down fastest on a way to the ball, the fastest first; empty without a swing.

    After the finish they can drop just as fast, but only to about the height of the shoulders; bending down to the
    ball they drop slowly or do not come up again.
    """
    speed = motion.down_speed
    peaks, _ = find_peaks(np.concatenate([[0.0], speed, [0.0]]), height=_LEAST_DOWN_SPEED)
    ends = {int(p) - 1: _find_lowest(motion, int(p) - 1) for p in peaks}
    swings = {p: low for p, low in ends.items() if _is_struck_through(motion, p, low)}
    if not swings:
        return []
    fastest = max(speed[p] for p in swings)
    ground = max(motion.hands[low, 1] for low in swings.values())
    chosen = [
        p
        for p, low in swings.items()
        if speed[p] >= _LEAST_PART_OF_FASTEST * fastest and motion.hands[low, 1] >= ground - _AS_LOW
    ]
    return sorted(chosen, key=lambda p: -speed[p])


def _find_lowest(motion: Motion, fastest_down: int) -> int:
    until = fastest_down + int(_REACH_S * RATE_HZ)
    return fastest_down + int(np.argmax(motion.hands[fastest_down:until, 1]))


def _is_struck_through(motion: Motion, fastest_down: int, lowest: int) -> bool:
    """Whether the hands are fast on their way and come up again at once, as far as the clip shows it."""
    until = lowest + int(_RISES_WITHIN_S * RATE_HZ)
    if motion.hand_speed[fastest_down : lowest + int(0.1 * RATE_HZ)].max() < _LEAST_HAND_SPEED:
        return False
    after = motion.hands[lowest : until + 1, 1]
    return until >= len(motion.time_s) or bool(after[0] - after.min() >= _RISE_AFTER)


def find_impact(motion: Motion, fastest_down: int) -> tuple[float, float] | None:
    """Time of impact from the hands' lowest point, and a certainty; None when the clip ends before."""
    lowest = _find_lowest(motion, fastest_down)
    if lowest >= len(motion.time_s) - 1:
        return None
    before, at, after = motion.hands[lowest - 1 : lowest + 2, 1]
    bend = before - 2.0 * at + after
    between = 0.0 if bend >= 0.0 else float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5))
    return float(motion.time_s[lowest] + between / RATE_HZ + _LOWEST_BEFORE_IMPACT_S), _CERTAINTY


def find_arm_level(motion: Motion, top: int, impact_s: float) -> float | None:
    """When the lead wrist comes down past the height of the lead shoulder; None when it does not."""
    end = int(np.searchsorted(motion.time_s, impact_s))
    heights = motion.lead_arm_height[top:end]
    falling = np.flatnonzero((heights[:-1] > 0) & (heights[1:] <= 0))
    if len(falling) == 0:
        return None
    j = top + int(falling[-1])
    above, below = motion.lead_arm_height[j], motion.lead_arm_height[j + 1]
    return float(motion.time_s[j] + above / (above - below) / RATE_HZ)
