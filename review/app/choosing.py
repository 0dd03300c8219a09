"""Which swing and which measures come next on the way through a lesson; without Qt."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # loaded beside the window
    from review.compare.samples import MeasureKey

MOST_STACKED = 3
"""Measures above each other that can still be read at two metres."""


def find_next_swing(ids: Sequence[str], chosen: str | None, by: int) -> str:
    """The swing so many farther along than the one that is chosen; at the ends it stays. None chosen: begin there."""
    at = ids.index(chosen) if chosen in ids else (-1 if by > 0 else len(ids))
    return ids[min(max(at + by, 0), len(ids) - 1)]


def limit_stacked(keys: Sequence[MeasureKey]) -> tuple[MeasureKey, ...]:
    """Every measure once, as many as can be read."""
    return tuple(dict.fromkeys(keys))[:MOST_STACKED]


def find_next_measures(keys: Sequence[MeasureKey], chosen: Sequence[MeasureKey], by: int) -> tuple[MeasureKey, ...]:
    """Put up the measure so many farther along; those stacked under it follow."""
    at = keys.index(chosen[0]) + by
    return tuple(keys[(at + n) % len(keys)] for n in range(len(chosen)))


def stack_measures(keys: Sequence[MeasureKey], chosen: Sequence[MeasureKey], by: int) -> tuple[MeasureKey, ...]:
    """One measure more under those that are up, the next that is not there yet, or one fewer."""
    if by < 0:
        return tuple(chosen[: max(1, len(chosen) - 1)])
    after = keys.index(chosen[-1]) + 1
    others = [key for key in (*keys[after:], *keys[:after]) if key not in chosen]
    return (*chosen, *others[:1])
