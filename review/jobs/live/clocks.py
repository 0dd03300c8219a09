"""How far a camera's or device's clock runs ahead of this computer's, from when its files and rows arrived.

Nothing can arrive before it happened: every arrival says how far the clock is ahead at least, and the quickest arrival
says it best. The estimate is too small by the quickest delivery, so a moment on this computer's clock comes out too
late by as much, never too early.
"""

from collections.abc import Sequence
from dataclasses import dataclass

_AGREE_S = 15.0
_JUMP_S = 120.0
# common practice, no source: a camera delivers a clip within a minute or so
_LATE_S = 180.0


@dataclass(frozen=True)
class Stamp:
    """When something was over by its own clock, and when it was first seen by this computer's; seconds."""

    clock_s: float
    seen_s: float


@dataclass(frozen=True)
class ClockCourse:
    """How far the clock was ahead at each stamp, seconds, and where it jumped (index of the stamp, by how much).

    ``is_known`` : whether arrivals agree on how far it is ahead at the end; else it is a bound.
    """

    ahead_s: tuple[float, ...] = ()
    jumps: tuple[tuple[int, float], ...] = ()
    is_known: bool = False


def follow_clock(stamps: Sequence[Stamp]) -> ClockCourse:
    """Follow one clock through a lesson, in order of arrival.

    Notes
    -----
    A clock counts as known once two arrivals agree within 15 s. From then on something that arrives two minutes or more
    before it happened, or three minutes late, is told as a jump of that clock. Files copied in one go at the end of a
    lesson never agree so (they happened further apart than they arrive); they are placed by the last of them.
    """
    eras: list[list[float]] = []
    jumps: list[tuple[int, float]] = []
    of: list[int] = []
    for i, stamp in enumerate(stamps):
        bound = stamp.clock_s - stamp.seen_s
        if not eras:
            eras.append([])
        elif _is_known(eras[-1]):
            ahead = max(eras[-1])
            if bound > ahead + _JUMP_S or bound < ahead - _LATE_S:
                jumps.append((i, bound - ahead))
                eras.append([])
        eras[-1].append(bound)
        of.append(len(eras) - 1)
    return ClockCourse(tuple(max(eras[k]) for k in of), tuple(jumps), bool(eras) and _is_known(eras[-1]))


def _is_known(bounds: Sequence[float]) -> bool:
    return any(abs(a - b) <= _AGREE_S for a, b in zip(bounds, bounds[1:], strict=False))
