"""The values of one measure in one batch."""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from review.lesson import KINDS, Bound, Handedness, Measure, Shot, Swing, SwingKind
from review.lesson.words import say_measure

MeasureKey = tuple[str, str]
"""Name and key frame of a measure."""

_LARGEST = 1e9
_IMPOSSIBLE = "the table's number is impossible"


@dataclass(frozen=True)
class Sample:
    """The values of one measure in one batch.

    ``values`` in the measure's unit, in the order they were struck; ``own_sds`` one per value, the
    error of each by itself (0 where not known); ``shared_sd`` the error common to all of them in the
    camera set-up named ``setup`` ('' where not known or not one). ``n_bounded`` counts values left out
    because only a bound is known, ``bounded_as`` says that bound; ``bounded_side`` is 1 or -1 where
    they all lie above or below the mean of ``values``, 0 where that is not known. ``why_missing`` says
    why others are missing. ``numbers`` are the swings' numbers in the lesson, one per value, or ().
    """

    values: tuple[float, ...]
    own_sds: tuple[float, ...] = ()
    shared_sd: float = 0.0
    setup: str = ""
    n_bounded: int = 0
    bounded_as: str = ""
    bounded_side: int = 0
    why_missing: str = ""
    numbers: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        for what, given in (("own_sd", self.own_sds), ("number", self.numbers)):
            if given and len(given) != len(self.values):
                raise ValueError(f"expected one {what} per value, got {len(given)} for {len(self.values)}")
        if not np.isfinite(self.array).all():
            raise ValueError("every value of a sample must be finite; leave missing ones out")
        if self.shared_sd < 0 or any(sd < 0 for sd in self.own_sds) or self.n_bounded < 0:
            raise ValueError("standard deviations and counts cannot be negative")
        if not all(math.isfinite(sd) for sd in (self.shared_sd, *self.own_sds)):
            raise ValueError("every standard deviation must be finite; 0 where not known")

    @cached_property
    def array(self) -> NDArray[np.float64]:
        """The values once more, (n,), not to be written to: long batches are turned into an array only once."""
        array = np.asarray(self.values, dtype=np.float64)
        array.flags.writeable = False
        return array


def measures_of_shot(shot: Shot) -> tuple[Measure, ...]:
    """Turn a row of the device's table into measures, in the catalogue's order; unknown names stay out.

    A number beyond a thousand million, which no unit of the catalogue reaches, is missing with that reason.
    """
    return tuple(
        Measure(name, shot.values[name])
        if abs(shot.values[name]) <= _LARGEST
        else Measure(name, math.nan, why_missing=_IMPOSSIBLE)
        for name in KINDS
        if name in shot.values and math.isfinite(shot.values[name])
    )


def measures_of_swing(swing: Swing, body_measures: Mapping[str, Sequence[Measure]]) -> dict[MeasureKey, Measure]:
    """All measures of a swing by key; where two views give one, the view that has it."""
    device = measures_of_shot(swing.shot) if swing.shot is not None else ()
    found: dict[MeasureKey, Measure] = {}
    for measure in (*device, *body_measures.get(swing.id, ())):
        key = (measure.name, measure.key_frame)
        if key not in found or found[key].why_missing:
            found[key] = measure
    return found


def counted(swings: Sequence[Swing]) -> list[Swing]:
    """The swings that count, in order: shots that were not left out."""
    return sorted((s for s in swings if s.kind is SwingKind.SHOT and not s.left_out), key=lambda swing: swing.order)


def list_left_out(swings: Sequence[Swing]) -> dict[str, tuple[int, ...]]:
    """Shots that the coach left out: their numbers by the reason."""
    found: dict[str, tuple[int, ...]] = {}
    for swing in sorted(swings, key=lambda swing: swing.order):
        if swing.left_out and swing.kind is SwingKind.SHOT:
            found[swing.left_out] = (*found.get(swing.left_out, ()), swing.order)
    return found


def make_sample(
    measures: Sequence[Measure | None], handedness: Handedness, numbers: Sequence[int] = (), visit: str = ""
) -> Sample:
    """Gather one measure of a batch's swings, None where a swing has no such measure.

    Parameters
    ----------
    handedness : the player's, for the words of values that are only bounds.
    numbers : the swings' numbers, one per measure, or ().
    visit : names the visit where the batches are not all of one; a camera set-up is never the same in two.
    """
    numbered = list(zip(measures, numbers or [0] * len(measures), strict=True))
    there = [(m, number) for m, number in numbered if m is not None and not m.why_missing]
    exact = [m for m, _ in there if m.bound is Bound.NONE]
    bounded = [m for m, _ in there if m.bound is not Bound.NONE]
    reasons = Counter(m.why_missing for m in measures if m is not None and m.why_missing)
    setups = {m.setup for m in exact}
    setup = setups.pop() if len(setups) == 1 else ""
    shared = math.sqrt(sum(m.shared_sd**2 for m in exact) / len(exact)) if exact else 0.0
    return Sample(
        values=tuple(m.value for m in exact),
        own_sds=tuple(m.own_sd for m in exact),
        shared_sd=shared,
        setup=f"{visit}: {setup}" if visit and setup else setup,
        n_bounded=len(bounded),
        bounded_as=say_measure(min(bounded, key=lambda m: abs(m.value)), handedness) if bounded else "",
        bounded_side=_side_of_bounds(exact, bounded),
        why_missing=reasons.most_common(1)[0][0] if reasons else "",
        numbers=tuple(number for m, number in there if m.bound is Bound.NONE) if numbers else (),
    )


def sample_rows(swings: Sequence[Swing], names: Sequence[str]) -> dict[str, Sample]:
    """Gather the measures of the table's rows by name, as :func:`make_sample` would but all at once.

    A number that is not finite counts as absent, an impossible one as missing, as in :func:`measures_of_shot`.
    """
    rows = [swing.shot.values for swing in swings if swing.shot is not None]
    orders = np.array([swing.order for swing in swings if swing.shot is not None], dtype=np.int64)
    absent = [math.nan] * len(names)
    cells = chain.from_iterable(map(row.get, names, absent) for row in rows)
    # one column after the other in memory: every statistic goes along a column
    columns = np.fromiter(cells, np.float64, len(rows) * len(names)).reshape(len(rows), len(names)).T.copy()
    all_numbers = tuple(orders.tolist())
    samples = {}
    for name, column in zip(names, columns, strict=True):
        there = np.abs(column) <= _LARGEST
        is_whole = bool(there.all())
        why = _IMPOSSIBLE if not is_whole and np.any(np.isfinite(column) & ~there) else ""
        numbers = all_numbers if is_whole else tuple(orders[there].tolist())
        samples[name] = Sample(tuple(column[there].tolist()), why_missing=why, numbers=numbers)
    return samples


def _side_of_bounds(exact: Sequence[Measure], bounded: Sequence[Measure]) -> int:
    """Side of the exact values' mean on which all true values behind the bounds must lie; 0 where not known."""
    if not exact or any(m.bound is not Bound.AT_LEAST for m in bounded):
        return 0
    mean = sum(m.value for m in exact) / len(exact)
    # "at least" holds for the size of a number on its own side of zero
    if all(m.value > max(mean, 0.0) for m in bounded):
        return 1
    return -1 if all(m.value < min(mean, 0.0) for m in bounded) else 0
