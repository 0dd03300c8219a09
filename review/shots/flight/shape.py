"""A shot's shape in trade words: where it started and how it curved, for either hand.

The words are common practice; where one ends and the next begins is ours, no source:
a start within 1 degree of the target line is straight; a curve counts from 2 degrees of spin-axis tilt and is a hook or
slice from 12. Where the axis is not known: from 1 and 6 degrees between start line and landing place (a degree of tilt
curves a shot by half a degree or a little more), or from 1 and 5 degrees of face to path.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from review.lesson.people import Handedness
from review.shots.flight.clubs import ClubKind
from review.shots.flight.launches import Found, Values, find_face_to_path, find_spin_axis, find_start, get_value

START_STRAIGHT_DEG = 1.0
AXIS_LIMITS_DEG = (2.0, 12.0)
LANDING_LIMITS_DEG = (1.0, 6.0)
FACE_TO_PATH_LIMITS_DEG = (1.0, 5.0)
"""Each pair: below the first it is straight, from the second on a hook or slice."""


class Start(StrEnum):
    """Where the ball started, in the player's words: a right-hander pushes to the right."""

    STRAIGHT = "straight"
    PUSH = "push"
    PULL = "pull"


class Curve(StrEnum):
    """How the ball curved, in the player's words: a right-hander draws and hooks to the left."""

    STRAIGHT = "straight"
    DRAW = "draw"
    FADE = "fade"
    HOOK = "hook"
    SLICE = "slice"


@dataclass(frozen=True)
class Shape:
    """Start and curve of a shot, None where the row does not tell.

    ``start_deg`` is the launch direction, + right of target. ``curve_side`` is +1 to the right, -1 to the left, 0
    straight or not known. ``start_from`` and ``curve_from`` say how it was come by: 'measured', 'from back and side
    spin', 'from where it landed', 'from face and path', '' where it is not known.
    """

    start: Start | None
    curve: Curve | None
    start_deg: float
    curve_side: int
    start_from: str
    curve_from: str

    @property
    def words(self) -> str:
        """'push draw', 'pull', 'fade', 'straight'; says what is not known."""
        if self.start is None and self.curve is None:
            return "not known"
        if self.start is None:
            return f"{'no curve' if self.curve is Curve.STRAIGHT else self.curve}, start not known"
        if self.curve is None:
            return f"{'straight start' if self.start is Start.STRAIGHT else self.start}, curve not known"
        parts = [str(part) for part in (self.start, self.curve) if part != "straight"]
        return " ".join(parts) or "straight"


def find_shape(values: Values, handedness: Handedness, club: ClubKind = ClubKind.UNKNOWN) -> Shape:
    """Find a shot's shape from its row: measured numbers first, else what face and path give.

    Parameters
    ----------
    values : the row's numbers by measure name.
    handedness : the side the player swings from.
    club : kind of club, for the share of face and path where the launch direction was not measured.
    """
    start = find_start(values, club)
    curve, limits = _find_curve(values)
    side = _side_of(curve.value, limits[0]) if curve.is_known else 0
    return Shape(
        start=_name_start(start.value, handedness) if start.is_known else None,
        curve=_name_curve(side, abs(curve.value) >= limits[1], handedness) if curve.is_known else None,
        start_deg=start.value,
        curve_side=side,
        start_from=start.source,
        curve_from=curve.source,
    )


def _find_curve(values: Values) -> tuple[Found, tuple[float, float]]:
    """The number that tells the curve best, + to the right, and the limits that go with it."""
    axis, landed, face_to_path = find_spin_axis(values), _find_landing_side(values), find_face_to_path(values)
    if axis.is_known and axis.source != "from face and path":
        return axis, AXIS_LIMITS_DEG
    if landed.is_known:
        return landed, LANDING_LIMITS_DEG
    if axis.is_known:
        return axis, AXIS_LIMITS_DEG
    return Found(face_to_path.value, "from face and path" if face_to_path.is_known else ""), FACE_TO_PATH_LIMITS_DEG


def _find_landing_side(values: Values) -> Found:
    """How far right of its start line the ball came down, degrees seen from the tee."""
    offline, carry = get_value(values, "offline_yd"), get_value(values, "carry_yd")
    start = get_value(values, "launch_direction_deg")
    if not math.isfinite(offline + carry + start) or carry <= 0 or abs(offline) > carry:
        return Found()
    return Found(math.degrees(math.asin(offline / carry)) - start, "from where it landed")


def _side_of(value: float, limit: float) -> int:
    return 0 if abs(value) < limit else int(math.copysign(1, value))


def _name_start(start_deg: float, handedness: Handedness) -> Start:
    side = 0 if abs(start_deg) <= START_STRAIGHT_DEG else int(math.copysign(1, start_deg))
    return {0: Start.STRAIGHT, 1: Start.PUSH, -1: Start.PULL}[side * _own_right(handedness)]


def _name_curve(side: int, is_strong: bool, handedness: Handedness) -> Curve:
    if side == 0:
        return Curve.STRAIGHT
    if side * _own_right(handedness) > 0:
        return Curve.SLICE if is_strong else Curve.FADE
    return Curve.HOOK if is_strong else Curve.DRAW


def _own_right(handedness: Handedness) -> int:
    """The side that is a right-hander's right: seen in a mirror for a left-hander."""
    return 1 if handedness is Handedness.RIGHT else -1
