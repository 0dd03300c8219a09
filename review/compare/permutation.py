"""The permutation test of two small batches: as if it were chance which batch a shot fell in."""

import math
from functools import lru_cache
from itertools import chain, combinations

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from review.compare.statistics import GRID, Values, checked, to_grid

MAX_EXACT_SPLITS = 200_000
N_SAMPLED_SPLITS = 20_000
_SEED = 20_000
_BLOCK = 2_000
_MOST_COUNTED = 30
_MIN_FOR_LIMIT = 100
"""From so many values in each batch on, the sum of a random split is normal to what 20,000 splits could show."""


def count_splits(n_a: int, n_b: int) -> int:
    """Count the ways to split the values of both batches into batches of these sizes, up to C(60, 30)."""
    if min(n_a, n_b) > _MOST_COUNTED:  # far more than anybody counts, and a number of thousands of digits
        n_a = n_b = _MOST_COUNTED
    return math.comb(n_a + n_b, n_a)


def say_how_counted(n_a: int, n_b: int) -> str:
    """Say what the permutation p rests on where it is not all splits, else ''."""
    if min(n_a, n_b) >= _MIN_FOR_LIMIT:
        return "permutation p from the normal limit, not from all splits"
    if count_splits(n_a, n_b) > MAX_EXACT_SPLITS:
        return f"permutation p from {N_SAMPLED_SPLITS} random splits, not from all"
    return ""


def compute_permutation_p(a: Values, b: Values) -> float:
    """Compute the two-sided permutation p of the difference of means: twice the smaller tail, at most 1.

    All splits are counted up to ``MAX_EXACT_SPLITS`` of them; beyond that, ``N_SAMPLED_SPLITS`` random
    ones from a fixed seed, where the observed split counts as one of them; from 100 values in each
    batch on, the normal limit with the exact variance of a split. The order of the values and a
    change of all signs leave p as it is.

    Raises
    ------
    ValueError
        When a batch is empty or a value is not finite.

    References
    ----------
    E. J. G. Pitman (1937), Significance tests which may be applied to samples from any populations,
    Suppl. J. R. Stat. Soc. 4:119-130. B. Phipson, G. K. Smyth (2010), Permutation p-values should
    never be zero, Stat. Appl. Genet. Mol. Biol. 9:39.
    """
    x, y = checked(a, 1), checked(b, 1)
    if len(x) > len(y):  # the tails swap, the smaller one stays; fewer numbers to add
        x, y = y, x
    both = np.concatenate([x, y])
    both = both - both.mean()
    # sums that tie must tie in any unit and in any order of adding
    both = to_grid(both / (float(np.abs(both).max()) or 1.0))
    # with the total fixed, the sum of one batch orders the splits as the difference of means does
    observed = float(both[: len(x)].sum())
    tie = len(both) * GRID
    if len(x) >= _MIN_FOR_LIMIT and np.ptp(both) > 0:
        share = len(x) * len(y) / (len(both) * (len(both) - 1))
        return 2 * float(ndtr(-abs(observed) / math.sqrt(share * float((both**2).sum()))))
    ordered, mirrored = np.sort(both), np.sort(-both)
    # the same random splits for a mirrored table
    if observed < -tie or (observed <= tie and mirrored.tolist() < ordered.tolist()):
        ordered, observed = mirrored, -observed
    both = ordered
    n_splits = count_splits(len(x), len(y))
    if n_splits <= MAX_EXACT_SPLITS:
        return min(1.0, 2 * min(_count_tails(both, len(x), observed - tie, observed + tie)) / n_splits)
    sums = _sampled_sums(both, len(x))
    above, below = int((sums >= observed - tie).sum()), int((sums <= observed + tie).sum())
    return min(1.0, 2 * (min(above, below) + 1) / (len(sums) + 1))


def _count_tails(both: NDArray[np.float64], n_a: int, least: float, most: float) -> tuple[int, int]:
    """Count the choices of ``n_a`` values whose sum is ``least`` or more, and ``most`` or less.

    So many from one half of the values, the others from the other half: two short lists of sums instead of one long
    one. All sums are multiples of ``GRID``, so that none is rounded.
    """
    half = len(both) // 2
    above = below = 0
    for n_low in range(max(0, n_a - (len(both) - half)), min(n_a, half) + 1):
        sums = both[:half][_all_choices(n_low, half)].sum(axis=1)
        others = np.sort(both[half:][_all_choices(n_a - n_low, len(both) - half)].sum(axis=1))
        above += int((len(others) - np.searchsorted(others, least - sums, "left")).sum())
        below += int(np.searchsorted(others, most - sums, "right").sum())
    return above, below


@lru_cache(maxsize=64)
def _all_choices(n_chosen: int, n: int) -> NDArray[np.int32]:
    chosen = chain.from_iterable(combinations(range(n), n_chosen))
    flat = np.fromiter(chosen, dtype=np.int32, count=math.comb(n, n_chosen) * n_chosen)
    flat.flags.writeable = False
    return flat.reshape(math.comb(n, n_chosen), n_chosen)


def _sampled_sums(both: NDArray[np.float64], n_a: int) -> NDArray[np.float64]:
    random = np.random.default_rng(_SEED)
    blocks = []
    for _ in range(N_SAMPLED_SPLITS // _BLOCK):
        if n_a**2 < len(both):  # few against very many: drawn with repeats, and rows with repeats drawn again
            chosen = _drawn(random, n_a, len(both))
            blocks.append(both[chosen].sum(axis=1))
        else:
            shuffled = random.permuted(np.broadcast_to(both, (_BLOCK, len(both))), axis=1)
            blocks.append(shuffled[:, :n_a].sum(axis=1))
    return np.concatenate(blocks)


def _drawn(random: np.random.Generator, n_a: int, n: int) -> NDArray[np.int64]:
    chosen = random.integers(0, n, (_BLOCK, n_a))
    while len(again := np.flatnonzero((np.diff(np.sort(chosen, axis=1), axis=1) == 0).any(axis=1))):
        chosen[again] = random.integers(0, n, (len(again), n_a))
    return chosen
