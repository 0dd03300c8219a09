"""Where the mat lies under the player: from its own axes to the player's, and to the place between the feet."""

from dataclasses import dataclass

import numpy as np

from review.lesson import FloatArray

STANDS_BEFORE_ANKLES_CM = 5.0
"""How far toward the toes of the ankles the pressure lies under a foot that stands still: D. A. Winter 1995, Gait &
Posture 3:193-214, has the body's line of gravity there (from memory)."""


@dataclass(frozen=True)
class MatPlacement:
    """How a mat lies, and how wide the player stands on it.

    The player's frame has x toward the target, y toward the toes and its origin midway between the feet, in
    centimetres. ``angle_deg`` is the direction of the player's x in the mat's axes, from the mat's x toward its y;
    ``is_mirrored``: the player's y lies a quarter turn from x toward the mat's -y, as it does where a mat counts
    from the other corner, or a left-hander stands on it. ``origin_cm`` is the player's origin in the mat's axes.
    ``stance_cm`` is the distance of the feet (ankle to ankle). ``is_approximate``: stance or origin were not
    measured for this player. ``has_angle``, ``has_origin``: whether anybody told how the mat lies, and where on it the
    player stands; without the first nothing is toward the target, without the second no place is between the feet.
    Standard deviations are of the placement, the same for every swing on it.
    """

    angle_deg: float = 0.0
    is_mirrored: bool = False
    origin_cm: tuple[float, float] = (0.0, 0.0)
    stance_cm: float | None = None
    is_approximate: bool = False
    angle_sd_deg: float = 0.0
    origin_sd_cm: float = 0.0
    has_angle: bool = True
    has_origin: bool = True

    def __post_init__(self) -> None:
        if self.stance_cm is not None and not 0 < self.stance_cm < np.inf:
            raise ValueError(f"a stance must be wider than nothing, got {self.stance_cm}")
        if not np.isfinite([self.angle_deg, *self.origin_cm]).all():
            raise ValueError("angle and origin of a mat must be finite")

    def to_player(self, xy_cm: FloatArray) -> FloatArray:
        """Turn places on the mat (n, 2) into the player's frame (n, 2)."""
        angle = np.deg2rad(self.angle_deg)
        along = np.array([np.cos(angle), np.sin(angle)])
        across = np.array([-along[1], along[0]]) * (-1.0 if self.is_mirrored else 1.0)
        turned: FloatArray = (np.asarray(xy_cm, dtype=float) - self.origin_cm) @ np.column_stack([along, across])
        return turned

    def to_position_pct(self, x_cm: FloatArray) -> FloatArray:
        """Place between the feet: 0 under the trail foot, 100 under the lead foot (Ball & Best 2007: CPy%).

        Raises
        ------
        ValueError
            The stance is not known.
        """
        if self.stance_cm is None:
            raise ValueError("a place between the feet needs the width of the stance")
        position: FloatArray = 50.0 + 100.0 * np.asarray(x_cm, dtype=float) / self.stance_cm
        return position


def find_stand_x_cm(lead_flare_deg: float | None, trail_flare_deg: float | None) -> float:
    """How far toward the target of midway between the ankles the pressure is with as much weight on either foot.

    Under each foot it lies before the ankle, along the foot: the foot that is turned out farther takes it to its side.
    Flares are + turned out; where one is not known 0 is told.
    """
    if lead_flare_deg is None or trail_flare_deg is None:
        return 0.0
    lead, trail = np.tan(np.deg2rad([lead_flare_deg, trail_flare_deg]))
    return float(STANDS_BEFORE_ANKLES_CM * (lead - trail) / 2)
