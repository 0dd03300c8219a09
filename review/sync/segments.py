"""Clocks set in mid-lesson: one stretch of the lesson for every offset, found one after the other."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from review.lesson import FloatArray
from review.sync.offset import HEARD, Offset, find_offset
from review.sync.windows import Intervals, Windows

_MOST_STRETCHES = 3
_FEWEST_PAIRS = 3
_MOST_MISPLACED = 0.2


@dataclass(frozen=True, eq=False)
class Stretch:
    """A part of the lesson under one clock: how much of each swing (n_swings,) and row (n_rows,) belongs to it, 0..1.

    ``is_sure`` is False where the agreements may be chance: its pairs are questions.
    """

    offset: Offset
    swings: FloatArray
    rows: FloatArray
    is_sure: bool


def find_stretches(windows: Windows, rows: Intervals, fixed: Sequence[tuple[int, int]] = ()) -> tuple[Stretch, ...]:
    """Find how the clocks stand to each other along the lesson, in order of time; none when a side has no times.

    Parameters as for ``find_offset``.

    Notes
    -----
    Mostly one stretch. Where swings and rows without a partner agree under another offset, no more by chance than a
    whole lesson may, and lie before or after all others (by either clock), somebody set a clock there.
    """
    first = find_offset(windows, rows, fixed)
    if first is None:
        return ()
    found = [first]
    whole: tuple[Stretch, ...] = (_stretch(first, windows, rows),)
    while first.is_sure and len(found) < _MOST_STRETCHES:
        other = _find_another(windows, rows, found)
        if other is None:
            break
        parted = _part(windows, rows, [*found, other], fixed)
        if parted is None:
            break
        found.append(other)
        whole = parted
    return whole


def _stretch(offset: Offset, windows: Windows, rows: Intervals) -> Stretch:
    return Stretch(offset, np.ones(windows.n_swings), np.ones(len(rows.low_s)), offset.is_sure)


def _find_another(windows: Windows, rows: Intervals, found: Sequence[Offset]) -> Offset | None:
    is_free = windows.struck >= HEARD
    is_free[[i for offset in found for i, _ in offset.pairs]] = False
    is_open = np.isfinite(rows.low_s)
    is_open[[j for offset in found for _, j in offset.pairs]] = False
    if min(is_free.sum(), is_open.sum()) < _FEWEST_PAIRS:
        return None
    other = find_offset(windows.only(is_free), rows.only(is_open))
    if other is None or other.n_agree < _FEWEST_PAIRS or not (other.is_sure or other.is_possible):
        return None
    return other


def _part(
    windows: Windows, rows: Intervals, found: Sequence[Offset], fixed: Sequence[tuple[int, int]]
) -> tuple[Stretch, ...] | None:
    """Cut the lesson where the pairs of one offset end and those of the next begin; None where they are mixed."""
    middle = windows.likeliest().middle_s
    swing_times = [np.array([middle[i] for i, _ in offset.pairs]) for offset in found]
    row_times = [np.array([rows.middle_s[j] for _, j in offset.pairs]) for offset in found]
    cuts_by_row, cuts_by_swing = _cut(row_times), _cut(swing_times)
    if min(cuts_by_row.misplaced, cuts_by_swing.misplaced) > _MOST_MISPLACED * min(len(times) for times in row_times):
        return None
    # a clock set back makes its own times overlap, so the other clock tells the order
    by_row = cuts_by_row.misplaced <= cuts_by_swing.misplaced
    cuts = cuts_by_row if by_row else cuts_by_swing
    stretches = []
    for k, offset in enumerate(found):
        place = cuts.order.index(k)
        share = _share(rows.middle_s if by_row else middle, place, cuts.edges)
        swings, of_rows = np.ones(windows.n_swings), np.ones(len(rows.low_s))
        (of_rows if by_row else swings)[:] = share
        others = [i for other in found if other is not offset for i, _ in other.pairs]
        alone = np.ones(windows.n_swings, bool)
        alone[[i for i in others if swings[i] < 1.0 or by_row]] = False
        alone[[i for i, j in offset.pairs if of_rows[j] > 0 and swings[i] > 0]] = True
        mine = [(i, j) for i, j in fixed if of_rows[j] > 0 and swings[i] > 0]
        again = find_offset(windows.only(alone & (swings > 0)), rows.only(of_rows > 0), mine)
        if again is None:
            return None
        # the tests were passed before the cut; the cut only says which rivals are none
        renewed = replace(offset, clock=again.clock, weight=again.weight, pairs=again.pairs, n_agree=again.n_agree)
        stretches.append((place, Stretch(renewed, swings, of_rows, offset.is_sure)))
    return tuple(stretch for _, stretch in sorted(stretches, key=lambda item: item[0]))


@dataclass(frozen=True)
class _Cuts:
    """Order of the offsets along a clock, the edge (last before, first after) between each two, pairs out of place."""

    order: list[int]
    edges: list[tuple[float, float]]
    misplaced: int


def _cut(times: Sequence[FloatArray]) -> _Cuts:
    order = sorted(range(len(times)), key=lambda k: float(np.median(times[k])))
    edges, misplaced = [], 0
    for k, following in zip(order[:-1], order[1:], strict=True):
        before, after = np.sort(times[k]), np.sort(times[following])
        at = np.concatenate([before, after])
        wrong = [int((before > t).sum() + (after <= t).sum()) for t in at]
        cut = at[int(np.argmin(wrong))]
        misplaced += min(wrong)
        edges.append((float(before[before <= cut].max(initial=-np.inf)), float(after[after > cut].min(initial=np.inf))))
    return _Cuts(order, edges, misplaced)


def _share(times: FloatArray, place: int, edges: Sequence[tuple[float, float]]) -> FloatArray:
    """Share of each time in a stretch: all inside, half between two, none outside."""
    share = np.ones(len(times))
    if place > 0:
        last, begin = edges[place - 1]
        share[times <= last] = 0.0
        share[(times > last) & (times < begin)] = 0.5
    if place < len(edges):
        last, begin = edges[place]
        share[times >= begin] = 0.0
        share[(times > last) & (times < begin)] = 0.5
    return share
