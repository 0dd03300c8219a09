"""One measure, first batch against last: difference, interval and verdict."""

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from review.compare.statistics import (
    MAX_EXACT_SPLITS,
    N_SAMPLED_SPLITS,
    compute_hedges_g,
    compute_permutation_p,
    compute_smallest_that_counts,
    compute_welch,
    count_splits,
)
from review.lesson import KINDS, label

LIKELY_CONFIDENCE = 0.80
SIGNIFICANT_P = 0.05


class Verdict(StrEnum):
    """What can be said of a difference between two batches."""

    CLEAR = "clear"
    LIKELY = "likely"
    CANT_TELL = "can't tell yet"
    NOT_JUDGED = "not judged"


# One rendered player: hips, heel and shift were off by 9 to 30 % of a true difference between batches, shoulders at
# impact by 42 % (docs/accuracy.md).
_SCALE_SD = 0.2


@dataclass(frozen=True)
class Sample:
    """The values of one measure in one batch.

    ``values`` in the measure's unit; ``own_sds`` one per value, the error of each by itself (0 where
    not known); ``shared_sd`` the error common to all of them in the camera set-up named ``setup``
    ('' where not known or not one). ``n_bounded`` counts values left out because only a bound is
    known, ``bounded_as`` says that bound; ``bounded_side`` is 1 or -1 where they all lie above or
    below the mean of ``values``, 0 where that is not known. ``why_missing`` says why others are missing.
    """

    values: tuple[float, ...]
    own_sds: tuple[float, ...] = ()
    shared_sd: float = 0.0
    setup: str = ""
    n_bounded: int = 0
    bounded_as: str = ""
    bounded_side: int = 0
    why_missing: str = ""

    def __post_init__(self) -> None:
        if self.own_sds and len(self.own_sds) != len(self.values):
            raise ValueError(f"expected one own_sd per value, got {len(self.own_sds)} for {len(self.values)}")
        if not all(math.isfinite(v) for v in self.values):
            raise ValueError("every value of a sample must be finite; leave missing ones out")
        if self.shared_sd < 0 or any(sd < 0 for sd in self.own_sds) or self.n_bounded < 0:
            raise ValueError("standard deviations and counts cannot be negative")
        if not all(math.isfinite(sd) for sd in (self.shared_sd, *self.own_sds)):
            raise ValueError("every standard deviation must be finite; 0 where not known")


@dataclass(frozen=True)
class Comparison:
    """One measure of two batches.

    ``difference`` is last minus first in the measure's unit and sign, ``low``..``high`` its 95 %
    Welch interval, ``welch_t`` has the sign of the difference. ``permutation_p`` is two-sided, None
    where it says nothing (batches of two camera set-ups, or too few values). Numbers that could not
    be had are NaN; ``why`` gives the reason of the verdict, ``note`` what else must be known.
    """

    name: str
    key_frame: str
    n_first: int
    n_last: int
    mean_first: float
    mean_last: float
    sd_first: float
    sd_last: float
    difference: float
    low: float
    high: float
    welch_t: float
    welch_df: float
    welch_p: float
    hedges_g: float
    permutation_p: float | None
    verdict: Verdict
    why: str
    smallest_that_counts: float | None
    note: str
    in_aim: bool

    @property
    def label(self) -> str:
        """What a coach calls the measure: 'hip turn at impact'."""
        return label(self.name, self.key_frame)


@dataclass(frozen=True)
class _Evidence:
    """The numbers behind a verdict; NaN and None where there are none."""

    low: float = math.nan
    high: float = math.nan
    welch_t: float = math.nan
    welch_df: float = math.nan
    welch_p: float = math.nan
    hedges_g: float = math.nan
    permutation_p: float | None = None
    is_likely: bool = False
    lacks: str = ""


