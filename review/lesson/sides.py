"""What the two sides of a number are called, and what its change is: the words that ``words`` puts together."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Sided:
    """Words of a number whose sign has a meaning.

    ``positive`` and ``negative`` hold ``{}`` where number and unit go; the ``more_`` words follow
    "more" and "less" in a change. ``is_by_hand``: + is right of target for both hands, and a
    left-hander's words are the other way round.
    """

    positive: str
    negative: str
    zero: str
    more_positive: str
    more_negative: str
    is_by_hand: bool = False


SIDED = {
    "hip_turn_deg": Sided("open {}", "turned away {}", "{}, square", "open", "turned away"),
    "shoulder_turn_deg": Sided("open {}", "turned away {}", "{}, square", "open", "turned away"),
    "trail_heel_lift_cm": Sided("{} up", "{} down", "{}, as high as at address", "up", "down"),
    "hip_shift_cm": Sided(
        "{} toward target", "{} away from target", "{}, where it was at address", "toward target", "away from target"
    ),
    "heel_off_ms": Sided("{} before impact", "{} after impact", "{}, at impact", "before impact", "after impact"),
    "trail_foot_twist_deg": Sided(
        "toe turned {} toward target",
        "toe turned {} away from target",
        "{}, not twisted",
        "toward target",
        "away from target",
    ),
    "trail_foot_slip_cm": Sided(
        "{} toward target", "{} away from target", "{}, did not slip", "toward target", "away from target"
    ),
    "trail_foot_slip_to_toes_cm": Sided(
        "{} toward the toes", "{} toward the heel", "{}, did not slip", "toward the toes", "toward the heel"
    ),
    "pressure_direction_deg": Sided(
        "{} toward the toes",
        "{} toward the heels",
        "{}, straight toward the target",
        "toward the toes",
        "toward the heels",
    ),
    "pressure_speed_cm_s": Sided(
        "{} toward target", "{} away from target", "{}, not moving", "toward target", "away from target"
    ),
    "pressure_peak_ms": Sided("{} before impact", "{} after impact", "{}, at impact", "before impact", "after impact"),
    "club_path_deg": Sided(
        "{} in-to-out", "{} out-to-in", "{} path, straight at the target", "in-to-out", "out-to-in", is_by_hand=True
    ),
    "face_angle_deg": Sided(
        "open {} to the target",
        "closed {} to the target",
        "{}, square to the target",
        "open to the target",
        "closed to the target",
        is_by_hand=True,
    ),
    "face_to_path_deg": Sided(
        "open {} to the path",
        "closed {} to the path",
        "{}, square to the path",
        "open to the path",
        "closed to the path",
        is_by_hand=True,
    ),
    "attack_angle_deg": Sided("{} up", "{} down", "{}, level", "up", "down"),
    "launch_angle_deg": Sided("{} up", "{} down", "{}, level", "up", "down"),
    "launch_direction_deg": Sided(
        "{} right of target", "{} left of target", "{}, straight at the target", "right of target", "left of target"
    ),
    "side_spin_rpm": Sided(
        "{} to the right", "{} to the left", "{}, no side spin", "spin to the right", "spin to the left"
    ),
    "spin_axis_deg": Sided("tilted right {}", "tilted left {}", "{}, not tilted", "tilted right", "tilted left"),
    "offline_yd": Sided(
        "{} right of target", "{} left of target", "{}, on the target line", "right of target", "left of target"
    ),
    "strike_across_mm": Sided(
        "{} toward the toe",
        "{} toward the heel",
        "{}, centred between heel and toe",
        "toward the toe",
        "toward the heel",
    ),
    "strike_up_mm": Sided("{} high", "{} low", "{}, centred between high and low", "high", "low"),
}

# Said of a change instead of "more" and "less" where the trade has one word for it.
CHANGED = {
    "trail_heel_lift_cm": ("higher", "lower"),
    "heel_off_ms": ("earlier", "later"),
    "pressure_position_pct": ("nearer the lead foot", "nearer the trail foot"),
    "pressure_move_cm": ("longer", "shorter"),
    "pressure_path_cm": ("longer", "shorter"),
    "pressure_speed_cm_s": ("faster", "slower"),
    "pressure_peak_ms": ("earlier", "later"),
    "launch_angle_deg": ("higher", "lower"),
    "height_yd": ("higher", "lower"),
    "strike_up_mm": ("higher", "lower"),
    "backswing_s": ("longer", "shorter"),
    "downswing_s": ("longer", "shorter"),
    "carry_yd": ("longer", "shorter"),
    "total_yd": ("longer", "shorter"),
    "club_speed_mph": ("faster", "slower"),
    "ball_speed_mph": ("faster", "slower"),
}
