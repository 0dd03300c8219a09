"""Scales: where a value stands, round numbers along it, and what it means in the player's words."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from review.lesson import KINDS, label
from review.lesson.figures import MINUS
from review.lettering import capitalise

_UNIT_WORDS = {"°": "degrees", "yd": "yards", "s": "seconds", "ms": "milliseconds"}


@dataclass(frozen=True)
class Scale:
    """A straight scale: ``low`` stands at ``low_px``, ``high`` at ``high_px``."""

    low: float
    high: float
    low_px: float
    high_px: float

    def __call__(self, value: float) -> float:
        """Where a value stands, in CSS pixels."""
        share = (value - self.low) / (self.high - self.low)
        return round(self.low_px + share * (self.high_px - self.low_px), 3)


def least_span(name: str) -> float:
    """Span below which a measure's scale would show more than its decimals."""
    return float(10.0 ** (1 - KINDS[name].decimals))


def choose_ticks(values: Sequence[float], least: float = 0.0, n_steps: int = 4) -> tuple[list[float], int]:
    """Return round numbers around the values, about ``n_steps`` steps apart, and the decimals they need."""
    low, high = min(values), max(values)
    span = max(high - low, least, 1e-3 * max(abs(low), abs(high)), 1e-6)
    raw = span / n_steps
    size = 10.0 ** math.floor(math.log10(raw))
    step = next(m * size for m in (1.0, 2.0, 5.0, 10.0) if m * size >= raw * (1 - 1e-9))
    first, last = math.floor(low / step), math.ceil(high / step)
    if first == last:
        first, last = first - 1, last + 1
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return [n * step for n in range(first, last + 1)], decimals


def say_heading(name: str, key_frame: str) -> str:
    """Name a measure's scale with its unit: 'Hip turn at impact, degrees'."""
    unit = KINDS[name].unit.strip()
    return f"{capitalise(label(name, key_frame))}, {_UNIT_WORDS.get(unit, unit)}"


def say_tick(name: str, value: float, decimals: int) -> str:
    """Say a number of the scale; the sign is left to the words at its ends where these name both directions."""
    kind = KINDS[name]
    digits = f"{abs(value):.{decimals}f}"
    is_negative = value < 0 and float(digits) != 0 and not kind.positive
    return f"{MINUS if is_negative else ''}{digits}{kind.unit if kind.unit == '°' else ''}"


def say_short(name: str, value: float) -> str:
    """Say a value with its unit, its direction left to the scale beside it: '5.8°', '2.1 cm'."""
    kind = KINDS[name]
    return say_tick(name, value, kind.decimals).removesuffix("°") + kind.unit
