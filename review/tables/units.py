"""Units as they are written in tables, and their conversion.

Only the spellings listed here are units; whatever else stands in brackets is part of a name.
"""

import re
from functools import lru_cache

import pint

_SPELLINGS = {
    "mile / hour": ("mph", "mi/h", "mile/h", "miles/h", "miles per hour"),
    "meter / second": ("m/s", "mps", "m s-1", "m·s-1", "ms-1", "metres per second", "meters per second", "m/sec"),
    "kilometer / hour": ("km/h", "kmh", "kph", "km/hr", "kilometres per hour", "kilometers per hour"),
    "foot / second": ("ft/s", "fps", "ft/sec", "feet per second"),
    "yard": ("yd", "yds", "yard", "yards"),
    "meter": ("m", "metre", "metres", "meter", "meters", "mtr"),
    "foot": ("ft", "foot", "feet"),
    "inch": ("in", "inch", "inches"),
    "centimeter": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "millimeter": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "degree": ("deg", "degs", "degree", "degrees", "°", "º", "grad", "grados", "degrés"),
    "radian": ("rad", "radian", "radians"),
    "revolution / minute": ("rpm", "r/min", "rev/min", "1/min", "min-1", "revs per minute", "u/min", "tr/min"),
    "newton": ("n", "newton", "newtons"),
    "kilonewton": ("kn",),
    # A scale that shows kilograms or pounds shows the force divided by standard gravity.
    "kilogram_force": ("kg", "kgf", "kilogram", "kilograms", "kp"),
    "pound_force": ("lb", "lbs", "lbf", "pound", "pounds"),
    "second": ("s", "sec", "secs", "second", "seconds"),
    "millisecond": ("ms", "msec", "millisecond", "milliseconds"),
}
_CANONICAL = {spelling: unit for unit, spellings in _SPELLINGS.items() for spelling in spellings}
_TIME_FORMAT = re.compile(r"[hmsdyf%t]{1,4}(?:[:.,/ \-][hmsdyf%t]{1,4})+|hh?|24 ?h|local|local time", re.IGNORECASE)
_BRACKETED = re.compile(r"^(?P<name>.*?)[\s,_:]*(?:\[(?P<square>[^\[\]]*)\]|\((?P<round>[^()]*)\))\s*$", re.DOTALL)
_TAIL = re.compile(r"^(?P<name>.*\S)[\s_,]+(?P<unit>\S+)$")


@lru_cache(maxsize=1)
def _registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


def _tidy(text: str) -> str:
    text = text.strip().strip("[]()").strip().casefold().replace("²", "2").replace("⁻¹", "-1").replace("−", "-")
    return re.sub(r"\s*/\s*", "/", re.sub(r"\s+", " ", text)).rstrip(".")


def find_unit(text: str) -> str | None:
    """The unit that a text such as ``[m/s]``, ``yds`` or ``°`` names; None when it names none known."""
    return _CANONICAL.get(_tidy(text))


def is_time_format(text: str) -> bool:
    """Whether a text in brackets describes how times are written: ``HH:MM:SS``, ``dd/mm/yyyy``."""
    return _TIME_FORMAT.fullmatch(_tidy(text)) is not None


@lru_cache(maxsize=512)
def compute_factor(unit: str, target: str) -> float | None:
    """Compute the factor from one unit to another; None when they measure different things.

    Parameters
    ----------
    unit, target
        Any of the known spellings.

    Notes
    -----
    The exact factors are those of NIST SP 811 (1 mile = 1609.344 m, 1 yard = 0.9144 m,
    1 kgf = 9.80665 N), as pint keeps them.
    """
    here, there = find_unit(unit), find_unit(target)
    if here is None or there is None:
        return None
    if here == there:
        return 1.0
    registry = _registry()
    try:
        return float(registry.Quantity(1.0, here).to(there).magnitude)
    except pint.DimensionalityError:
        return None


def split_header(header: str) -> tuple[str, str]:
    """Part a header into name and unit text: ``carry [yd]`` -> ``carry``, ``yd``.

    Square brackets at the end always hold a unit; round ones only when their text is a known unit or a way
    to write times. Without either the unit text is empty.
    """
    match = _BRACKETED.match(header)
    if match is None or not match["name"].strip():
        return header.strip(), ""
    text = match["square"] if match["square"] is not None else match["round"]
    if match["square"] is None and find_unit(text) is None and not is_time_format(text):
        return header.strip(), ""
    return match["name"].strip(), text.strip()


def split_tail(header: str) -> tuple[str, str]:
    """Part a header whose last word is a unit: ``ball_speed_mph`` -> ``ball_speed``, ``mph``."""
    match = _TAIL.match(header.strip())
    if match is None or find_unit(match["unit"]) is None:
        return header.strip(), ""
    return match["name"], match["unit"]
