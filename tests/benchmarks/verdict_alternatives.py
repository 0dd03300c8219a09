"""Other p than the verdict's, over made-up lessons of lopsided shape and unequal scatter; docs/comparison.md; by hand.

python -m tests.benchmarks.verdict_alternatives [N_LESSONS]
"""

import math
import sys
from itertools import combinations

import numpy as np
from scipy.special import stdtr

from review.compare import CLEAR_P
from tests.benchmarks.verdicts import Draw, heavy, normal, p_values, percent

Arrays = tuple[np.ndarray, np.ndarray]


def exponential(random: np.random.Generator, n: int, sizes: tuple[int, int]) -> Arrays:
    """Exponential about its mean, standard deviation 1."""
    return random.exponential(size=(n, sizes[0])) - 1, random.exponential(size=(n, sizes[1])) - 1


SHAPES: dict[str, Draw] = {"normal": normal, "heavy tails": heavy, "exponential": exponential}


def studentised_p(first: np.ndarray, last: np.ndarray) -> np.ndarray:
    """Exact two-sided permutation p of Welch's t, one a row.

    A. Janssen (1997), Studentized permutation tests for non-i.i.d. hypotheses and the generalized Behrens-Fisher
    problem, Stat. Probab. Lett. 36:9-21.
    """
    n_first, n_last = first.shape[1], last.shape[1]
    both = np.concatenate([first, last], axis=1)
    both = both - both.mean(axis=1, keepdims=True)
    both /= np.abs(both).max(axis=1, keepdims=True)
    chosen = np.array(list(combinations(range(n_first + n_last), n_first)))
    picks = np.zeros((n_first + n_last, len(chosen)))
    picks[chosen.T, np.arange(len(chosen))] = 1.0  # the first split is the one observed
    found = []
    for rows in np.array_split(both, max(1, len(both) // 200)):
        sums, squares = rows @ picks, rows**2 @ picks
        other_sums = rows.sum(axis=1, keepdims=True) - sums
        other_squares = (rows**2).sum(axis=1, keepdims=True) - squares
        of_first = (squares - sums**2 / n_first) / (n_first - 1) / n_first
        of_last = (other_squares - other_sums**2 / n_last) / (n_last - 1) / n_last
        t = (other_sums / n_last - sums / n_first) / np.sqrt(np.maximum(of_first + of_last, 1e-18))
        found.append((np.abs(t) >= np.abs(t[:, :1]) - 1e-9).mean(axis=1))
    return np.concatenate(found)


def skew_corrected_p(first: np.ndarray, last: np.ndarray) -> np.ndarray:
    """Welch's p of a t corrected for lopsided batches, one a row.

    N. A. C. Cressie, H. J. Whitford (1986), How to use the two sample t-test, Biometrical J. 28:131-148, after
    N. J. Johnson (1978), J. Am. Stat. Assoc. 73:536-544 (formula from memory).
    """
    variances, thirds, sizes = [], [], (first.shape[1], last.shape[1])
    for values, n in zip((first, last), sizes, strict=True):
        away = values - values.mean(axis=1, keepdims=True)
        variances.append(values.var(axis=1, ddof=1) / n)
        thirds.append((away**3).sum(axis=1) * n / ((n - 1) * (n - 2)) / n**2)
    variance, third = sum(variances), thirds[1] - thirds[0]
    df = variance**2 / sum(v**2 / (n - 1) for v, n in zip(variances, sizes, strict=True))
    difference = last.mean(axis=1) - first.mean(axis=1)
    t = (difference + third / (6 * variance) + third * difference**2 / (3 * variance**2)) / np.sqrt(variance)
    return np.asarray(2 * stdtr(df, -np.abs(t)))


def main(n: int) -> None:
    """Clear in percent by each p at the verdict's level: without a change, with a wider last batch, with 2.5 SD."""
    print("| shots | shape | last batch | as now | studentised | all three | as now and skew-corrected |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for sizes in ((6, 6), (9, 4)):
        for shape, draw in SHAPES.items():
            for what, scale, change in (("no change", 1, 0.0), ("three times as wide", 3, 0.0), ("2.5 SD", 1, 2.5)):
                first, last = draw(np.random.default_rng(507), n, sizes)
                last = scale * last + change
                now, studentised = p_values(first, last)[1], studentised_p(first, last)
                corrected = np.maximum(now, skew_corrected_p(first, last))
                ps = (now, studentised, np.maximum(now, studentised), corrected)
                cells = " | ".join(percent(p < CLEAR_P) for p in ps)
                print(f"| {sizes[0]} v {sizes[1]} | {shape} | {what} | {cells} |", flush=True)
    print(f"standard error near 5 %: {100 * math.sqrt(0.05 * 0.95 / n):.1f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
