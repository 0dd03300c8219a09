"""Feet as they stand under a player: an outline of our own, placed and turned by the stance."""

import numpy as np
from scipy.interpolate import CubicSpline

from review.lesson import FloatArray
from review.pressure import STANDS_BEFORE_ANKLES_CM

_FOOT_PART = 0.152
"""Length of a foot as part of the stature: D. A. Winter after Drillis and Contini 1966 (from memory)."""
USUAL_STATURE_M = 1.74
_ANKLE_FROM_HEEL = 0.25
_HALF_WIDTHS = (
    *((0.0, 0.0), (0.06, 0.095), (0.18, 0.125), (0.35, 0.115), (0.5, 0.125)),
    *((0.65, 0.17), (0.76, 0.19), (0.87, 0.172), (0.96, 0.105), (1.0, 0.0)),
)
"""Along a foot from heel to toe, half its width, in lengths of the foot: an outline of our own."""
_N_OF_SIDE = 40


def outline_foot(length_cm: float, ankle_cm: tuple[float, float], flare_deg: float, is_lead: bool) -> FloatArray:
    """The outline (n, 2) of a foot in the player's frame, its toe turned out by ``flare_deg`` from straight ahead."""
    along, wide = _SHAPE.T
    # the ball of the foot lies a little to the inside
    inward = -1.0 if is_lead else 1.0
    wide = wide + inward * 0.03 * np.clip((along + _ANKLE_FROM_HEEL - 0.45) / 0.5, 0, 1)
    turn = np.deg2rad(flare_deg) * (1.0 if is_lead else -1.0)
    x = wide * np.cos(turn) + along * np.sin(turn)
    y = -wide * np.sin(turn) + along * np.cos(turn)
    return np.column_stack([x, y]) * length_cm + ankle_cm


def place_feet(
    stance_cm: float, lead_flare_deg: float | None, trail_flare_deg: float | None, stature_m: float | None
) -> tuple[FloatArray, FloatArray]:
    """Outlines of lead and trail foot in the player's frame, whose origin is where the player stands still."""
    length = 100 * _FOOT_PART * (stature_m or USUAL_STATURE_M)
    ankle = stance_cm / 2, -STANDS_BEFORE_ANKLES_CM
    return (
        outline_foot(length, ankle, lead_flare_deg or 0.0, True),
        outline_foot(length, (-ankle[0], ankle[1]), trail_flare_deg or 0.0, False),
    )


def _round_off() -> FloatArray:
    """A closed smooth line (2 n, 2) through both sides: along the foot from the ankle, and across; its length is 1."""
    side = np.array(_HALF_WIDTHS)
    corners = np.vstack([side, (side * (1, -1))[-2::-1]])
    step = np.hypot(*np.diff(corners, axis=0).T)
    at = np.concatenate([[0.0], np.cumsum(np.sqrt(step))])
    spline = CubicSpline(at, corners, bc_type="periodic")
    line = spline(np.linspace(0.0, at[-1], 2 * _N_OF_SIDE, endpoint=False))
    line[:, 0] = (line[:, 0] - line[:, 0].min()) / np.ptp(line[:, 0])
    return np.asarray(line - (_ANKLE_FROM_HEEL, 0.0), dtype=float)


_SHAPE = _round_off()
