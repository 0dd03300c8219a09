"""Batches against each other: statistics and verdicts. Pure numpy and scipy, no files."""

from review.compare.batches import compare_batches
from review.compare.comparing import compare_samples
from review.compare.comparison import Comparison
from review.compare.conditions import Conditions, Difference, conditions_of, find_differences
from review.compare.courses import compare_all_batches
from review.compare.drift import Drift, find_drift
from review.compare.judging import judge_together
from review.compare.mishit import Carrier, find_carrier
from review.compare.permutation import compute_permutation_p
from review.compare.power import compute_power, find_more_shots
from review.compare.samples import MeasureKey, Sample, make_sample, measures_of_shot
from review.compare.scatter import ScatterChange, ScatterWord, compare_scatter
from review.compare.several import Course, Point, Trend, compare_course, find_trend
from review.compare.spread import compute_bca_interval, compute_robust_sd
from review.compare.statistics import Welch, compute_hedges_g, compute_smallest_that_counts, compute_welch
from review.compare.together import Companion, compute_spearman, find_companions
from review.compare.typical import choose_typical
from review.compare.verdict import CLEAR_P, Verdict, adjust_holm
from review.compare.window import Inside, Window, compare_inside, compute_newcombe_interval

__all__ = [
    "compare_all_batches",
    "compare_batches",
    "compare_samples",
    "Comparison",
    "Conditions",
    "Difference",
    "conditions_of",
    "find_differences",
    "Drift",
    "find_drift",
    "judge_together",
    "Carrier",
    "find_carrier",
    "compute_permutation_p",
    "compute_power",
    "find_more_shots",
    "MeasureKey",
    "Sample",
    "make_sample",
    "measures_of_shot",
    "ScatterChange",
    "ScatterWord",
    "compare_scatter",
    "Course",
    "Point",
    "Trend",
    "compare_course",
    "find_trend",
    "compute_bca_interval",
    "compute_robust_sd",
    "Welch",
    "compute_hedges_g",
    "compute_smallest_that_counts",
    "compute_welch",
    "Companion",
    "compute_spearman",
    "find_companions",
    "choose_typical",
    "CLEAR_P",
    "Verdict",
    "adjust_holm",
    "Inside",
    "Window",
    "compare_inside",
    "compute_newcombe_interval",
]
