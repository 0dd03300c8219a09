"""A window the coach sets: how many shots fell inside, now and before. It also works while a batch is open."""

import math
from dataclasses import dataclass

import numpy as np
from scipy.stats import binomtest, fisher_exact

from review.compare.statistics import Values
from review.lesson import Handedness
from review.lesson.words import say_value


@dataclass(frozen=True)
class Window:
    """From ``low`` to ``high``, both inside, in a measure's unit and sign; one of them may be infinite."""

    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.high or (math.isinf(self.low) and math.isinf(self.high)):
            raise ValueError(f"a window needs low <= high and one end, got {self.low} and {self.high}")

    def count(self, values: Values) -> int:
        """Count the values inside."""
        array = np.asarray(values, dtype=np.float64)
        return int(((self.low <= array) & (array <= self.high)).sum())


@dataclass(frozen=True)
class Inside:
    """How many of each batch fell inside a window.

    ``fisher_p`` is two-sided; ``low``..``high`` the 95 % interval of the share of the last batch
    less that of the first, from -1 to 1. NaN where a batch has no value.
    """

    window: Window
    inside_first: int
    n_first: int
    inside_last: int
    n_last: int
    fisher_p: float
    low: float
    high: float

    @property
    def words(self) -> str:
        """As a coach says it: '5 of 6 inside, before 0 of 6'."""
        return f"{self.inside_last} of {self.n_last} inside{self.before}"

    @property
    def before(self) -> str:
        """How it was: ', before 0 of 6'."""
        return f", before {self.inside_first} of {self.n_first}" if self.n_first else ""


def say_inside(name: str, inside: Inside, handedness: Handedness) -> str:
    """Say also inside of what: '5 of 6 from 0.5° in-to-out to 4.0° in-to-out, before 0 of 6'."""
    window = inside.window
    low, high = (say_value(name, end, handedness) if math.isfinite(end) else "" for end in (window.low, window.high))
    where = f"from {low} to {high}" if low and high else f"at {low} and upward" if low else f"up to {high}"
    return f"{inside.inside_last} of {inside.n_last} {where}{inside.before}"


def compare_inside(first: Values, last: Values, window: Window) -> Inside:
    """Count the shots inside a window in two batches.

    References
    ----------
    R. A. Fisher (1935), The design of experiments (scipy.stats.fisher_exact). R. G. Newcombe (1998),
    Interval estimation for the difference between independent proportions, Stat. Med. 17:873-890,
    method 10: square-and-add of Wilson's intervals.
    """
    k_first, k_last, n_first, n_last = window.count(first), window.count(last), len(first), len(last)
    if not n_first or not n_last:
        return Inside(window, k_first, n_first, k_last, n_last, math.nan, math.nan, math.nan)
    p = float(fisher_exact(np.array([[k_last, n_last - k_last], [k_first, n_first - k_first]])).pvalue)
    low, high = compute_newcombe_interval(k_last, n_last, k_first, n_first)
    return Inside(window, k_first, n_first, k_last, n_last, p, low, high)


def compute_newcombe_interval(k_a: int, n_a: int, k_b: int, n_b: int) -> tuple[float, float]:
    """Compute the 95 % interval of the share k_a of n_a less the share k_b of n_b."""
    share_a, share_b = k_a / n_a, k_b / n_b
    a, b = (binomtest(k, n).proportion_ci(0.95, method="wilson") for k, n in ((k_a, n_a), (k_b, n_b)))
    difference = share_a - share_b
    low = difference - math.hypot(share_a - a.low, b.high - share_b)
    high = difference + math.hypot(a.high - share_a, share_b - b.low)
    return low, high
