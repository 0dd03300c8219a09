"""The mean way of the pressure in a batch: every swing's trace between its own key frames, then averaged."""

from collections.abc import Sequence

import numpy as np

from review.charts import PressureBatch
from review.jobs.pressure.impact_in_trace import BY_FORCE
from review.jobs.pressure.measuring import SwingPressure
from review.lesson import FloatArray, KeyFrameName

_NAMES = (KeyFrameName.ADDRESS, KeyFrameName.TOP, KeyFrameName.ARM_LEVEL, KeyFrameName.IMPACT)
_AT_IMPACT = (KeyFrameName.ARM_LEVEL, KeyFrameName.IMPACT)
_N_BETWEEN = 40
_AFTER_S = 0.5
"""Shown after impact where the finish is not known."""
_BACK_S = 1.5
"""What of the time before the top is shown where address lies earlier or is not known."""


def average_ways(number: int, swings: Sequence[SwingPressure]) -> PressureBatch | None:
    """Average the ways of a batch's swings; None where none has top and impact without a gap between them.

    A swing of which it is not known where on the mat the player stands is left out.

    Each stretch between two key frames is divided evenly, so that the same moment of every swing is averaged. Where
    address or arm level is not known another moment stands in for the way, and that swing tells no place of it. Where
    most swings tell impact by their fastest move only, arm level and impact have no place.
    """
    ways = [(one, way) for one in swings if (way := _divide(one)) is not None]
    if not ways:
        return None
    at = np.stack([way for _, way in ways])
    mean = at.mean(axis=0)
    spread = at.std(axis=0, ddof=1) if len(ways) > 1 else np.zeros_like(mean)
    has_impact = is_impact_known([one for one, _ in ways])
    after, finish = _average_after(ways)
    keys = {}
    for i, name in enumerate(_NAMES):
        if name in _AT_IMPACT and not has_impact:
            continue
        there = [way[i * _N_BETWEEN] for one, way in ways if _has_on_way(one, name)]
        if there:
            keys[str(name)] = tuple(np.mean(there, axis=0))
    if finish is not None:
        keys[str(KeyFrameName.FINISH)] = finish
    return PressureBatch(number, mean, spread, _N_BETWEEN, keys, len(ways), after, has_impact)


def is_impact_known(swings: Sequence[SwingPressure]) -> bool:
    """Whether impact of a batch's swings is known better than their fastest move tells it, in half of them or more."""
    return 2 * sum(one.placed.by == BY_FORCE for one in swings) >= len(swings)


def _average_after(
    ways: Sequence[tuple[SwingPressure, FloatArray]],
) -> tuple[FloatArray | None, tuple[float, ...] | None]:
    """The mean way after impact of the swings whose traces reach its end, and where the finish is.

    None where less than half of them reach it; the finish where none that does tells it.
    """
    after = [(one, rest) for one, _ in ways if np.isfinite(rest := _after(one)).all()]
    if 2 * len(after) < len(ways):
        return None, None
    mean = np.mean([rest for _, rest in after], axis=0)
    mean[0] = np.mean([way[-1] for _, way in ways], axis=0)
    ends = [rest[-1] for one, rest in after if KeyFrameName.FINISH in one.moments_s]
    return mean, tuple(np.mean(ends, axis=0)) if ends else None


def _divide(one: SwingPressure) -> FloatArray | None:
    moments = one.moments_s
    if not one.path.placement.has_origin or KeyFrameName.TOP not in moments or KeyFrameName.IMPACT not in moments:
        return None
    top, first = moments[KeyFrameName.TOP], _find_first_s(one)
    level = moments.get(KeyFrameName.ARM_LEVEL, (top + moments[KeyFrameName.IMPACT]) / 2)
    edges = (first, top, level, moments[KeyFrameName.IMPACT])
    grid = np.concatenate(
        [np.linspace(a, b, _N_BETWEEN, endpoint=False) for a, b in zip(edges[:-1], edges[1:], strict=True)]
        + [np.array([edges[-1]])]
    )
    xy = np.stack([one.path.at(float(moment)) for moment in grid])
    return xy if np.isfinite(xy).all() else None


def _find_first_s(one: SwingPressure) -> float:
    """Where the way begins: at address, unless that is long before the top, before the trace, or not known."""
    earliest = max(one.moments_s[KeyFrameName.TOP] - _BACK_S, float(one.path.moments_s[0]))
    return max(one.moments_s.get(KeyFrameName.ADDRESS, earliest), earliest)


def _has_on_way(one: SwingPressure, name: KeyFrameName) -> bool:
    """Whether a place of the way is that key frame's, and not another moment's in its place."""
    is_address = name is KeyFrameName.ADDRESS
    return name in one.moments_s and (not is_address or one.moments_s[name] == _find_first_s(one))


def _after(one: SwingPressure) -> FloatArray:
    finish_s = one.moments_s.get(KeyFrameName.FINISH, _AFTER_S)
    return np.stack([one.path.at(float(moment)) for moment in np.linspace(0.0, finish_s, _N_BETWEEN + 1)])
