"""What a column of unknown name must be because of what stands in the others: sums, quotients, directions."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from review.shots.flight.clubs import START_SHARES, ClubKind

Numbers = NDArray[np.float64]
_LEAST_ROWS = 4
_MOST_ODD = 0.1
"""Share of rows that may be off: misread ones."""
_LEAST_SPREAD = 3.0
"""A sum says something only where its parts change by more than rounding, as a multiple of it."""


@dataclass(frozen=True)
class Relation:
    """What a column is by its relation to others; ``is_flipped`` when its sign is the opposite."""

    measure: str
    reason: str
    is_flipped: bool = False


_Sum = tuple[str, tuple[str, ...], Callable[..., Numbers], str, float, float]
# measure, the others it follows from, how, in words, allowed difference: absolute (roundings of 0.1) and relative
_SUMS: tuple[_Sum, ...] = (
    ("face_to_path_deg", ("face_angle_deg", "club_path_deg"), lambda f, p: f - p, "face less path", 0.16, 0.0),
    ("face_angle_deg", ("club_path_deg", "face_to_path_deg"), lambda p, d: p + d, "path and face to path", 0.16, 0.0),
    ("club_path_deg", ("face_angle_deg", "face_to_path_deg"), lambda f, d: f - d, "face less face to path", 0.16, 0.0),
    ("spin_rpm", ("back_spin_rpm", "side_spin_rpm"), np.hypot, "back and side spin together", 2.0, 0.005),
    (
        "spin_axis_deg",
        ("back_spin_rpm", "side_spin_rpm"),
        lambda b, s: np.degrees(np.arctan2(s, b)),
        "the tilt that side spin gives back spin",
        0.2,
        0.01,
    ),
)
# measure, other, least and most of measure / other in a whole shot (see unit_guess), in words
_RATIOS = (
    ("ball_speed_mph", "club_speed_mph", 1.15, 1.6, "1.15 to 1.6 times the club speed in every row"),
    ("club_speed_mph", "ball_speed_mph", 1 / 1.6, 1 / 1.15, "the ball speed is 1.15 to 1.6 times this in every row"),
    ("total_yd", "carry_yd", 1.0, 1.4, "a little more than the carry in every row"),
    ("carry_yd", "total_yd", 1 / 1.4, 1.0, "a little less than the total in every row"),
)


def find_sum(numbers: Numbers, known: Mapping[str, Numbers]) -> Relation | None:
    """Find the measure that follows from known columns row by row and is these numbers.

    Parameters
    ----------
    numbers, known : (n,) arrays over the same rows, NaN where a cell is empty; known ones in their measure's unit.
    """
    for measure, others, compute, words, off, relative in _SUMS:
        if measure in known or not all(other in known for other in others):
            continue
        expected = compute(*(known[other] for other in others))
        for sign in (1.0, -1.0):
            if _agrees(sign * numbers, expected, off, relative):
                flipped = ", with the opposite sign" if sign < 0 else ""
                return Relation(measure, f"in every row it is {words}{flipped}", sign < 0)
    return None


def find_ratio(numbers: Numbers, known: Mapping[str, Numbers], among: frozenset[str]) -> Relation | None:
    """Find the measure of ``among`` that bears a known relation in size to another column; None where two fit."""
    found = []
    for measure, other, least, most, words in _RATIOS:
        if measure not in among or measure in known or other not in known:
            continue
        both = np.isfinite(numbers) & np.isfinite(known[other]) & (known[other] > 0)
        ratio = numbers[both] / known[other][both]
        if both.sum() >= _LEAST_ROWS and np.mean((ratio < least) | (ratio > most)) <= _MOST_ODD:
            found.append(Relation(measure, words))
    return found[0] if len({relation.measure for relation in found}) == 1 else None


def is_speed_ratio(numbers: Numbers, known: Mapping[str, Numbers]) -> bool:
    """Whether the numbers are ball speed over club speed, which is worked out anyway."""
    if "ball_speed_mph" not in known or "club_speed_mph" not in known:
        return False
    with np.errstate(divide="ignore", invalid="ignore"):
        return _agrees(numbers, known["ball_speed_mph"] / known["club_speed_mph"], 0.011, 0.0, spread=0.0)


def find_opposite_sign(known: Mapping[str, Numbers]) -> str:
    """Name the column of face, path and face to path whose sign is the opposite of the others'; empty when none is."""
    names = ("face_angle_deg", "club_path_deg", "face_to_path_deg")
    if not all(name in known for name in names):
        return ""
    face, path, between = (known[name] for name in names)
    if _agrees(between, face - path, 0.16, 0.0):
        return ""
    tries = {"face_to_path_deg": path - face, "club_path_deg": face + path, "face_angle_deg": -face - path}
    fits = [name for name, expected in tries.items() if _agrees(between, expected, 0.16, 0.0)]
    return fits[0] if len(fits) == 1 else ""


_LEAST_SHOTS = 5
_START_SHARE = START_SHARES[ClubKind.UNKNOWN].middle
_NOTABLE_OFF_DEG = 1.0
"""So far off in the median says that columns are exchanged: twice the usual error of a launch direction, no source."""


def find_exchanged(known: Mapping[str, Numbers]) -> list[str]:
    """Ask whether face and path are swapped or turned round, where launch direction follows them only then.

    The ball starts between path and face, nearer the face: 61 to 83 % of the way (Wood et al. 2018, docs/flight.md).
    """
    names = ("launch_direction_deg", "face_angle_deg", "club_path_deg")
    if not all(name in known for name in names):
        return []
    launch, face, path = (known[name] for name in names)
    both = np.isfinite(launch) & np.isfinite(face) & np.isfinite(path)
    if both.sum() < _LEAST_SHOTS:
        return []
    launch, face, path = launch[both], face[both], path[both]

    def off(face: Numbers, path: Numbers) -> float:
        return float(np.median(np.abs(launch - path - _START_SHARE * (face - path))))

    as_read = off(face, path)
    others = {
        "face and path are swapped": off(path, face),
        "the sign of the path is turned round": off(face, -path),
        "the sign of the face is turned round": off(-face, path),
        "the sign of launch direction is turned round, or of face and path both": off(-face, -path),
    }
    what = min(others, key=lambda name: others[name])
    if as_read < _NOTABLE_OFF_DEG or others[what] > as_read / 2:
        return []
    return [
        f"the balls start {as_read:.1f}° from where face and path would send them, but only {others[what]:.1f}° if "
        f"{what}: is it so? Say it with --as or --flip"
    ]


def _agrees(numbers: Numbers, expected: Numbers, off: float, relative: float, spread: float = _LEAST_SPREAD) -> bool:
    both = np.isfinite(numbers) & np.isfinite(expected)
    if both.sum() < _LEAST_ROWS:
        return False
    a, b = numbers[both], expected[both]
    tolerance = off + relative * np.abs(b)
    if np.ptp(b) <= spread * off:
        return False
    return bool(np.mean(np.abs(a - b) > tolerance) <= _MOST_ODD)
