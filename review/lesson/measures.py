"""The numbers: their names, units and signs, and one measured value with its interval."""

import math
from dataclasses import dataclass
from enum import StrEnum

Z90 = 1.6448536269514722
"""Half width of a 90 % interval in standard deviations of a normal distribution."""


class Source(StrEnum):
    """Where a number comes from."""

    DEVICE = "device"
    POSE = "pose"
    PRESSURE = "pressure"
    COACH = "coach"


class Bound(StrEnum):
    """Whether a value is exact, or the least or the most that can be said."""

    NONE = ""
    AT_LEAST = "at least"
    AT_MOST = "at most"


@dataclass(frozen=True)
class MeasureKind:
    """One kind of number: ``name`` carries the unit, ``label`` is what a coach says."""

    name: str
    label: str
    unit: str
    source: Source
    decimals: int
    positive: str
    negative: str


def _kinds(*rows: tuple[str, str, str, Source, int, str, str]) -> dict[str, MeasureKind]:
    return {row[0]: MeasureKind(*row) for row in rows}


_D, _P, _G = Source.DEVICE, Source.POSE, Source.PRESSURE
KINDS = _kinds(
    ("hip_turn_deg", "hip turn", "°", _P, 0, "open", "turned away"),
    ("shoulder_turn_deg", "shoulder turn", "°", _P, 0, "open", "turned away"),
    ("trail_heel_lift_cm", "trail-heel lift", " cm", _P, 1, "up", "down"),
    ("hip_shift_cm", "hip shift", " cm", _P, 1, "toward target", "away from target"),
    ("heel_off_ms", "heel-off", " ms", _P, 0, "before impact", "after impact"),
    ("trail_foot_twist_deg", "trail-foot twist", "°", _P, 0, "toe toward target", "toe away from target"),
    ("trail_foot_slip_cm", "trail-foot slip", " cm", _P, 1, "toward target", "away from target"),
    ("trail_foot_slip_to_toes_cm", "trail-foot slip forward", " cm", _P, 1, "toward the toes", "toward the heel"),
    ("trail_foot_slip_length_cm", "trail-foot slip in all", " cm", _P, 1, "", ""),
    ("backswing_s", "backswing", " s", _P, 2, "", ""),
    ("downswing_s", "downswing", " s", _P, 2, "", ""),
    ("tempo_ratio", "tempo", " to 1", _P, 1, "", ""),
    ("pressure_share_pct", "pressure on the lead foot", " %", _G, 0, "", ""),
    ("pressure_position_pct", "pressure position", " %", _G, 0, "", ""),
    ("pressure_move_cm", "pressure move from the top", " cm", _G, 1, "", ""),
    ("pressure_direction_deg", "pressure direction from the top", "°", _G, 0, "toward the toes", "toward the heels"),
    ("pressure_path_cm", "pressure path on the way down", " cm", _G, 1, "", ""),
    ("pressure_speed_cm_s", "pressure speed toward the target", " cm/s", _G, 0, "toward target", "away from target"),
    ("pressure_return_cm", "pressure going back before impact", " cm", _G, 1, "", ""),
    ("pressure_peak_ms", "pressure nearest the target", " ms", _G, 0, "before impact", "after impact"),
    ("loading_rate_bw_s", "loading rate", " body weights a second", _G, 1, "", ""),
    ("lead_loading_rate_bw_s", "lead-foot loading rate", " body weights a second", _G, 1, "", ""),
    ("club_speed_mph", "club speed", " mph", _D, 1, "", ""),
    ("ball_speed_mph", "ball speed", " mph", _D, 1, "", ""),
    ("club_path_deg", "club path", "°", _D, 1, "right of target", "left of target"),
    ("face_angle_deg", "face angle", "°", _D, 1, "right of target", "left of target"),
    ("face_to_path_deg", "face to path", "°", _D, 1, "right of the path", "left of the path"),
    ("attack_angle_deg", "attack angle", "°", _D, 1, "up", "down"),
    ("dynamic_loft_deg", "dynamic loft", "°", _D, 1, "", ""),
    ("launch_angle_deg", "launch angle", "°", _D, 1, "up", "down"),
    ("launch_direction_deg", "launch direction", "°", _D, 1, "right of target", "left of target"),
    ("spin_rpm", "spin", " rpm", _D, 0, "", ""),
    ("back_spin_rpm", "back spin", " rpm", _D, 0, "", ""),
    ("side_spin_rpm", "side spin", " rpm", _D, 0, "right", "left"),
    ("spin_axis_deg", "spin axis", "°", _D, 1, "tilted right", "tilted left"),
    ("carry_yd", "carry", " yd", _D, 1, "", ""),
    ("total_yd", "total", " yd", _D, 1, "", ""),
    ("offline_yd", "offline", " yd", _D, 1, "right of target", "left of target"),
    ("height_yd", "height", " yd", _D, 1, "", ""),
    ("strike_across_mm", "strike across", " mm", _D, 0, "toward the toe", "toward the heel"),
    ("strike_up_mm", "strike up", " mm", _D, 0, "high", "low"),
)
"""Every kind of number the tool knows, by name; signs are those of the project's glossary."""

