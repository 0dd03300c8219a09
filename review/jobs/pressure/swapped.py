"""Whether x and y of a table may be swapped: by how the mat lies, or by where the pressure moves."""

import numpy as np

from review.jobs.pressure.measuring import LessonPressure
from review.lesson import KeyFrameName
from review.pressure import MatPlacement, PressurePath

_ACROSS = 1.5
"""From top to impact the pressure moves along the target line far more than across (in the sample lesson 3 to 9 times);
common practice, no source."""
_MOST_SWINGS = 0.7
_SET_RIGHT = (
    "The target line runs along the table's y: the mat lies across, or x and y are swapped in the table. "
    "The three steps set it right."
)


def tell_swapped(read: LessonPressure) -> str:
    """Say that x and y may be swapped, and what that means; '' where nothing points to it.

    The three steps tell it by themselves and set it right. Else most swings whose pressure moves farther across the
    target line (the table's x) than along it tell it; with the three steps, that trace and steps are not told alike.
    Where no swing was read there is nothing to set right.
    """
    if not read.swings:
        return ""
    mat = None if read.mat is None else read.mat.placement
    has_steps = mat is not None and mat.has_angle and mat.has_origin
    longer = [ratio > _ACROSS for one in read.swings if (ratio := _across(one.path, one.moments_s)) is not None]
    if not longer or sum(longer) < max(2, _MOST_SWINGS * len(longer)):
        return _SET_RIGHT if has_steps and mat is not None and _lies_across(mat) else ""
    along = "the target line" if mat is not None and mat.has_angle else "the table's x"
    moves = f"The pressure moves farther across {along} than along it in {sum(longer)} of {len(longer)} swings"
    if has_steps:
        return (
            f"{moves}: x and y of the trace may not be those of the three steps. Write both tables with the same "
            "program, or name the columns in a mapping."
        )
    return (
        f"{moves}: the mat lies across, or x and y are swapped. Let the player do the three steps, or name the columns "
        "in a mapping."
    )


def _lies_across(mat: MatPlacement) -> bool:
    return abs((mat.angle_deg + 90.0) % 180.0 - 90.0) > 45.0


def _across(path: PressurePath, moments_s: dict[str, float]) -> float | None:
    if KeyFrameName.TOP not in moments_s or KeyFrameName.IMPACT not in moments_s:
        return None
    _, xy = path.between(moments_s[KeyFrameName.TOP], moments_s[KeyFrameName.IMPACT])
    if not np.isfinite(xy).all():
        return None
    along, across = np.ptp(xy, axis=0)
    return float(across / max(along, 1e-6))
