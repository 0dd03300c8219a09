"""Whether what a lesson's mat tells can be true: by how it lies, and by where the pressure moves on the way down."""

from collections.abc import Mapping, Sequence

import numpy as np

from review.jobs.pressure.mats import Mat
from review.lesson import FloatArray, KeyFrameName, Measure
from review.pressure import MatPlacement, PressurePath

Way = tuple[PressurePath, Mapping[str, float]]
"""A trace laid over a swing, and the swing's key frames in true seconds after impact."""

DOUBTFUL = "how the mat lies is doubtful"
_TOWARD_TARGET = {
    "pressure_position_pct",
    "pressure_direction_deg",
    "pressure_speed_cm_s",
    "pressure_peak_ms",
    "pressure_return_cm",
    "pressure_share_pct",  # of two platforms, the steps tell which is under the lead foot
    "lead_loading_rate_bw_s",
}
_ACROSS = 1.5
"""From top to impact the pressure moves along the target line far more than across (in the sample lesson 3 to 9 times);
common practice, no source."""
_AWAY_CM = 1.0
"""Less has no direction worth saying."""
_STILL_CM, _STANDING_CM, _STILL_CM_S = 2.0, 6.0, 50.0
"""From the top to impact a swing is above all of them (the least of the sample lesson: 14 cm, 114 cm/s). Somebody who
stands on a platform (tests/pressure/data) moves by 5 cm in 0.3 s once, where the fastest move is, at up to 43 cm/s."""
_OUTSIDE_CM = (20.0, 25.0)
"""Beyond the ankles along the target line, and to toes or heels of where one stands, no part of a foot is (a foot is
some 26 cm long); common practice, no source."""
_MOST_SWINGS = 0.7
"""Of those that tell; common practice, no source."""
_SET_RIGHT = (
    "The target line runs along the table's y: the mat lies across, or x and y are swapped in the table. "
    "The three steps set it right."
)


def find_doubt(mat: Mat | None, ways: Sequence[Way]) -> str:
    """Say why nothing may be told toward the target, and what to do; '' where nothing speaks against the mat.

    Two things do, in most swings: a pressure that moves farther across the target line (the table's x) than along it,
    and one that moves away from the target from the top to arm level. Both styles of good players come forward until
    then (Ball & Best 2007, J Sports Sci 25:757-770).
    """
    placement = None if mat is None else mat.placement
    across = [ratio > _ACROSS for way in ways if (ratio := _across(*way)) is not None]
    if _are_most(across):
        return _say_across(placement, f"{sum(across)} of {len(across)} swings")
    if placement is None or not placement.has_angle:
        return ""
    away = [move < -_AWAY_CM for way in ways if (move := _along_cm(*way)) is not None]
    if not _are_most(away):
        return ""
    moves = f"The pressure moves away from the target on the way down in {sum(away)} of {len(away)} swings"
    if placement.has_origin:
        why = "in the second step the weight may have been on the trail foot. Let the player do the steps again."
        return f"{moves}: {why}"
    return f"{moves}: the stick's direction may point away from the target. Turn edge_deg by 180 in the lesson file."


def tell_set_right(mat: Mat | None, n_traces: int) -> str:
    """Say that the three steps found the mat across and set it right; '' where they did not, or nothing was read."""
    placement = None if mat is None else mat.placement
    if not n_traces or placement is None or not (placement.has_angle and placement.has_origin):
        return ""
    return _SET_RIGHT if abs((placement.angle_deg + 90.0) % 180.0 - 90.0) > 45.0 else ""


def leave_out_doubtful(measures: Sequence[Measure]) -> tuple[Measure, ...]:
    """The same measures, those toward the target without a number and with the reason."""
    return tuple(
        Measure(m.name, np.nan, m.key_frame, why_missing=DOUBTFUL)
        if m.name in _TOWARD_TARGET and not m.why_missing
        else m
        for m in measures
    )


def say_no_swing(path: PressurePath, moments_s: Mapping[str, float], is_by_force: bool) -> str:
    """Say why a trace cannot be of a swing; '' where it can, or where that is not known.

    ``is_by_force``: the force follows the body of the swing, so that even a short move is the swing's.
    """
    xy = _way_down(path, moments_s)
    if xy is None:
        return ""
    inside = (path.moments_s >= moments_s[KeyFrameName.TOP]) & (path.moments_s <= moments_s[KeyFrameName.IMPACT])
    fastest = float(np.hypot(*path.velocity_cm_s[inside].T).max(initial=0.0))
    if fastest < _STILL_CM_S and np.hypot(*np.ptp(xy, axis=0)) < (_STILL_CM if is_by_force else _STANDING_CM):
        return "no swing in this trace: the pressure hardly moves from top to impact"
    placement = path.placement
    if placement.has_angle and placement.has_origin and placement.stance_cm is not None:
        far = np.abs(xy) > (placement.stance_cm / 2 + _OUTSIDE_CM[0], _OUTSIDE_CM[1])
        if far.any(axis=1).all():
            return "no swing in this trace: the pressure lies outside the feet from top to impact"
    return ""


def _are_most(told: Sequence[bool]) -> bool:
    return sum(told) >= max(2, _MOST_SWINGS * len(told))


def _say_across(placement: MatPlacement | None, often: str) -> str:
    along = "the target line" if placement is not None and placement.has_angle else "the table's x"
    moves = f"The pressure moves farther across {along} than along it in {often}"
    if placement is not None and placement.has_angle and placement.has_origin:
        return (
            f"{moves}: x and y of the trace may not be those of the three steps. Write both tables with the same "
            "program, or name the columns in a mapping."
        )
    return (
        f"{moves}: the mat lies across, or x and y are swapped. Let the player do the three steps, or name the columns "
        "in a mapping."
    )


def _way_down(path: PressurePath, moments_s: Mapping[str, float]) -> FloatArray | None:
    """Places (m, 2) from top to impact; None where one of them is not known, or there is a gap."""
    if KeyFrameName.TOP not in moments_s or KeyFrameName.IMPACT not in moments_s:
        return None
    _, xy = path.between(moments_s[KeyFrameName.TOP], moments_s[KeyFrameName.IMPACT])
    return xy if np.isfinite(xy).all() else None


def _across(path: PressurePath, moments_s: Mapping[str, float]) -> float | None:
    xy = _way_down(path, moments_s)
    if xy is None:
        return None
    along, across = np.ptp(xy, axis=0)
    return float(across / max(along, 1e-6))


def _along_cm(path: PressurePath, moments_s: Mapping[str, float]) -> float | None:
    """How far it moves toward the target from the top to arm level, where that is not known to its farthest place."""
    xy = _way_down(path, moments_s)
    if xy is None:
        return None
    moved = xy[:, 0] - xy[0, 0]
    level_s = moments_s.get(KeyFrameName.ARM_LEVEL)
    if level_s is not None:
        return float(path.at(level_s)[0] - xy[0, 0])
    return float(moved[int(np.argmax(np.abs(moved)))])
