"""When impact is in a pressure trace: by the force against the body's rise and fall, else by the fastest move."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import minimum_filter1d, uniform_filter1d

from review.body.mass_centre import find_mass_height
from review.lesson import FloatArray, Shot, Trace
from review.pose import LandmarkTrack
from review.sync.force_lag import find_force_lag

BY_FORCE, BY_MOVE = "force", "move"
MOVE_WITHIN_S = 0.15
"""About how exactly the fastest move tells impact: half a downswing. In the sample lesson it is off by 0.07 s."""
_SMOOTHED_S = 0.05
_DOWNSWING_S = 0.3
"""Where it was not measured; from memory, about what most players take."""
_SEARCHED_BEFORE_S, _SEARCHED_AFTER_S = 1.0, 0.5
_STANDS_FROM = 0.3
"""Of the force on most samples; in a swing it stays above half of the weight but for an instant."""
_ROUND_S = 0.5
"""Of a clock that tells seconds, beyond its own resolution."""


@dataclass(frozen=True)
class PlacedInTime:
    """Seconds on the trace at which impact is, how exactly (one standard deviation) and by what."""

    impact_s: float
    sd_s: float
    by: str
    why_not_by_force: str = ""

    @property
    def within_s(self) -> float:
        """How far to trust it, for the coach."""
        return MOVE_WITHIN_S if self.by == BY_MOVE else 2 * self.sd_s


@dataclass(frozen=True, eq=False)
class BodyHeight:
    """Height of the centre of mass (n,), any unit, over true seconds after impact (n,)."""

    moments_s: FloatArray
    height: FloatArray


def see_body(track: LandmarkTrack, impact_s: float, time_scale: float) -> BodyHeight:
    """The height of the centre of mass over a clip whose impact is at a presentation time."""
    return BodyHeight((track.time_s - impact_s) * time_scale, find_mass_height(track))


def place_impact(
    trace: Trace, shot: Shot | None, downswing_s: float | None = None, bodies: Sequence[BodyHeight] = ()
) -> PlacedInTime | None:
    """Find impact in a trace; None where its shot lies outside it.

    Parameters
    ----------
    shot : its time narrows where impact is looked for; None, or a trace without a clock = anywhere in the trace.
    downswing_s : from top to impact, None = not known.
    bodies : what the clips show, the best one first; the first that the force follows counts.
    """
    if trace.is_clock_of_shot:
        shot = None
    why = "" if trace.force_n is not None else "the table has no force"
    moves = _find_fastest_s(trace, shot)
    if moves is None:
        return None
    impact_s = moves + (downswing_s or _DOWNSWING_S) / 2
    # where two places of the force fit the body alike, the one near the fastest move is meant
    near = (impact_s - 1.5 * MOVE_WITHIN_S, impact_s + 1.5 * MOVE_WITHIN_S)
    force_n = np.full(len(trace.time_s), np.nan) if trace.force_n is None else trace.force_n
    for body in bodies:
        for span in (_where(trace, shot), near):
            lag = find_force_lag(body.moments_s, body.height, trace.time_s, force_n, *span)
            if not lag.refused:
                return PlacedInTime(lag.impact_s, lag.sd_s, BY_FORCE)
            why = why or lag.refused
    return PlacedInTime(impact_s, MOVE_WITHIN_S / 2, BY_MOVE, why or "the swing is not measured")


def _where(trace: Trace, shot: Shot | None) -> tuple[float, float]:
    if shot is None or shot.struck_at is None:
        return float(trace.time_s[0]), float(trace.time_s[-1])
    at_s = (shot.struck_at - trace.started_at).total_seconds()
    return at_s - _ROUND_S, at_s + shot.time_resolution_s + _ROUND_S


def _find_fastest_s(trace: Trace, shot: Shot | None) -> float | None:
    time_s = trace.time_s
    if len(time_s) < 3:
        return None
    n = max(1, round(_SMOOTHED_S / float(np.median(np.diff(time_s)))))
    smooth = uniform_filter1d(trace.xy_cm, n, axis=0)
    speed = np.hypot(*np.nan_to_num(np.gradient(smooth, time_s, axis=0)).T)
    if trace.force_n is not None and np.isfinite(trace.force_n).any():
        # who steps on or off moves the pressure faster than any swing
        least_n = minimum_filter1d(np.nan_to_num(trace.force_n, nan=np.inf), 2 * n + 1)
        speed[least_n < _STANDS_FROM * np.nanquantile(trace.force_n, 0.9)] = 0.0
    if shot is not None and shot.struck_at is not None:
        at_s = (shot.struck_at - trace.started_at).total_seconds()
        inside = (time_s >= at_s - _SEARCHED_BEFORE_S) & (time_s <= at_s + shot.time_resolution_s + _SEARCHED_AFTER_S)
        if not inside.any():
            return None
        speed = np.where(inside, speed, -1.0)
    return float(time_s[int(np.argmax(speed))])
