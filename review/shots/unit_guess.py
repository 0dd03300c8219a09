"""Which units the numbers of columns that state none can be in, from what clubs and balls can do."""

from collections.abc import Mapping, Sequence
from itertools import product
from math import log

from review.lesson import KINDS
from review.shots.terms import unit_of
from review.tables import compute_factor

_GRAVITY_M_S2 = 9.80665
_MPH_M_S = 0.44704
_YD_M = 0.9144

_CHOICES = {
    "mph": ("mph", "m/s", "km/h"),
    "yd": ("yd", "m", "ft"),
    "mm": ("mm", "cm", "in"),
    "deg": ("deg", "rad"),
    "rpm": ("rpm",),
}
# Typical sizes (median of a column), in the measure's own unit. Common practice, no source: from a short pitch to
# the longest drives; the other measures may be near 0, so only their largest size says something.
_RANGES = {
    "club_speed_mph": (20.0, 150.0),
    "ball_speed_mph": (20.0, 230.0),
    "carry_yd": (5.0, 400.0),
    "total_yd": (5.0, 450.0),
    "height_yd": (0.3, 70.0),
    "offline_yd": (0.0, 120.0),
    "strike_across_mm": (0.0, 40.0),
    "strike_up_mm": (0.0, 40.0),
    "spin_rpm": (300.0, 14000.0),
    "back_spin_rpm": (300.0, 14000.0),
    "launch_angle_deg": (2.0, 60.0),
    "dynamic_loft_deg": (3.0, 70.0),
}
# Smallest and largest ratio of two measures in their own units that whole shots can have. Ball to club speed: at most
# 1.56 (row_checks), little below 1 with the steepest clubs. The others: common practice, no source.
_RATIOS = (
    ("ball_speed_mph", "club_speed_mph", 0.8, 1.6),
    ("total_yd", "carry_yd", 0.99, 1.6),
    ("height_yd", "carry_yd", 0.01, 0.7),
    ("offline_yd", "carry_yd", 0.0, 0.6),
)
# Carry as a part of speed squared over g, the longest flight without air: from a running chip to a full wedge. Common
# practice, no source.
_LEAST_FLIGHT, _MOST_FLIGHT = 0.25, 0.9
_MOST_COMBINATIONS = 20_000


def find_fitting_units(sizes: Mapping[str, float], stated: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """Find the units that each measure's numbers can be in, together with the other columns.

    Parameters
    ----------
    sizes : median size (without sign) of each measure's column, as written.
    stated : units of the columns that state theirs, by measure.

    Returns
    -------
    For every measure of ``sizes`` that states none: the units in which it and the others can be of one table, its own
    first. Empty where the numbers fit nothing. Where nothing fits together, or more than 20,000 combinations would
    have to be tried, every column is looked at alone.
    """
    free = [name for name in sizes if name not in stated]
    options = [[unit for unit in _choices(name) if _is_in_range(name, sizes[name], unit)] or [""] for name in free]
    fitting: dict[str, set[str]] = {name: set() for name in free}
    n_combinations = 1
    for choices in options:
        n_combinations *= len(choices)
    for units in product(*options) if n_combinations <= _MOST_COMBINATIONS else ():
        said = {**stated, **dict(zip(free, units, strict=True))}
        if _is_one_table(sizes, said):
            for name in free:
                fitting[name].add(said[name])
    alone = {name: set(choices) for name, choices in zip(free, options, strict=True)}
    return {name: tuple(unit for unit in _choices(name) if unit in (fitting[name] or alone[name])) for name in free}


def find_contradictions(sizes: Mapping[str, float], units: Mapping[str, str]) -> list[str]:
    """Say which columns cannot be what and in which unit they are taken for, from their median sizes."""
    own = _in_own_units(sizes, units)
    said = []
    for name, size in own.items():
        if not _is_in_range(name, sizes[name], units[name]):
            said.append(f"{_say(name, size)} is not what shots have: another unit, or another column?")
    odd = {name for name, size in own.items() if not _is_in_range(name, sizes[name], units[name])}
    for upper, lower, least, most in _RATIOS:
        if upper in own and lower in own and not odd & {upper, lower}:
            ratio = own[upper] / own[lower]
            if not least <= ratio <= most:
                said.append(
                    f"{_say(upper, own[upper])} is {ratio:.2f} times {_say(lower, own[lower])}, where whole shots have "
                    f"{least:g} to {most:g} times: columns swapped, or another unit?"
                )
    if "ball_speed_mph" in own and "carry_yd" in own and not odd & {"ball_speed_mph", "carry_yd"}:
        share = _share_of_flight(own)
        if not _LEAST_FLIGHT <= share <= _MOST_FLIGHT:
            how = "farther than" if share > 1 else f"{share:.2f} of what"
            said.append(
                f"{_say('carry_yd', own['carry_yd'])} is {how} a ball at {own['ball_speed_mph']:.0f} mph could fly "
                f"without air, where shots carry {_LEAST_FLIGHT:g} to {_MOST_FLIGHT:g} of it: another unit in one?"
            )
    return said


def is_one_table(sizes: Mapping[str, float], units: Mapping[str, str]) -> bool:
    """Whether columns of these sizes in these units can stand beside each other: every one alone, and together."""
    return all(_is_in_range(name, sizes[name], units[name]) for name in sizes) and _is_one_table(sizes, units)


def _choices(name: str) -> tuple[str, ...]:
    """Units to think of; an angle that may be small is the same in many units, so only degrees."""
    unit = unit_of(name)
    if name in ("carry_yd", "total_yd"):
        return ("yd", "m")  # nobody gives these in feet
    return _CHOICES.get(unit, (unit,)) if unit != "deg" or name in _RANGES else ("deg",)


def _is_in_range(name: str, size: float, unit: str) -> bool:
    low, high = _RANGES.get(name, (0.0, 1e5))
    return low <= size * (compute_factor(unit, unit_of(name)) or 0.0) <= high


def _is_one_table(sizes: Mapping[str, float], units: Mapping[str, str]) -> bool:
    own = _in_own_units(sizes, units)
    for upper, lower, least, most in _RATIOS:
        if upper in own and lower in own and not least <= own[upper] / own[lower] <= most:
            return False
    if "ball_speed_mph" in own and "carry_yd" in own:
        return _LEAST_FLIGHT <= _share_of_flight(own) <= _MOST_FLIGHT
    return True


def _in_own_units(sizes: Mapping[str, float], units: Mapping[str, str]) -> dict[str, float]:
    own = {}
    for name, size in sizes.items():
        factor = compute_factor(units[name], unit_of(name)) if units.get(name) else None
        if factor is not None and size > 0:
            own[name] = size * factor
    return own


def _share_of_flight(own: Mapping[str, float]) -> float:
    """Carry as a part of the longest flight without air, v^2 / g."""
    longest_m = (own["ball_speed_mph"] * _MPH_M_S) ** 2 / _GRAVITY_M_S2
    return own["carry_yd"] * _YD_M / longest_m


def _say(name: str, size: float) -> str:
    kind = KINDS[name]
    return f"{kind.label} of about {size:.{kind.decimals}f}{kind.unit}"


def choose_like(units: Sequence[str], others: Sequence[str]) -> str:
    """Of units that fit, the one that the other columns of this kind state; empty where they do not say."""
    alike = {unit for unit in units for other in others if abs(log(compute_factor(unit, other) or 2.0)) < 1e-9}
    return alike.pop() if len(alike) == 1 else ""
