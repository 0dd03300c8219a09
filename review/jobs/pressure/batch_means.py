"""Means of a batch's pressure numbers, and how well they are known."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy import stats

from review.jobs.pressure.means import is_impact_known
from review.jobs.pressure.measuring import SwingPressure
from review.lesson import Z90, Bound, KeyFrameName, Measure

TOLD = (("pressure_position_pct", "impact"), ("pressure_position_pct", "top"), ("pressure_return_cm", ""))
"""What is told of a batch at a glance, in this order."""
_HANG_ON_IMPACT = {"pressure_return_cm", "pressure_peak_ms"}
_AT_IMPACT = {str(KeyFrameName.ARM_LEVEL), str(KeyFrameName.IMPACT)}


@dataclass(frozen=True)
class PressureMean:
    """Mean over the ``n_swings`` of a batch that have the number; unit and sign of ``name``.

    ``half`` is half of its 90 % interval, NaN where not known; ``is_about``: where the feet stood was not seen.
    """

    name: str
    key_frame: str
    mean: float
    half: float
    n_swings: int
    is_about: bool = False


def average_pressure(
    swings: Sequence[SwingPressure], keys: Sequence[tuple[str, str]] = TOLD
) -> tuple[PressureMean, ...]:
    """Means of the numbers with these names and key frames that any swing of a batch has.

    Where most swings tell impact by their fastest move only, what hangs on it has none: they err alike.
    """
    found = []
    for name, key_frame in keys:
        if (name in _HANG_ON_IMPACT or key_frame in _AT_IMPACT) and not is_impact_known(swings):
            continue
        having = [(one, m) for one in swings for m in one.measures if (m.name, m.key_frame) == (name, key_frame)]
        having = [(one, m) for one, m in having if not m.why_missing and m.bound is Bound.NONE]
        if having:
            mean, half = average([m for _, m in having])
            is_about = name == "pressure_position_pct" and any(one.path.placement.is_approximate for one, _ in having)
            found.append(PressureMean(name, key_frame, mean, half, len(having), is_about))
    return tuple(found)


def average(measures: Sequence[Measure]) -> tuple[float, float]:
    """The mean of one number of several swings, and half of its 90 % interval (NaN where not known).

    The interval is Student's of how the swings differ, which holds their own errors too; never narrower than these
    make it; what all of them err by in common is added.
    """
    n = len(measures)
    mean = sum(m.value for m in measures) / n
    own = Z90 * math.sqrt(sum(m.own_sd**2 for m in measures)) / n
    shared = Z90 * math.sqrt(sum(m.shared_sd**2 for m in measures) / n)
    spread = 0.0
    if n > 1:
        sd = math.sqrt(sum((m.value - mean) ** 2 for m in measures) / (n - 1))
        spread = float(stats.t.ppf(0.95, n - 1)) * sd / math.sqrt(n)
    half = math.hypot(max(own, spread), shared)
    return mean, half if half > 0 else math.nan
