"""Which cue moved a measure, over all lessons of a pupil: every time it was given, the batch with it against before."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from review.compare.samples import Sample
from review.compare.shared_error import find_shared_variance
from review.compare.statistics import Values, compute_variance, compute_welch_df

_CONFIDENCE = 0.95


@dataclass(frozen=True)
class CueGiven:
    """A cue as it was given once: ``before`` are the values of the batch before it, ``after`` those with it.

    Where it was kept up over several batches in a row, ``after`` is the last of them.
    """

    cue: str
    feel: str
    lesson_id: str
    before: Sample
    after: Sample


@dataclass(frozen=True)
class CueWorked:
    """What a cue came to over all times it was given, in the measure's unit and sign.

    ``change`` is the mean change with its 95 % interval; ``n_with`` of ``n_given`` times it went that way.
    ``evidence`` is the change in its own standard errors, what cues are ranked by. ``feels`` are what was said of it,
    the feel of the largest change that way first, which was said ``n_felt`` of the times.
    """

    cue: str
    feels: tuple[str, ...]
    n_given: int
    n_with: int
    change: float
    low: float
    high: float
    evidence: float
    n_felt: int = 0


def fold_cue(cue: str) -> str:
    """The same cue whatever its case and spaces."""
    return " ".join(cue.casefold().split())


def rank_cues(given: Sequence[CueGiven], wanted: int = 0) -> tuple[CueWorked, ...]:
    """Rank cues by how surely they moved a measure, the surest first.

    Parameters
    ----------
    given : the same cue is one whatever its case and spaces; times with fewer than two values in a batch do not count.
    wanted : 1 or -1 where the measure is to go up or down: what went the other way comes last; 0 = either way counts.
    """
    by_cue: dict[str, list[CueGiven]] = {}
    for one in given:
        if one.cue.strip() and len(one.before.values) > 1 and len(one.after.values) > 1:
            by_cue.setdefault(fold_cue(one.cue), []).append(one)
    worked = [found for times in by_cue.values() if (found := _sum_up(times)) is not None]
    return tuple(sorted(worked, key=lambda w: w.evidence * (wanted or math.copysign(1, w.evidence)), reverse=True))


def pool_changes(changes: Values, variances: Values) -> tuple[float, float, float]:
    """Pool changes that may truly differ from time to time: their mean, its standard error, and how far they differ.

    Parameters
    ----------
    changes, variances : (n,) each change and the squared standard error of it, in the measure's unit.

    Returns
    -------
    Mean, standard error, variance of the true changes between times (0 where they differ no more than by chance).

    References
    ----------
    R. DerSimonian, N. Laird (1986), Meta-analysis in clinical trials, Controlled Clinical Trials 7:177-188.
    """
    y, v = np.asarray(changes, dtype=np.float64), np.asarray(variances, dtype=np.float64)
    weights = 1 / v
    fixed = float((weights * y).sum() / weights.sum())
    q = float((weights * (y - fixed) ** 2).sum())
    scale = float(weights.sum() - (weights**2).sum() / weights.sum())
    between = max(0.0, (q - (len(y) - 1)) / scale) if scale > 0 else 0.0
    weights = 1 / (v + between)
    return float((weights * y).sum() / weights.sum()), float(1 / math.sqrt(weights.sum())), between


def _sum_up(times: Sequence[CueGiven]) -> CueWorked | None:
    changes, variances, df = [], [], 0.0
    counted: list[CueGiven] = []
    for one in times:
        of_before, of_after = (compute_variance(s.array) / len(s.values) for s in (one.before, one.after))
        shared = find_shared_variance(one.before, one.after)[0]
        if of_before + of_after > 0:
            counted.append(one)
            changes.append(float(one.after.array.mean() - one.before.array.mean()))
            variances.append(of_before + of_after + shared)
            df += compute_welch_df(of_before, of_after, (len(one.before.values), len(one.after.values)), shared)
    if not changes:
        return None
    change, error, _ = pool_changes(changes, variances)
    half = float(stdtrit(df, 0.5 + _CONFIDENCE / 2)) * error
    sign = math.copysign(1, change)
    strongest = sorted(counted, key=lambda one: sign * (one.after.array.mean() - one.before.array.mean()), reverse=True)
    feels = tuple(dict.fromkeys(one.feel.strip() for one in strongest if one.feel.strip()))
    return CueWorked(
        cue=times[-1].cue.strip(),
        feels=feels,
        n_given=len(changes),
        n_with=sum(value * sign > 0 for value in changes),
        change=change,
        low=change - half,
        high=change + half,
        evidence=change / error,
        n_felt=sum(one.feel.strip() == feels[0] for one in counted) if feels else 0,
    )
