"""When the turning stops."""

import numpy as np

from review.swing.motion import Motion

# Parts of the trunk's fastest speed, so that slow swings stop alike.
_STOPPED = 0.065
_NEARLY_STOPPED = 0.2
_AT_LEAST_S = 0.15
_FASTEST_WITHIN_S = 0.5


def find_finish(motion: Motion, impact_s: float) -> tuple[float, float] | None:
    """True time of the finish with a certainty; None when the clip ends while the player still turns."""
    begin = int(np.searchsorted(motion.time_s, impact_s + _AT_LEAST_S))
    fastest = float(motion.trunk_speed[motion.index_of(impact_s - _FASTEST_WITHIN_S) : begin + 1].max())
    still = np.flatnonzero(motion.trunk_speed[begin:] < _STOPPED * fastest)
    if len(still):
        return float(motion.time_s[begin + still[0]]), 0.9
    if begin >= len(motion.time_s) or motion.trunk_speed[-1] > _NEARLY_STOPPED * fastest:
        return None
    return float(motion.time_s[-1]), 0.2
