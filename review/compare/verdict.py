"""What can be said of a difference: clear, likely, or not yet. Told for one measure, then over the lesson's aim."""

import math
from collections.abc import Sequence
from enum import StrEnum

import numpy as np

from review.compare.permutation import count_splits
from review.lesson import KINDS

CLEAR_P = 0.036
"""A p below this is beyond chance.

Not 0.05: with few shots and a last batch that scatters more, both p come out too small now and then. At 0.036 a measure
that did not change is *clear* in less than 1 of 20 lessons in every case simulated (docs/comparison.md).
"""

LIKELY_P = 0.20


class Verdict(StrEnum):
    """What can be said of a difference between two batches."""

    CLEAR = "clear"
    LIKELY = "likely"
    CANT_TELL = "can't tell yet"
    NOT_JUDGED = "not judged"


def adjust_holm(p_values: Sequence[float]) -> tuple[float, ...]:
    """Adjust p values for being looked at together: below a level with at most that chance for any of them.

    Raises
    ------
    ValueError
        When a value is not within 0..1.

    References
    ----------
    S. Holm (1979), A simple sequentially rejective multiple test procedure, Scand. J. Stat. 6:65-70.
    """
    p = np.asarray(p_values, dtype=np.float64)
    if not np.all((p >= 0) & (p <= 1)):
        raise ValueError(f"every p must lie within 0..1, got {list(p_values)}")
    order = np.argsort(p, kind="stable")
    steps = np.minimum(1.0, np.maximum.accumulate(p[order] * np.arange(len(p), 0, -1)))
    adjusted = np.empty(len(p))
    adjusted[order] = steps
    return tuple(float(v) for v in adjusted)


def say_size(name: str, size: float, more_decimals: int = 0) -> str:
    """Say the size of a difference with its unit: '2.1°'; the difference of two tempos is a bare number."""
    unit = "" if name == "tempo_ratio" else KINDS[name].unit
    return f"{abs(size):.{KINDS[name].decimals + more_decimals}f}{unit}"


def judge(
    name: str,
    difference: float,
    smallest: float,
    *,
    p: float,
    adjusted_p: float,
    welch_p: float,
    n_first: int,
    n_last: int,
    is_permuted: bool,
    n_together: int = 1,
    of: str = "measures",
) -> tuple[Verdict, str]:
    """Judge one difference.

    *clear*: ``adjusted_p`` is below 0.036 and the difference reaches the smallest that counts.
    *likely*: Welch's 80 % interval excludes zero and the difference reaches the smallest that
    counts. Else *can't tell yet*. The levels are the project's own convention.

    Parameters
    ----------
    p : the larger of Welch's and, where ``is_permuted``, the permutation p.
    adjusted_p : the same after Holm over the ``n_together`` measures of the aim (or what else ``of`` names).

    Returns
    -------
    tuple
        The verdict and its reason in words.
    """
    counts = say_size(name, smallest, more_decimals=1)
    if abs(difference) < smallest:
        return Verdict.CANT_TELL, f"smaller than errors of reading can make ({counts})"
    if adjusted_p < CLEAR_P:
        return Verdict.CLEAR, f"beyond chance, and more than errors of reading can make ({counts})"
    too_few = ""
    least_p = 2 / count_splits(n_first, n_last) if is_permuted else 0.0
    if least_p >= CLEAR_P:
        too_few = f"; {n_first} against {n_last} shots can never be clear, hit more"
    elif least_p * n_together >= CLEAR_P:
        too_few = f"; with {n_together} {of} together, {n_first} against {n_last} shots are hardly ever clear, hit more"
    if not welch_p < LIKELY_P:
        return Verdict.CANT_TELL, f"the swings of a batch differ too much among themselves{too_few}"
    beyond = f"more than errors of reading can make ({counts})"
    if p < CLEAR_P:
        return Verdict.LIKELY, f"{beyond}, but one of {n_together} {of} may come out like this by chance{too_few}"
    return Verdict.LIKELY, f"{beyond}, but chance is not ruled out{too_few}"


def larger_p(welch_p: float, permutation_p: float | None) -> float:
    """The larger of both: Welch's holds for unequal scatter, the permutation's for any shape; NaN where none is."""
    return welch_p if permutation_p is None or math.isnan(welch_p) else max(welch_p, permutation_p)
