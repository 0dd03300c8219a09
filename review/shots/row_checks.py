"""Checks of one row by physics and geometry; what the sums allow, not what a good swing looks like."""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from review.lesson.measures import KINDS
from review.lesson.people import Handedness
from review.lesson.words import say_value
from review.shots.flight.clubs import ClubKind
from review.shots.flight.d_plane import compute_spin_axis_deg, compute_spin_from_club, compute_spin_rpm
from review.shots.flight.impact import (
    compute_speed_ratio_limit,
    compute_spin_limit_rpm,
    compute_spin_of_push_rpm,
)
from review.shots.flight.launches import find_spin

Finding = tuple[tuple[str, ...], str]
"""The measures that do not fit, and the reason as a sentence."""

N_SD = 3.0
"""A doubt begins this many standard deviations of the device's error away."""
LEAST_FACE_TO_PATH_STEP_DEG = 0.15
"""Three numbers rounded to a tenth of a degree may miss their sum by this."""
_BULGE_RADIUS_MM = 250.0
"""A bent face looks elsewhere off its centre: Penner 2001, Am J Phys 69:1073; the radius from memory."""

# What no golf swing gives: far beyond records and faces, from memory. Low end, high end.
_ENDS = {
    "club_speed_mph": (1.0, 180.0),
    "ball_speed_mph": (1.0, 260.0),
    "club_path_deg": (-60.0, 60.0),
    "face_angle_deg": (-60.0, 60.0),
    "face_to_path_deg": (-90.0, 90.0),
    "attack_angle_deg": (-60.0, 60.0),
    "dynamic_loft_deg": (-40.0, 89.0),
    "launch_angle_deg": (-60.0, 89.0),
    "launch_direction_deg": (-89.0, 89.0),
    "spin_rpm": (0.0, 20000.0),
    "back_spin_rpm": (-20000.0, 20000.0),
    "side_spin_rpm": (-20000.0, 20000.0),
    "spin_axis_deg": (-180.0, 180.0),
    "carry_yd": (0.0, 450.0),
    "total_yd": (0.0, 600.0),
    "height_yd": (0.0, 120.0),
    "strike_across_mm": (-90.0, 90.0),
    "strike_up_mm": (-70.0, 70.0),
}


@dataclass(frozen=True)
class Row:
    """One row to check, with the device's errors (1 SD) and half the last decimal by measure name."""

    values: Mapping[str, float]
    club: ClubKind
    handedness: Handedness
    errors: Mapping[str, float]
    half_steps: Mapping[str, float]

    def get(self, *names: str) -> tuple[float, ...] | None:
        """The numbers of those names, None when one of them is absent."""
        found = tuple(self.values.get(name, math.nan) for name in names)
        return found if all(map(math.isfinite, found)) else None

    def error_of(self, *names: str) -> float:
        """Error of a difference of those measures, 1 SD."""
        return math.hypot(*(self.errors.get(name, 0.0) for name in names))

    def say(self, name: str, value: float) -> str:
        """The number in the player's words."""
        return say_value(name, value, self.handedness)

    @property
    def spin_loft_deg(self) -> tuple[float, float] | None:
        """Spin loft and its error, degrees; a path or face that is absent counts as straight."""
        lofts = self.get("attack_angle_deg", "dynamic_loft_deg")
        if lofts is None:
            return None
        path, face = self.get("club_path_deg", "face_angle_deg") or (0.0, 0.0)
        return compute_spin_from_club(path, lofts[0], face, lofts[1]).spin_loft_deg, self.error_of(
            "attack_angle_deg", "dynamic_loft_deg"
        )


def check_ends(row: Row) -> Iterator[Finding]:
    """Numbers that no golf swing gives."""
    for name, (low, high) in _ENDS.items():
        value = row.values.get(name, math.nan)
        if math.isfinite(value) and not low <= value <= high:
            end = f"{high:g}" if value > high else f"{low:g}"
            found = f"{value:.{KINDS[name].decimals}f}{KINDS[name].unit}"
            side = "at most" if value > high else "at least"
            yield (name,), f"{KINDS[name].label}: expected {side} {end}{KINDS[name].unit}, found {found}"


def check_speed_ratio(row: Row) -> Iterator[Finding]:
    """Ball speed against club speed: the energy limit."""
    speeds = row.get("club_speed_mph", "ball_speed_mph")
    if speeds is None or min(speeds) <= 0:
        return
    club, ball = speeds
    loft, loft_error = row.spin_loft_deg or (0.0, 0.0)
    limit = compute_speed_ratio_limit(max(0.0, abs(loft) - N_SD * loft_error), row.club)
    error = math.hypot(row.errors.get("ball_speed_mph", 0.0) / ball, row.errors.get("club_speed_mph", 0.0) / club)
    if ball / club > limit * (1 + N_SD * error):
        yield (
            ("club_speed_mph", "ball_speed_mph"),
            f"ball speed {row.say('ball_speed_mph', ball)} is {ball / club:.2f} times the club speed "
            f"{row.say('club_speed_mph', club)}; expected at most {limit:.2f} times, more a strike cannot give",
        )


def check_face_to_path(row: Row) -> Iterator[Finding]:
    """Face to path is the face less the path."""
    names = ("face_angle_deg", "club_path_deg", "face_to_path_deg")
    found = row.get(*names)
    if found is None:
        return
    expected = found[0] - found[1]
    step = max(LEAST_FACE_TO_PATH_STEP_DEG, sum(row.half_steps.get(name, 0.0) for name in names))
    if abs(found[2] - expected) > step + 1e-6:
        yield (
            names,
            f"face to path: expected face less path, {row.say(names[2], expected)}, "
            f"found {row.say(names[2], found[2])}",
        )


