"""Rows that the device may have misread: marked with the reason, never dropped."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from review.lesson.people import Handedness
from review.lesson.swings import Shot
from review.shots.carry_checks import check_carries
from review.shots.flight.clubs import find_club_kind
from review.shots.flight.trajectory import Air
from review.shots.row_checks import CHECKS, Row

DEVICE_ERRORS = {
    "club_speed_mph": 1.0,
    "ball_speed_mph": 0.7,
    "club_path_deg": 0.7,
    "face_angle_deg": 0.7,
    "attack_angle_deg": 0.7,
    "dynamic_loft_deg": 1.0,
    "launch_angle_deg": 0.5,
    "launch_direction_deg": 0.5,
    "spin_rpm": 150.0,
    "carry_yd": 3.0,
    "total_yd": 5.0,
    "offline_yd": 2.0,
}
"""Error of one shot, 1 SD, where the coach gives none for the device: common practice, no source."""


@dataclass(frozen=True)
class Doubt:
    """Why one row may be misread: the measures that do not go together, and a sentence for the coach."""

    shot_id: str
    measures: tuple[str, ...]
    reason: str


@dataclass(frozen=True)
class Means:
    """Mean of one measure with and without the suspect rows; NaN where no row is left."""

    name: str
    n: int
    mean: float
    n_without: int
    mean_without: float


def find_doubts(
    shots: Sequence[Shot],
    handedness: Handedness,
    device_errors: Mapping[str, float] | None = None,
    air: Air | None = None,
    is_carry_checked: bool = True,
) -> tuple[Doubt, ...]:
    """Find the rows that physics does not allow, in the order of the shots; a row may have several doubts.

    Parameters
    ----------
    shots : the rows of one table.
    handedness : the player's side, for the words.
    device_errors : error of one shot (1 SD) by measure name, as the coach gives it; ``DEVICE_ERRORS`` for the rest.
    air : the air of the carries, default ``Air()``.
    is_carry_checked : whether launches are flown; it takes about 1.5 ms a row, the other checks 0.08 ms.

    Notes
    -----
    Every row is judged by itself, but for the number of decimals, which is the table's.
    """
    errors = {**DEVICE_ERRORS, **(device_errors or {})}
    half_steps = _find_half_steps(shots)
    carries = check_carries(shots, errors, air or Air()) if is_carry_checked else [None] * len(shots)
    doubts = []
    for shot, carry in zip(shots, carries, strict=True):
        row = Row(shot.values, find_club_kind(shot.club), handedness, errors, half_steps)
        findings = [finding for check in CHECKS for finding in check(row)]
        doubts += [Doubt(shot.id, *finding) for finding in (*findings, *([carry] if carry else []))]
    return tuple(doubts)


def compute_means(name: str, shots: Iterable[Shot], doubts: Iterable[Doubt]) -> Means:
    """Compute the mean of a measure with all rows and without those that have any doubt."""
    suspect = {doubt.shot_id for doubt in doubts}
    known = [(shot.id, shot.values[name]) for shot in shots if math.isfinite(shot.values.get(name, math.nan))]
    without = [value for shot_id, value in known if shot_id not in suspect]
    return Means(name, len(known), _mean([value for _, value in known]), len(without), _mean(without))


def _mean(values: list[float]) -> float:
    return math.fsum(values) / len(values) if values else math.nan


def _find_half_steps(shots: Sequence[Shot]) -> dict[str, float]:
    """Half of the last decimal that a measure's numbers show in this table."""
    decimals: dict[str, int] = {}
    for shot in shots:
        for name in ("face_angle_deg", "club_path_deg", "face_to_path_deg"):
            value = shot.values.get(name, math.nan)
            if math.isfinite(value):
                decimals[name] = max(decimals.get(name, 0), _count_decimals(value))
    return {name: 0.5 * 10.0**-count for name, count in decimals.items()}


def _count_decimals(value: float) -> int:
    return next((count for count in range(3) if abs(value - round(value, count)) < 1e-9), 3)