def compare_samples(
    name: str,
    first: Sample,
    last: Sample,
    *,
    key_frame: str = "",
    repeatability: float | None,
    batches_closed: bool,
    in_aim: bool,
) -> Comparison:
    """Compare the values of one measure in two batches.

    A verdict needs closed batches, a measure of the lesson's aim and a known repeatability; what is
    missing is said in ``why``. *clear*: the 95 % interval excludes zero, the permutation p (where
    there is one) is below 0.05 and the difference reaches the smallest that counts. *likely*: the
    80 % interval excludes zero and the difference reaches the smallest that counts. Else *can't
    tell yet*. The three levels are the project's own convention; without any change, about one
    measure in six still comes out as likely and about one in twenty as clear. Values known only
    as a bound leave the measure unjudged where they could undo the difference.

    Parameters
    ----------
    repeatability : typical error (one standard deviation) in the measure's unit; None where nobody
        stated or tested it, then the values' own errors are taken if every value has one.

    Raises
    ------
    ValueError
        When the measure is unknown or the repeatability is not positive.
    """
    if name not in KINDS:
        raise ValueError(f"unknown measure {name!r}; known: {', '.join(KINDS)}")
    if repeatability is not None and not 0 < repeatability < math.inf:
        raise ValueError(f"repeatability of {name} must be a positive number, got {repeatability}")
    shared_variance, notes = _shared_error(first, last)
    notes += _bounded_notes(first, "first") + _bounded_notes(last, "last")
    n_first, n_last = len(first.values), len(last.values)
    mean_first, mean_last = _mean(first.values), _mean(last.values)
    difference = mean_last - mean_first
    evidence = _weigh(first, last, shared_variance, _scale_variance(first, last, difference))
    if evidence.permutation_p is not None and count_splits(n_first, n_last) > MAX_EXACT_SPLITS:
        notes.append(f"permutation p from {N_SAMPLED_SPLITS} random splits, not from all")

    error = repeatability if repeatability is not None else _own_error(first, last)
    smallest = None
    if error is not None and n_first and n_last:
        smallest = compute_smallest_that_counts(error, n_first, n_last, shared_variance)
    missing = [evidence.lacks] if evidence.lacks else []
    if not in_aim:
        missing.append("not in the lesson's aim")
    if not batches_closed:
        missing.append("a batch is still open")
    if not evidence.lacks and _could_undo(first, last, difference):
        missing.append("the values only known as a bound could undo the difference")
    if error is None and (n_first or n_last):
        missing.append(f"the repeatability of {KINDS[name].label} is not known")
    if missing or smallest is None:
        verdict, why = Verdict.NOT_JUDGED, "; ".join(missing)
    else:
        verdict, why = _judge(name, difference, smallest, evidence, n_first, n_last)
    return Comparison(
        name=name,
        key_frame=key_frame,
        n_first=n_first,
        n_last=n_last,
        mean_first=mean_first,
        mean_last=mean_last,
        sd_first=_sd(first.values),
        sd_last=_sd(last.values),
        difference=difference,
        low=evidence.low,
        high=evidence.high,
        welch_t=evidence.welch_t,
        welch_df=evidence.welch_df,
        welch_p=evidence.welch_p,
        hedges_g=evidence.hedges_g,
        permutation_p=evidence.permutation_p,
        verdict=verdict,
        why=why,
        smallest_that_counts=smallest,
        note="; ".join(notes),
        in_aim=in_aim,
    )


def _shared_error(first: Sample, last: Sample) -> tuple[float, list[str]]:
    """Variance that the shared errors add to the difference, and what to say of it."""
    variance = first.shared_sd**2 + last.shared_sd**2
    if variance == 0 or (first.setup and first.setup == last.setup):
        return 0.0, []
    both_named = bool(first.setup and last.setup)
    return variance, [
        "camera not set up the same way" if both_named else "its error may not cancel between the batches"
    ]


def _scale_variance(first: Sample, last: Sample, difference: float) -> float:
    """Variance of a difference inside one set-up: a shared error cancels only as far as it stays the same.

    It changes with the posture, so a difference is read too small or too large in proportion (docs/accuracy.md).
    """
    if not (first.setup and first.setup == last.setup and first.shared_sd + last.shared_sd > 0):
        return 0.0
    return (_SCALE_SD * difference) ** 2


