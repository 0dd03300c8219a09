"""Colours, marks and sizes of everything that is drawn: pictures, clips, page and sheet.

A batch is told by its colour and by the shape of its mark. Colours: M. Okabe and K. Ito, "Color
Universal Design" (2008), told apart with any common colour blindness; darker ones stand on paper.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

Rgb = tuple[int, int, int]

GROUND: Rgb = (23, 26, 31)
INK: Rgb = (242, 241, 236)
QUIET_INK: Rgb = (160, 165, 172)
PAPER: Rgb = (255, 255, 255)
PAPER_INK: Rgb = (28, 31, 36)
QUIET_PAPER_INK: Rgb = (86, 92, 100)
DRAWN = ("#7FD6E8", "#F0C94A", "#E8A0C8", "#F2F1EC")
"""The accents of drawings on a clip; every second one is dashed as well, so that colour alone tells nothing."""


@dataclass(frozen=True)
class BatchLook:
    """How a batch is told apart: ``on_dark`` and ``on_light`` colours and a shape of its own.

    ``corners`` are x right, y down of the mark's outline in a square from -1 to 1.
    """

    shape: str
    on_dark: str
    on_light: str
    corners: tuple[tuple[float, float], ...]


def _ring(n: int, start_deg: float, radius: float = 1.0) -> tuple[tuple[float, float], ...]:
    angles = np.radians(start_deg + 360.0 * np.arange(n) / n)
    return tuple((round(float(radius * np.cos(a)), 4), round(float(radius * np.sin(a)), 4)) for a in angles)


_CROSS = (
    *((-0.35, -1.0), (0.35, -1.0), (0.35, -0.35), (1.0, -0.35), (1.0, 0.35), (0.35, 0.35)),
    *((0.35, 1.0), (-0.35, 1.0), (-0.35, 0.35), (-1.0, 0.35), (-1.0, -0.35), (-0.35, -0.35)),
)
_LOOKS = (
    BatchLook("circle", "#56B4E9", "#0072B2", _ring(24, 0.0, 0.95)),
    BatchLook("square", "#E69F00", "#B85000", _ring(4, 45.0, 1.2)),
    BatchLook("triangle", "#2FC9A0", "#00795A", _ring(3, -90.0, 1.2)),
    BatchLook("diamond", "#E39CC4", "#98457A", _ring(4, 0.0, 1.2)),
    BatchLook("cross", "#F0E442", "#6E6600", _CROSS),
)


def look_of(batch_number: int) -> BatchLook:
    """Return the look of a batch; looks repeat after the fifth, the number stands beside them."""
    return _LOOKS[(batch_number - 1) % len(_LOOKS)]


def repeats_earlier(numbers: Sequence[int], place: int) -> bool:
    """Whether the batch at ``place`` looks like one before it (batch 6 like batch 1)."""
    return look_of(numbers[place]) in [look_of(number) for number in numbers[:place]]


def rgb(colour: str) -> Rgb:
    """Return '#RRGGBB' as three numbers."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def hex_of(colour: Rgb) -> str:
    """Return three numbers as '#RRGGBB'."""
    return "#{:02X}{:02X}{:02X}".format(*colour)
