"""Batches against each other: statistics and verdicts. Pure numpy and scipy, no files."""

from review.compare.batches import choose_typical, compare_batches, measures_of_shot
from review.compare.comparison import Comparison, Sample, Verdict, compare_samples
from review.compare.statistics import (
    Welch,
    compute_hedges_g,
    compute_permutation_p,
    compute_smallest_that_counts,
    compute_welch,
)

__all__ = [
    "Comparison",
    "Sample",
    "Verdict",
    "Welch",
    "choose_typical",
    "compare_batches",
    "compare_samples",
    "compute_hedges_g",
    "compute_permutation_p",
    "compute_smallest_that_counts",
    "compute_welch",
    "measures_of_shot",
]