_BY_WORDS = {text.casefold(): kind.name for kind in KINDS.values() for text in (kind.name, kind.label)}


def find_kind(text: str) -> str | None:
    """The name of the kind that a coach writes by name or in words: 'club_path_deg', 'club path', 'Club Path'."""
    return _BY_WORDS.get(" ".join(text.casefold().split()))


_FROM_THE_TOP = ("pressure_move_cm", "pressure_direction_deg")
"""Said with 'to' their key frame, where others are said with 'at'."""
_MAIN_OF_PRESSURE = (("pressure_position_pct", "impact"), ("pressure_return_cm", ""), ("pressure_peak_ms", ""))


def is_told_first(name: str, key_frame: str = "") -> bool:
    """Whether a number is told without being asked for: all are, of the pressure those that matter most."""
    return KINDS[name].source is not Source.PRESSURE or (name, key_frame) in _MAIN_OF_PRESSURE


def split_label(text: str) -> tuple[str, str]:
    """Part what a coach calls a measure into the measure and its key frame: ('hip turn', 'impact')."""
    name, _, key_frame = text.partition(" at ")
    if not key_frame and " from the top to " in text:
        name, _, key_frame = text.rpartition(" to ")
    return name.strip(), key_frame.strip()


def say_kinds() -> str:
    """Every kind in words, for messages."""
    return ", ".join(kind.label for kind in KINDS.values())


KNOWN_DOWN_TO = {"shoulder_turn_deg": -105.0}
"""Farthest that can be told of a number, where there is such an end; beyond it only that it lies there (a bound)."""


@dataclass(frozen=True)
class Measure:
    """One number of one swing.

    ``value`` is in the unit of its kind. ``low``..``high`` is the 90 % interval. The error has a
    part shared by all swings of one player and camera set-up (``shared_sd``; it cancels in a
    difference inside that set-up) and a part of its own (``own_sd``); ``setup`` names the set-up.
    A number that could not be measured has ``value`` NaN and says why in ``why_missing``.
    """

    name: str
    value: float
    key_frame: str = ""
    low: float = math.nan
    high: float = math.nan
    own_sd: float = 0.0
    shared_sd: float = 0.0
    setup: str = ""
    bound: Bound = Bound.NONE
    why_missing: str = ""

    def __post_init__(self) -> None:
        if self.name not in KINDS:
            raise ValueError(f"unknown measure {self.name!r}; known: {', '.join(KINDS)}")
        if not (0 <= self.own_sd < math.inf and 0 <= self.shared_sd < math.inf):
            raise ValueError(f"standard deviations cannot be negative or infinite, got {self.own_sd}, {self.shared_sd}")
        if math.isinf(self.value):
            raise ValueError(f"{self.name} must be finite, or NaN with a reason")
        if math.isnan(self.value) and not self.why_missing:
            raise ValueError(f"{self.name} has no value and no reason why")
        if self.low > self.high:
            raise ValueError(f"{self.name}: interval {self.low}..{self.high} is upside down")

    @property
    def kind(self) -> MeasureKind:
        """The kind of this number."""
        return KINDS[self.name]

    @property
    def label(self) -> str:
        """What a coach says: 'hip turn at impact'."""
        return label(self.name, self.key_frame)


def label(name: str, key_frame: str = "") -> str:
    """What a coach calls the measure: 'hip turn at impact', 'club path', 'pressure move from the top to impact'."""
    at = "to" if name in _FROM_THE_TOP else "at"
    return f"{KINDS[name].label} {at} {key_frame}" if key_frame else KINDS[name].label
