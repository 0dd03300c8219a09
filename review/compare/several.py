"""All batches of a lesson, or of several lessons, in order: one measure along the way."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit
from scipy.stats import kendalltau

from review.compare.comparing import compare_samples
from review.compare.comparison import Comparison
from review.compare.conditions import Difference
from review.compare.drift import Drift, find_drift
from review.compare.judging import judge_together
from review.compare.samples import Sample
from review.compare.statistics import compute_variance
from review.compare.verdict import say_size
from review.compare.window import Window

MIN_BATCHES = 3
_N_SHUFFLES = 9_999
_SEED = 9_999


@dataclass(frozen=True)
class Point:
    """One batch of a measure; ``low``..``high`` is the 95 % interval of its mean from its scatter, NaN below n 2."""

    n: int
    mean: float
    sd: float
    low: float
    high: float


@dataclass(frozen=True)
class Trend:
    """Whether a measure keeps going one way over the batches.

    ``jonckheere`` counts the pairs of shots of two batches in which the later is larger (ties half),
    ``p`` is two-sided, by shuffling the shots over the batches. ``slope_per_batch`` is the middle of
    the slopes between two batches' means, in the measure's unit; NaN where there are fewer than three batches.
    """

    jonckheere: float
    p: float
    slope_per_batch: float


@dataclass(frozen=True)
class Course:
    """One measure over all batches in order.

    ``against_first`` has one comparison for every later batch, judged together (Holm). ``drift`` is
    what goes on inside the batches, over all of them. ``remarks`` are sentences, only where notable.
    """

    name: str
    key_frame: str
    points: tuple[Point, ...]
    against_first: tuple[Comparison, ...]
    trend: Trend
    drift: Drift
    remarks: tuple[str, ...]


def compare_course(
    name: str,
    samples: Sequence[Sample],
    *,
    key_frame: str = "",
    repeatability: float | None,
    batches_closed: Sequence[bool],
    in_aim: bool,
    window: Window | None = None,
    warnings: Sequence[Sequence[Difference]] = (),
    accept_different: bool = False,
) -> Course:
    """Compare one measure over all batches in order, each against the first.

    Parameters
    ----------
    samples : one a batch, in order, at least two; they may come from different lessons.
    batches_closed : one a batch.
    warnings : one a batch: what differs between the first batch and this one; or ().
    repeatability, window, accept_different : as for :func:`compare_samples`.

    Raises
    ------
    ValueError
        When there are fewer than two batches, or the counts do not agree.
    """
    if len(samples) < 2 or len(batches_closed) != len(samples) or len(warnings) not in (0, len(samples)):
        raise ValueError("expected two batches or more, and one entry a batch in batches_closed and warnings")
    against = judge_together(
        [
            compare_samples(
                name,
                samples[0],
                sample,
                key_frame=key_frame,
                repeatability=repeatability,
                batches_closed=batches_closed[0] and batches_closed[i],
                in_aim=in_aim,
                window=window,
                warnings=warnings[i] if warnings else (),
                accept_different=accept_different,
            )
            for i, sample in enumerate(samples[1:], start=1)
        ],
        of="batches",
    )
    trend, drift = find_trend([s.values for s in samples]), find_drift(*(s.values for s in samples))
    return Course(
        name,
        key_frame,
        tuple(make_point(sample.values) for sample in samples),
        against,
        trend,
        drift,
        _say(name, trend, drift, samples),
    )


def find_trend(batches: Sequence[Sequence[float]]) -> Trend:
    """Look for a trend over batches in order.

    References
    ----------
    A. R. Jonckheere (1954), A distribution-free k-sample test against ordered alternatives, Biometrika 41:133-145;
    slope after Theil (1950).
    """
    filled = [(i, np.asarray(batch, dtype=np.float64)) for i, batch in enumerate(batches) if len(batch)]
    if len(filled) < MIN_BATCHES:
        return Trend(math.nan, math.nan, math.nan)
    order = np.concatenate([np.full(len(values), i) for i, values in filled])
    values = np.concatenate([values for _, values in filled])
    sizes = [len(v) for _, v in filled]
    n_pairs = (len(values) ** 2 - sum(n**2 for n in sizes)) / 2
    score, p = _order_score(order, values)
    means = np.array([v.mean() for _, v in filled])
    places = np.array([i for i, _ in filled])
    earlier, later = np.triu_indices(len(filled), k=1)
    slope = float(np.median((means[later] - means[earlier]) / (places[later] - places[earlier])))
    return Trend((score + n_pairs) / 2, p, slope)


def _order_score(order: np.ndarray, values: np.ndarray) -> tuple[float, float]:
    """Pairs of two batches in which the later is larger less those in which it is smaller, and its p by shuffling."""
    if len(values) > 300:  # normal limit with ties in the batches, as Kendall's tau-b has it
        found = kendalltau(order, values, method="asymptotic")
        ties = [np.unique(a, return_counts=True)[1] for a in (order, values)]
        total = len(values) * (len(values) - 1) / 2
        free = [total - float((t * (t - 1) / 2).sum()) for t in ties]
        return float(found.statistic) * math.sqrt(free[0] * free[1]), float(found.pvalue)
    side = np.sign(values[None, :] - values[:, None])
    random = np.random.default_rng(_SEED)
    shuffled = random.permuted(np.broadcast_to(order, (_N_SHUFFLES, len(order))), axis=1)
    rows = np.vstack([order[None, :], shuffled])
    scores = np.zeros(len(rows))
    for i in range(len(values)):
        scores += np.sign(rows[:, i + 1 :] - rows[:, i : i + 1]) @ side[i, i + 1 :]
    above, below = int((scores >= scores[0]).sum()), int((scores <= scores[0]).sum())
    return float(scores[0]), min(1.0, 2 * min(above, below) / len(scores))


def make_point(values: Sequence[float]) -> Point:
    """The mean of some values with its interval; NaN where there are too few."""
    n = len(values)
    mean = float(np.mean(values)) if n else math.nan
    if n < 2:
        return Point(n, mean, math.nan, math.nan, math.nan)
    sd = math.sqrt(compute_variance(values))
    half = float(stdtrit(n - 1, 0.975)) * sd / math.sqrt(n)
    return Point(n, mean, sd, mean - half, mean + half)


def _say(name: str, trend: Trend, drift: Drift, samples: Sequence[Sample]) -> tuple[str, ...]:
    said = []
    if trend.p < 0.05:
        said.append(
            f"it keeps going one way over the batches, about {say_size(name, trend.slope_per_batch, 1)} a batch"
        )
    if drift.is_notable:
        step = say_size(name, drift.slope_per_shot, 1)
        said.append(f"within the batches it moves too, about {step} a shot: warming up or tiring may play a part")
    elif drift.is_alike:
        said.append("neighbouring shots are alike: they tell less than their number")
    if len({s.setup for s in samples if s.values and s.shared_sd > 0}) > 1:
        said.append("camera not set up the same way in all batches")
    return tuple(said)
