"""Batches against each other: statistics and verdicts. Pure numpy and scipy, no files."""

from review.compare.batches import compare_batches
from review.compare.comparing import compare_samples
from review.compare.comparison import Comparison
from review.compare.conditions import Conditions, conditions_of, find_differences
from review.compare.drift import Drift, find_drift
from review.compare.judging import judge_together
from review.compare.mishit import Carrier, find_carrier
from review.compare.permutation import compute_permutation_p
from review.compare.power import compute_power, find_more_shots
from review.compare.samples import MeasureKey, Sample, measures_of_shot
from review.compare.scatter import ScatterChange, ScatterWord, compare_scatter
from review.compare.spread import compute_bca_interval, compute_robust_sd
from review.compare.statistics import Welch, compute_hedges_g, compute_smallest_that_counts, compute_welch
from review.compare.typical import choose_typical
from review.compare.verdict import CLEAR_P, Verdict, adjust_holm
from review.compare.window import Inside, Window, compare_inside, compute_newcombe_interval

__all__ = [
    "CLEAR_P",
    "Carrier",
    "Comparison",
    "Conditions",
    "Drift",
    "Inside",
    "MeasureKey",
    "Sample",
    "ScatterChange",
    "ScatterWord",
    "Verdict",
    "Welch",
    "Window",
    "adjust_holm",
    "choose_typical",
    "compare_batches",
    "compare_inside",
    "compare_samples",
    "compare_scatter",
    "compute_bca_interval",
    "compute_hedges_g",
    "compute_newcombe_interval",
    "compute_permutation_p",
    "compute_power",
    "compute_robust_sd",
    "compute_smallest_that_counts",
    "compute_welch",
    "conditions_of",
    "find_carrier",
    "find_differences",
    "find_drift",
    "find_more_shots",
    "judge_together",
    "measures_of_shot",
]
