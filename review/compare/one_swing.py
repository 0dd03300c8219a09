"""One swing from elsewhere beside a batch: whether it could be one more swing of it."""

import math
from dataclasses import dataclass

from scipy.special import stdtrit

from review.compare.samples import MeasureKey, Sample
from review.compare.statistics import compute_variance
from review.lesson import Measure

_LEAST = 2
_MANY = 1e6


@dataclass(frozen=True)
class Beside:
    """One measure of a swing beside a batch of ``n`` ``values`` with this ``mean``, in the measure's unit and sign.

    ``low``..``high`` is where one more swing of the batch would read, seen by the other camera. ``could_be`` says
    whether the swing lies inside.
    """

    key: MeasureKey
    measure: Measure
    n: int
    mean: float
    low: float
    high: float
    values: tuple[float, ...] = ()

    @property
    def could_be(self) -> bool:
        """Whether it could be one more swing of the batch."""
        return self.low <= self.measure.value <= self.high

    @property
    def outside(self) -> float:
        """How far the swing lies from the middle of the interval, in half widths of it: above 1 is outside."""
        half = (self.high - self.low) / 2
        return abs(self.measure.value - (self.low + self.high) / 2) / half if half > 0 else 0.0


def say_why_not_beside(measure: Measure, sample: Sample) -> str:
    """Why a swing's number cannot be put beside a batch's; '' where it can."""
    if measure.why_missing:
        return measure.why_missing
    if measure.bound:
        return "the clip gives only a bound of it, no number"
    if len(sample.values) < _LEAST:
        return "fewer than two swings of the batch have a number of it"
    return ""


def put_beside(key: MeasureKey, measure: Measure, sample: Sample, n_together: int = 1) -> Beside | None:
    """Put a swing's number beside a batch's; None where either has too little.

    The interval is that for one further observation, 95 % over all ``n_together`` measures that are looked at
    (Bonferroni). Its scatter is the batch's, or the number's own error where that is larger; the shared errors of both
    camera set-ups are added, since they never cancel between two.

    References
    ----------
    G. J. Hahn, W. Q. Meeker (1991), Statistical Intervals, Wiley, section 4.7 (from memory).
    """
    if say_why_not_beside(measure, sample):
        return None
    n, variance = len(sample.values), compute_variance(sample.array)
    shared = sample.shared_sd**2 + measure.shared_sd**2
    error = math.sqrt(variance / n + max(variance, measure.own_sd**2) + shared)
    # what is known beforehand adds no uncertainty of its own (Satterthwaite)
    estimated = variance / n + (variance if variance >= measure.own_sd**2 else 0.0)
    df = (n - 1) * (error**2 / estimated) ** 2 if estimated > 0 else _MANY
    half = float(stdtrit(min(df, _MANY), 1 - 0.025 / n_together)) * error
    mean = float(sample.array.mean())
    return Beside(key, measure, n, mean, mean - half, mean + half, sample.values)