def check_launch_direction(row: Row) -> Iterator[Finding]:
    """The ball starts between path and face."""
    yield from _check_between(row, "club_path_deg", "face_angle_deg", "launch_direction_deg", "strike_across_mm")


def check_launch_angle(row: Row) -> Iterator[Finding]:
    """The ball leaves between the attack angle and the dynamic loft."""
    yield from _check_between(row, "attack_angle_deg", "dynamic_loft_deg", "launch_angle_deg", "strike_up_mm")


def _check_between(row: Row, club: str, face: str, launch: str, strike: str) -> Iterator[Finding]:
    found = row.get(club, face, launch)
    if found is None:
        return
    low, high = sorted(found[:2])
    nearest = club if abs(found[2] - found[0]) < abs(found[2] - found[1]) else face
    slack = N_SD * row.error_of(launch, nearest) + _compute_bulge_deg(row, strike)
    if low - slack <= found[2] <= high + slack:
        return
    ends = f"{KINDS[club].label} ({row.say(club, found[0])}) and {KINDS[face].label} ({row.say(face, found[1])})"
    yield (
        (club, face, launch),
        f"{KINDS[launch].label}: expected between {ends}, give or take {slack:.1f}°; found {row.say(launch, found[2])}",
    )


def _compute_bulge_deg(row: Row, strike: str) -> float:
    """How far a face that is bent may look elsewhere where it was struck; irons and wedges are flat."""
    place = row.get(strike)
    if place is None or row.club in (ClubKind.IRON, ClubKind.WEDGE):
        return 0.0
    return math.degrees(abs(place[0]) / _BULGE_RADIUS_MM)


def check_spin(row: Row) -> Iterator[Finding]:
    """Spin against what the strike and the ball's speed can give."""
    spin = find_spin(row.values).value
    names = tuple(n for n in ("spin_rpm", "back_spin_rpm", "side_spin_rpm") if n in row.values)
    if not math.isfinite(spin):
        return
    slack = N_SD * row.errors.get("spin_rpm", 0.0)
    for speed_name in ("ball_speed_mph", "club_speed_mph"):
        speed = row.get(speed_name)
        if speed is None or speed[0] <= 0:
            continue
        fastest = speed[0] + N_SD * row.errors.get(speed_name, 0.0)
        if speed_name == "ball_speed_mph":
            limit = compute_spin_of_push_rpm(fastest)
        else:
            loft, loft_error = row.spin_loft_deg or (90.0, 0.0)
            limit = compute_spin_limit_rpm(fastest, min(90.0, abs(loft) + N_SD * loft_error), row.club)
        if spin > limit + slack:
            yield (
                (*names, speed_name),
                f"spin: expected at most {limit:.0f} rpm at a {KINDS[speed_name].label} of "
                f"{row.say(speed_name, speed[0])}, found {spin:.0f} rpm",
            )
            return


def check_spin_parts(row: Row) -> Iterator[Finding]:
    """Spin axis and whole spin against back and side spin."""
    parts, backward = row.get("side_spin_rpm", "back_spin_rpm"), row.get("back_spin_rpm", "spin_axis_deg")
    if parts is None:
        if backward is not None and backward[0] > 0 and abs(backward[1]) > 90.0:
            yield (
                ("spin_axis_deg", "back_spin_rpm"),
                f"spin axis: expected at most 90° either way with back spin, "
                f"found {row.say('spin_axis_deg', backward[1])}",
            )
        return
    whole = compute_spin_rpm(*parts)
    axis = row.get("spin_axis_deg")
    if axis is not None and whole > 0:
        expected = compute_spin_axis_deg(*parts)
        if abs(math.remainder(axis[0] - expected, 360.0)) > max(1.0, math.degrees(1.0 / whole)):
            yield (
                ("spin_axis_deg", "side_spin_rpm", "back_spin_rpm"),
                f"spin axis: expected {row.say('spin_axis_deg', expected)} from side and back spin, "
                f"found {row.say('spin_axis_deg', axis[0])}",
            )
    spin = row.get("spin_rpm")
    if spin is not None and abs(spin[0] - whole) > 0.02 * whole + 2.0:
        yield (
            ("spin_rpm", "side_spin_rpm", "back_spin_rpm"),
            f"spin: expected {whole:.0f} rpm from side and back spin, found {row.say('spin_rpm', spin[0])}",
        )


def check_offline(row: Row) -> Iterator[Finding]:
    """Nothing comes to rest farther to the side than it went in all."""
    offline = row.get("offline_yd")
    distances = {n: row.values[n] for n in ("carry_yd", "total_yd") if math.isfinite(row.values.get(n, math.nan))}
    if offline is None or not distances:
        return
    name = max(distances, key=lambda n: distances[n])
    slack = N_SD * row.error_of("offline_yd", name)
    if abs(offline[0]) > distances[name] + slack:
        yield (
            ("offline_yd", name),
            f"offline: expected no more than the {KINDS[name].label} of {row.say(name, distances[name])}, "
            f"found {row.say('offline_yd', offline[0])}",
        )


CHECKS: tuple[Callable[[Row], Iterator[Finding]], ...] = (
    check_ends,
    check_speed_ratio,
    check_face_to_path,
    check_launch_direction,
    check_launch_angle,
    check_spin,
    check_spin_parts,
    check_offline,
)
"""Every check of one row."""
