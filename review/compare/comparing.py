"""One measure, first batch against last: difference, interval and verdict."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from review.compare.comparison import Comparison
from review.compare.conditions import Difference
from review.compare.judging import judge_alone
from review.compare.permutation import compute_permutation_p, say_how_counted
from review.compare.remarks import find_remarks
from review.compare.samples import Sample
from review.compare.scatter import compare_scatter
from review.compare.shared_error import (
    could_undo,
    find_scale_variance,
    find_shared_variance,
    say_bounded,
    say_too_few,
)
from review.compare.spread import compute_bca_of_difference, compute_robust_sd
from review.compare.statistics import (
    Values,
    compute_hedges_g,
    compute_smallest_that_counts,
    compute_variance,
    compute_welch,
)
from review.compare.verdict import Verdict, larger_p
from review.compare.window import Window, compare_inside
from review.lesson import KINDS


def compare_samples(
    name: str,
    first: Sample,
    last: Sample,
    *,
    key_frame: str = "",
    repeatability: float | None,
    batches_closed: bool,
    in_aim: bool,
    window: Window | None = None,
    warnings: Sequence[Difference] = (),
    accept_different: bool = False,
    counted_as: str = "swing",
    is_brief: bool = False,
) -> Comparison:
    """Compare the values of one measure in two batches, of one lesson or of two.

    A verdict needs closed batches, a measure of the lesson's aim, a known repeatability and the same
    club, target and ball; what is missing is said in ``why``. The verdict is that of this measure
    alone (:func:`judge`); :func:`judge_together` weighs the measures of an aim against each other.
    Values known only as a bound leave the measure unjudged where they could undo the difference.

    Parameters
    ----------
    repeatability : typical error (one standard deviation) in the measure's unit; None where nobody
        stated or tested it, then the values' own errors are taken if every value has one.
    window : what the coach wants to see; also counted while a batch is open.
    warnings : what differed between the batches (:func:`find_differences`); then there is no
        verdict unless ``accept_different``. One that names no condition is only told.

    counted_as : what the numbers of the samples count, for remarks.
    is_brief : the verdict without scatter, remarks, bootstrap and shots still needed, in a tenth of the time.

    Raises
    ------
    ValueError
        When the measure is unknown or the repeatability is not positive.
    """
    if name not in KINDS:
        raise ValueError(f"unknown measure {name!r}; known: {', '.join(KINDS)}")
    if repeatability is not None and not 0 < repeatability < math.inf:
        raise ValueError(f"repeatability of {name} must be a positive number, got {repeatability}")
    shared_variance, shared_note = find_shared_variance(first, last)
    n_first, n_last = len(first.values), len(last.values)
    difference = _mean(last.array) - _mean(first.array)
    error = repeatability if repeatability is not None else _own_error(first, last)
    smallest = None
    if error is not None and n_first and n_last:
        smallest = compute_smallest_that_counts(error, n_first, n_last, shared_variance)
    described = Comparison(
        name=name,
        key_frame=key_frame,
        n_first=n_first,
        n_last=n_last,
        mean_first=_mean(first.array),
        mean_last=_mean(last.array),
        sd_first=_sd(first.array),
        sd_last=_sd(last.array),
        difference=difference,
        low=math.nan,
        high=math.nan,
        welch_t=math.nan,
        welch_df=math.nan,
        welch_p=math.nan,
        hedges_g=math.nan,
        permutation_p=None,
        verdict=Verdict.NOT_JUDGED,
        why="",
        smallest_that_counts=smallest,
        note="",
        in_aim=in_aim,
        median_first=_median(first.array),
        median_last=_median(last.array),
        robust_sd_first=compute_robust_sd(first.array),
        robust_sd_last=compute_robust_sd(last.array),
        scatter=None if is_brief else compare_scatter(first.array, last.array),
        inside=compare_inside(first.array, last.array, window) if window is not None else None,
        typical_error=error,
        remarks=() if is_brief else find_remarks(name, first, last, counted_as),
        warnings=tuple(warning.said for warning in warnings),
    )
    lacks = _find_lack(first, last)
    notes = [shared_note, say_bounded(first, "first"), say_bounded(last, "last")]
    if not lacks:
        described = _weigh(described, first, last, shared_variance, is_brief)
        notes.append(say_how_counted(n_first, n_last) if shared_variance == 0 else "")
    missing = [
        lacks,
        "" if in_aim else "not in the lesson's aim",
        "" if batches_closed else "a batch is still open",
        f"not the same {_what(warnings)} in both batches" if _what(warnings) and not accept_different else "",
        "the values only known as a bound could undo the difference"
        if not lacks and could_undo(first, last, difference)
        else "",
        f"the repeatability of {KINDS[name].label} is not known" if error is None and (n_first or n_last) else "",
    ]
    why = "; ".join(text for text in missing if text)
    described = replace(described, why=why, note="; ".join(text for text in notes if text))
    return described if why else judge_alone(described, is_brief)


def _weigh(described: Comparison, first: Sample, last: Sample, shared_variance: float, is_brief: bool) -> Comparison:
    """Add what needs two values in each batch and a spread."""
    # inside one set-up the shared error cancels only in proportion
    variance = shared_variance or find_scale_variance(first, last, described.difference)
    welch = compute_welch(last.array, first.array, shared_variance=variance)
    # shuffling swings over batches says nothing of an error that a whole batch has in common
    permutation_p = compute_permutation_p(last.array, first.array) if shared_variance == 0 else None
    bca = (None if is_brief else compute_bca_of_difference(last.array, first.array)) or (math.nan, math.nan)
    p = larger_p(welch.p, permutation_p)
    return replace(
        described,
        low=welch.low,
        high=welch.high,
        welch_t=welch.t,
        welch_df=welch.df,
        welch_p=welch.p,
        hedges_g=compute_hedges_g(last.array, first.array),
        permutation_p=permutation_p,
        bca_low=bca[0],
        bca_high=bca[1],
        p=p,
        setup_sd=math.sqrt(variance),
    )


def _find_lack(first: Sample, last: Sample) -> str:
    for sample, which in ((first, "first"), (last, "last")):
        if len(sample.values) < 2:
            return say_too_few(sample, which)
    if compute_variance(first.array) == 0 and compute_variance(last.array) == 0:
        return "neither batch varies, so chance cannot be judged"
    return ""


def _what(warnings: Sequence[Difference]) -> str:
    """'club', 'club and ball': what the warnings of different conditions are about."""
    return " and ".join(warning.what for warning in warnings if warning.what)


def _own_error(first: Sample, last: Sample) -> float | None:
    """Root mean square of the values' own errors, None unless every value has one."""
    own = (*first.own_sds, *last.own_sds)
    if not own or len(own) < len(first.values) + len(last.values) or not all(sd > 0 for sd in own):
        return None
    return math.sqrt(sum(sd**2 for sd in own) / len(own))


def _mean(values: Values) -> float:
    return float(np.mean(values)) if len(values) else math.nan


def _median(values: Values) -> float:
    return float(np.median(values)) if len(values) else math.nan


def _sd(values: Values) -> float:
    return math.sqrt(compute_variance(values)) if len(values) > 1 else math.nan