def _bounded_notes(sample: Sample, which: str) -> list[str]:
    if not sample.n_bounded:
        return []
    of = sample.n_bounded + len(sample.values)
    known = f"only known as '{sample.bounded_as}'" if sample.bounded_as else "only known as a bound"
    return [f"{which} batch: {sample.n_bounded} of {of} {known}, left out of the mean"]


def _could_undo(first: Sample, last: Sample, difference: float) -> bool:
    """Whether the true values behind the bounds could shrink the difference of the others."""
    first_could = first.n_bounded > 0 and first.bounded_side * difference >= 0
    last_could = last.n_bounded > 0 and last.bounded_side * difference <= 0
    return first_could or last_could


def _weigh(first: Sample, last: Sample, shared_variance: float, scale_variance: float) -> _Evidence:
    for sample, which in ((first, "first"), (last, "last")):
        if len(sample.values) < 2:
            return _Evidence(lacks=_too_few(sample, which))
    if len(set(first.values)) == 1 and len(set(last.values)) == 1:
        return _Evidence(lacks="neither batch varies, so chance cannot be judged")
    variance = shared_variance + scale_variance
    welch = compute_welch(last.values, first.values, shared_variance=variance)
    likely = compute_welch(last.values, first.values, LIKELY_CONFIDENCE, variance)
    # shuffling swings over batches says nothing of an error that a whole batch has in common
    permutation_p = compute_permutation_p(last.values, first.values) if shared_variance == 0 else None
    return _Evidence(
        low=welch.low,
        high=welch.high,
        welch_t=welch.t,
        welch_df=welch.df,
        welch_p=welch.p,
        hedges_g=compute_hedges_g(last.values, first.values),
        permutation_p=permutation_p,
        is_likely=likely.low > 0 or likely.high < 0,
    )


def _too_few(sample: Sample, which: str) -> str:
    n = len(sample.values)
    if not n and not sample.n_bounded:
        reason = sample.why_missing or "no swing has this number"
        return f"not measured in the {which} batch: {reason}"
    left = "1 value" if n == 1 else "no value"
    if sample.n_bounded:
        known = f" as '{sample.bounded_as}'" if sample.bounded_as else " as a bound"
        return f"{left} left in the {which} batch: {sample.n_bounded} of {sample.n_bounded + n} only known{known}"
    return f"only {left} in the {which} batch; at least 2 are needed"


def _judge(
    name: str, difference: float, smallest: float, evidence: _Evidence, n_first: int, n_last: int
) -> tuple[Verdict, str]:
    said = f"{smallest:.{KINDS[name].decimals + 1}f}{'' if name == 'tempo_ratio' else KINDS[name].unit}"
    if abs(difference) < smallest:
        return Verdict.CANT_TELL, f"the difference is smaller than the smallest that counts ({said})"
    excludes_zero = evidence.low > 0 or evidence.high < 0
    permutes = evidence.permutation_p is None or evidence.permutation_p < SIGNIFICANT_P
    if excludes_zero and permutes:
        return Verdict.CLEAR, f"beyond chance and beyond the smallest that counts ({said})"
    too_few = ""
    if evidence.permutation_p is not None and 2 / count_splits(n_first, n_last) >= SIGNIFICANT_P:
        too_few = f"; {n_first} against {n_last} shots can never be clear, hit more"
    if evidence.is_likely:
        return Verdict.LIKELY, f"beyond the smallest that counts ({said}), but chance is not ruled out{too_few}"
    return Verdict.CANT_TELL, f"the swings of a batch differ too much among themselves{too_few}"


def _own_error(first: Sample, last: Sample) -> float | None:
    """Root mean square of the values' own errors, None unless every value has one."""
    own = (*first.own_sds, *last.own_sds)
    if not own or len(own) < len(first.values) + len(last.values) or not all(sd > 0 for sd in own):
        return None
    return math.sqrt(sum(sd**2 for sd in own) / len(own))


def _mean(values: tuple[float, ...]) -> float:
    return float(np.mean(values)) if values else math.nan


def _sd(values: tuple[float, ...]) -> float:
    return float(np.std(values, ddof=1)) if len(values) > 1 else math.nan
