"""Where a swing's pressure trace stands against its clips."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import uniform_filter1d

from review.lesson import FloatArray, Shot, Trace

_SMOOTHED_S = 0.05
_DOWNSWING_S = 0.3
"""Where it was not measured; from memory, about what most players take."""
_SEARCHED_BEFORE_S, _SEARCHED_AFTER_S = 1.0, 0.5
WITHIN_S = 0.15
"""About how exactly a trace is placed: half a downswing. In the sample lesson it is off by 0.07 s."""


@dataclass(frozen=True, eq=False)
class PressureShown:
    """The centre of pressure over true seconds after impact: ``moments_s`` (n,), ``xy_cm`` (n, 2) in the mat's axes."""

    moments_s: FloatArray
    xy_cm: FloatArray

    def place_at(self, moment_s: float) -> tuple[float, float] | None:
        """Where it is at a moment; None outside the trace."""
        if not len(self.moments_s) or not self.moments_s[0] <= moment_s <= self.moments_s[-1]:
            return None
        x, y = (float(np.interp(moment_s, self.moments_s, self.xy_cm[:, axis])) for axis in (0, 1))
        return x, y


def place_pressure(trace: Trace, shot: Shot | None, downswing_s: float | None) -> PressureShown | None:
    """Lay a trace over the clips: its fastest move goes to the middle of the downswing.

    The device's clock tells the strike to a second only, so that the trace itself has to say more. That the pressure
    moves fastest on the way down is common practice, no source; ``WITHIN_S`` says how far to trust it.

    Parameters
    ----------
    shot : its time narrows where the fastest move is looked for; None = anywhere in the trace.
    downswing_s : from top to impact, None = not known.
    """
    moves = _find_fastest_s(trace, shot)
    if moves is None:
        return None
    impact_s = moves + (downswing_s or _DOWNSWING_S) / 2
    return PressureShown(trace.time_s - impact_s, trace.xy_cm)


def _find_fastest_s(trace: Trace, shot: Shot | None) -> float | None:
    time_s = trace.time_s
    if len(time_s) < 3:
        return None
    n = max(1, round(_SMOOTHED_S / float(np.median(np.diff(time_s)))))
    smooth = uniform_filter1d(trace.xy_cm, n, axis=0)
    speed = np.hypot(*np.nan_to_num(np.gradient(smooth, time_s, axis=0)).T)
    if shot is not None and shot.struck_at is not None:
        at_s = (shot.struck_at - trace.started_at).total_seconds()
        inside = (time_s >= at_s - _SEARCHED_BEFORE_S) & (time_s <= at_s + shot.time_resolution_s + _SEARCHED_AFTER_S)
        if not inside.any():
            return None
        speed = np.where(inside, speed, -1.0)
    return float(time_s[int(np.argmax(speed))])
