"""When impact is in a pressure trace: by the force against the body's rise and fall, else by the fastest move."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import minimum_filter1d

from review.body.mass_centre import find_mass_height
from review.lesson import FloatArray, Shot, Trace
from review.pose import LandmarkTrack
from review.pressure import compute_speed
from review.sync.force_lag import find_force_lag

BY_FORCE, BY_MOVE = "force", "move"
MOVE_WITHIN_S = 0.15
"""About how exactly the fastest move tells impact: half a downswing. In the sample lesson it is off by 0.07 s."""
_STEADY_S = 0.05
"""Who stands firmly does so for that long before and after."""
_DOWNSWING_S = 0.3
"""Where it was not measured; from memory, about what most players take."""
_SEARCHED_BEFORE_S, _SEARCHED_AFTER_S = 1.0, 0.5
_STANDS_FROM = 0.3
"""Of the force on most samples; in a swing it stays above half of the weight but for an instant."""
_RIVAL_AFTER_S, _RIVAL_SHARE, _FITS_ELSEWHERE = 1.5, 0.5, 0.5
"""Of recordings without a clock: another move is so far off and so much of the fastest; tried on the sample lesson with
two swings put into one recording."""
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
    """Find impact in a trace; None where its shot lies outside it, or a recording without a clock may hold two swings.

    Parameters
    ----------
    shot : its time narrows where impact is looked for; None, or a trace without a clock = anywhere in the trace.
    downswing_s : from top to impact, None = not known.
    bodies : what the clips show, the best one first; the first that the force follows counts.
    """
    if trace.is_clock_of_shot:
        shot = None
    why = "" if trace.force_n is not None else "the table has no force"
    speed = _compute_speed(trace, shot)
    if speed is None:
        return None
    impact_s = float(trace.time_s[int(np.argmax(speed))]) + (downswing_s or _DOWNSWING_S) / 2
    # where two places of the force fit the body alike, the one near the fastest move is meant
    near = (impact_s - 1.5 * MOVE_WITHIN_S, impact_s + 1.5 * MOVE_WITHIN_S)
    is_doubtful = trace.is_clock_of_shot and has_rival_move(trace)
    force_n = np.full(len(trace.time_s), np.nan) if trace.force_n is None else trace.force_n
    for body in bodies:
        for span in (_where(trace, shot), near)[: 1 if is_doubtful else 2]:
            lag = find_force_lag(body.moments_s, body.height, trace.time_s, force_n, *span)
            if not lag.refused and not (is_doubtful and _fits_elsewhere(trace, force_n, body, lag.impact_s)):
                return PlacedInTime(lag.impact_s, lag.sd_s, BY_FORCE)
            why = why or lag.refused
    if is_doubtful:
        return None
    return PlacedInTime(impact_s, MOVE_WITHIN_S / 2, BY_MOVE, why or "the swing is not measured")


def _where(trace: Trace, shot: Shot | None) -> tuple[float, float]:
    if shot is None or shot.struck_at is None:
        return float(trace.time_s[0]), float(trace.time_s[-1])
    at_s = (shot.struck_at - trace.started_at).total_seconds()
    return at_s - _ROUND_S, at_s + shot.time_resolution_s + _ROUND_S


def _fits_elsewhere(trace: Trace, force_n: FloatArray, body: BodyHeight, impact_s: float) -> bool:
    """Whether the force follows the body at another time too, as it does in a practice swing."""
    spans = ((trace.time_s[0], impact_s - _RIVAL_AFTER_S), (impact_s + _RIVAL_AFTER_S, trace.time_s[-1]))
    lags = (find_force_lag(body.moments_s, body.height, trace.time_s, force_n, float(a), float(b)) for a, b in spans)
    return any(lag.correlation > _FITS_ELSEWHERE for lag in lags)


def find_fastest_s(trace: Trace) -> float | None:
    """When the pressure moves fastest, anywhere in a trace; None where its places do not tell."""
    speed = _compute_speed(trace, None)
    return None if speed is None else float(trace.time_s[int(np.argmax(speed))])


def has_rival_move(trace: Trace) -> bool:
    """Whether the pressure moves about as fast at another time of the trace: a practice swing, somebody who walks."""
    speed = _compute_speed(trace, None)
    if speed is None:
        return False
    best = int(np.argmax(speed))
    apart = np.abs(trace.time_s - trace.time_s[best]) > _RIVAL_AFTER_S
    return bool((speed[apart] > _RIVAL_SHARE * speed[best]).any())


def _compute_speed(trace: Trace, shot: Shot | None) -> FloatArray | None:
    """(n,) cm/s, 0 where nobody stands firmly, -1 where impact is not looked for; None without a speed there."""
    time_s = trace.time_s
    if len(time_s) < 3:
        return None
    found = compute_speed(time_s, trace.xy_cm)
    is_known = np.isfinite(found)
    speed: FloatArray = np.nan_to_num(found)
    if trace.force_n is not None and np.isfinite(trace.force_n).any():
        # who steps on or off moves the pressure faster than any swing
        n = max(1, round(_STEADY_S / float(np.median(np.diff(time_s)))))
        least_n = minimum_filter1d(np.nan_to_num(trace.force_n, nan=np.inf), 2 * n + 1)
        speed[least_n < _STANDS_FROM * np.nanquantile(trace.force_n, 0.9)] = 0.0
    if shot is not None and shot.struck_at is not None:
        at_s = (shot.struck_at - trace.started_at).total_seconds()
        inside = (time_s >= at_s - _SEARCHED_BEFORE_S) & (time_s <= at_s + shot.time_resolution_s + _SEARCHED_AFTER_S)
        is_known &= inside
        speed = np.where(inside, speed, -1.0)
    return speed if is_known.any() else None
