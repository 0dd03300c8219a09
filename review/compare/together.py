"""Which measures of the body moved together with the aim, over all shots of a lesson."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtr
from scipy.stats import rankdata

from review.compare.keys import keys_in_order
from review.compare.samples import MeasureKey, counted, measures_of_swing
from review.compare.verdict import adjust_holm
from review.lesson import KINDS, Bound, Lesson, Measure, Source, Swing, label

FloatArray = NDArray[np.float64]

MIN_SHOTS = 8
FEW_SHOTS = 30
_Z = 1.959963984540054


@dataclass(frozen=True)
class Companion:
    """A measure beside one of the aim, over ``n`` shots that have both.

    ``rho`` is Spearman's rank correlation, ``low``..``high`` its 95 % interval, ``p`` two-sided,
    ``adjusted_p`` after Holm over all pairs looked at. ``rho_within`` is that of the shots about the
    middle of their own batch: near zero where both only changed between the batches; NaN where it
    cannot be had. ``words`` say it with its caution.
    """

    aim: MeasureKey
    other: MeasureKey
    n: int
    rho: float
    low: float
    high: float
    p: float
    adjusted_p: float
    rho_within: float
    words: str


def find_companions(
    swings: Sequence[Swing], body_measures: Mapping[str, Sequence[Measure]], lesson: Lesson
) -> tuple[Companion, ...]:
    """Find which measures moved together with each measure of the aim, the strongest first.

    The others are all that do not come from the device where the aim does, and the other way round;
    pairs with fewer than 8 shots, or without a spread, are left out, and so are values that are only bounds.
    """
    shots = counted(swings)
    by_swing = {s.id: measures_of_swing(s, body_measures) for s in shots}
    aim, others = keys_in_order(by_swing.values(), lesson.aim_measures)
    found = []
    for one in aim:
        for other in (*aim, *others):
            if _is_device(one) == _is_device(other):
                continue
            if other in aim and aim.index(other) < aim.index(one):
                continue  # told already, the other way round
            pairs = [
                (a, b, s.batch_id)
                for s in shots
                if (a := _exact(by_swing[s.id].get(one))) is not None
                and (b := _exact(by_swing[s.id].get(other))) is not None
            ]
            x, y = np.array([p[0] for p in pairs]), np.array([p[1] for p in pairs])
            if len(pairs) < MIN_SHOTS or np.ptp(x) == 0 or np.ptp(y) == 0:
                continue
            found.append((one, other, x, y, [p[2] for p in pairs]))
    rhos = [compute_spearman(x, y) for _, _, x, y, _ in found]
    adjusted = adjust_holm([p for _, _, _, p in rhos])
    companions = [
        Companion(
            one, other, len(x), rho, low, high, p, holm, _within(x, y, batches), _say(one, other, len(x), rho, holm)
        )
        for (one, other, x, y, batches), (rho, low, high, p), holm in zip(found, rhos, adjusted, strict=True)
    ]
    return tuple(sorted(companions, key=lambda c: (c.adjusted_p, c.p)))


def compute_spearman(
    x: Sequence[float] | FloatArray, y: Sequence[float] | FloatArray
) -> tuple[float, float, float, float]:
    """Compute Spearman's rank correlation, its 95 % interval and two-sided p.

    Parameters
    ----------
    x, y : the same number of values, at least four, both with a spread.

    Returns
    -------
    tuple of float
        rho, low, high, p (Student's t on n - 2).

    References
    ----------
    C. Spearman (1904), Am. J. Psychol. 15:72-101. Interval: D. G. Bonett, T. A. Wright (2000), Sample size
    requirements for estimating Pearson, Kendall and Spearman correlations, Psychometrika 65:23-28: Fisher's z with
    standard error sqrt((1 + rho^2 / 2) / (n - 3)).
    """
    n = len(x)
    if n < 4:
        raise ValueError(f"expected at least 4 pairs, got {n}")
    rho = float(np.corrcoef(rankdata(np.asarray(x)), rankdata(np.asarray(y)))[0, 1])
    # ranks that agree wholly leave no scatter; they are taken for one pair of neighbours changed about
    most = 1 - 12 / (n * (n**2 - 1))
    inner = min(max(rho, -most), most)
    half = _Z * math.sqrt((1 + inner**2 / 2) / (n - 3))
    z = math.atanh(inner)
    low, high = math.tanh(z - half), math.tanh(z + half)
    p = 2 * float(stdtr(n - 2, -abs(inner) * math.sqrt((n - 2) / (1 - inner**2))))
    return rho, min(low, rho), max(high, rho), p


def _within(x: FloatArray, y: FloatArray, batches: Sequence[str | None]) -> float:
    names = np.array([name or "" for name in batches])
    rest = [v.copy() for v in (x, y)]
    for name in set(names):
        for v in rest:
            v[names == name] -= np.median(v[names == name])
    if len(set(names)) < 2 or any(np.ptp(v) == 0 for v in rest):
        return math.nan
    return compute_spearman(*rest)[0]


def _say(one: MeasureKey, other: MeasureKey, n: int, rho: float, adjusted_p: float) -> str:
    way = "went up and down together" if rho > 0 else "went opposite ways"
    said = f"{label(*other)} and {label(*one)} {way} over {n} shots"
    if not adjusted_p < 0.05:
        return f"{said}; with so many pairs looked at it may well be chance"
    few = "; with so few shots it may still be chance" if n < FEW_SHOTS else ""
    return f"{said}; that does not say which made which{few}"


def _exact(measure: Measure | None) -> float | None:
    return None if measure is None or measure.why_missing or measure.bound is not Bound.NONE else measure.value


def _is_device(key: MeasureKey) -> bool:
    return KINDS[key[0]].source is Source.DEVICE
