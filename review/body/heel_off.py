"""When the trail heel comes off the ground."""

import numpy as np
from numpy.typing import NDArray

from review.body.foot import NOT_FACE_ON, QUICK, FootError, Reading, missing
from review.body.seen import SeenSwing
from review.body.series import Series
from review.lesson import Z90, FloatArray, KeyFrameName, View

HEEL_OFF_CM = 2.0
_STEADY_S = 0.03
_SLOWEST_RISE_CM_S = 15.0
_WIDEST_SD_MS = 40.0
# Milliseconds; learnt on 58 rendered clips, checked on 20 of other players (docs/foot.md). Down the line the bias is
# another from one batch of players to the next.
_HEEL_OFF_ERROR = {"heavy": FootError(-25.0, 20.0, shared_part=0.5)}
_HEEL_OFF_STRETCH = 1.3


def find_heel_off(lift: Series, seen: SeenSwing) -> Reading:
    """Find how long before impact the trail heel's lift passes 2 cm and stays above, in milliseconds, + before impact.

    However vague it is; ``drop_vague`` decides what is told.

    Parameters
    ----------
    lift : trail-heel lift as this face-on view alone sees it, on the frames of ``seen``.
    """
    if seen.view is not View.FACE_ON:
        return missing(NOT_FACE_ON)
    if seen.track.model not in _HEEL_OFF_ERROR:
        return missing(QUICK)
    impact_s = seen.true_time_of(KeyFrameName.IMPACT)
    if impact_s is None:
        return missing("impact was not found in the clip")
    use = _is_from_top(lift, seen, impact_s)
    time_s, value = lift.time_s[use] * seen.time_scale, lift.value[use]
    above = value >= HEEL_OFF_CM
    if len(value) < 3 or not above.any():
        return missing("the trail heel did not rise by 2 cm")
    rises = [i for i in np.flatnonzero(~above[:-1] & above[1:]) if _stays(time_s, above, int(i) + 1)]
    if not rises:
        return missing(
            "the trail heel was up at the top already" if above[0] else "the trail heel did not stay up by 2 cm"
        )
    i = int(rises[0])
    at_s = _passes_at(time_s, value, i)
    around = np.abs(time_s - at_s) <= 2 * _STEADY_S
    speed = float(np.polyfit(time_s[around], value[around], 1)[0]) if around.sum() > 1 else 0.0
    ms_per_cm = 1000.0 / max(speed, _SLOWEST_RISE_CM_S)
    j = int(np.flatnonzero(use)[i])
    error = _HEEL_OFF_ERROR[seen.track.model]
    from_lift = _HEEL_OFF_STRETCH * ms_per_cm
    own = float(np.hypot(from_lift * lift.own_sd[j], error.sd * np.sqrt(1.0 - error.shared_part)))
    shared = float(np.hypot(from_lift * lift.shared_sd[j], error.sd * np.sqrt(error.shared_part)))
    return Reading((impact_s - at_s) * 1000.0 - error.bias, own, shared)


def drop_vague(heel_off_ms: Reading) -> Reading:
    """Keep a heel-off that is known well enough to be told; else say that it is not."""
    if np.hypot(heel_off_ms.own_sd, heel_off_ms.shared_sd) > _WIDEST_SD_MS:
        return missing(f"the moment cannot be told to better than {Z90 * _WIDEST_SD_MS:.0f} ms here")
    return heel_off_ms


def find_heel_up(lift: Series, seen: SeenSwing) -> float:
    """Find from when on the trail heel no longer stands, in milliseconds before impact, however it came up.

    From about the top on at the earliest; NaN when it stays down or impact was not found.

    Parameters
    ----------
    lift : as for ``find_heel_off``.
    """
    impact_s = seen.true_time_of(KeyFrameName.IMPACT)
    if impact_s is None:
        return float("nan")
    use = _is_from_top(lift, seen, impact_s)
    time_s, value = lift.time_s[use] * seen.time_scale, lift.value[use]
    above = value >= HEEL_OFF_CM
    up = [int(i) for i in np.flatnonzero(above) if _stays(time_s, above, int(i))]
    if not up:
        return float("nan")
    at_s = time_s[0] if up[0] == 0 else _passes_at(time_s, value, up[0] - 1)
    late_ms = _HEEL_OFF_ERROR[seen.track.model].bias if seen.track.model in _HEEL_OFF_ERROR else 0.0
    return float((impact_s - at_s) * 1000.0 - late_ms)


def _is_from_top(lift: Series, seen: SeenSwing, impact_s: float) -> NDArray[np.bool_]:
    top_s = seen.true_time_of(KeyFrameName.TOP)
    from_s = impact_s - 0.4 if top_s is None else top_s
    return np.asarray((lift.time_s * seen.time_scale >= from_s) & np.isfinite(lift.value))


def _passes_at(time_s: FloatArray, value: FloatArray, i: int) -> float:
    """When the lift passes 2 cm between frames i and i + 1."""
    return float(np.interp(HEEL_OFF_CM, value[i : i + 2], time_s[i : i + 2]))


def _stays(time_s: FloatArray, above: NDArray[np.bool_], i: int) -> bool:
    return bool(above[i:][time_s[i:] <= time_s[i] + _STEADY_S].all())
