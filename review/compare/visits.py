"""From visit to visit: what of a change held until the pupil came back, and whether the old value did."""

import math
from dataclasses import dataclass
from enum import StrEnum

from scipy.special import ndtri, stdtrit

from review.compare.samples import Sample
from review.compare.shared_error import find_shared_variance, say_too_few
from review.compare.statistics import compute_variance, compute_welch, compute_welch_df

_CONFIDENCE = 0.95


class Held(StrEnum):
    """What became of a change by the next visit."""

    HELD = "held"
    PARTLY = "partly held"
    CAME_BACK = "came back"
    CANT_TELL = "can't tell"
    NO_CHANGE = "no change to hold"


@dataclass(frozen=True)
class Kept:
    """The change of one visit, seen at the first batch of the next.

    ``change`` is that visit's last batch less its first, ``since`` the next visit's first batch less that last one,
    with its 95 % interval, in the measure's unit. ``share`` is the part of the change that is left (1 = all, 0 = none,
    below 0 = beyond the old value) with its 95 % interval, NaN where the change is too small against its error for one.
    """

    outcome: Held
    change: float = math.nan
    since: float = math.nan
    since_low: float = math.nan
    since_high: float = math.nan
    share: float = math.nan
    share_low: float = math.nan
    share_high: float = math.nan
    why: str = ""


def judge_kept(old_first: Sample, old_last: Sample, new_first: Sample, *, was_change: bool) -> Kept:
    """Say what of a visit's change was still there when the pupil came back.

    *Came back*: the old first value lies inside the 95 % interval of what is there now, the old last value does not;
    *held*: the other way round, or further on in the direction of the change; *partly*: neither, in between; *can't
    tell*: both, with ``why`` saying whether more balls could narrow it. The interval is that of the difference, so that
    it has the scatter of both batches in it, and what two camera set-ups add (:func:`find_shared_variance`).

    Parameters
    ----------
    was_change : whether the change of that visit was clear or likely; without one there is nothing to hold.
    """
    for sample, which in ((old_first, "first"), (old_last, "last"), (new_first, "next visit's first")):
        if len(sample.values) < 2:
            return Kept(Held.CANT_TELL, why=say_too_few(sample, which))
    a, b, c = (float(sample.array.mean()) for sample in (old_first, old_last, new_first))
    if not was_change:
        low, high = _find_interval(old_last, new_first)
        return Kept(Held.NO_CHANGE, b - a, c - b, low, high, why="that visit's change was neither clear nor likely")
    if all(compute_variance(sample.array) == 0 for sample in (old_last, new_first)) or all(
        compute_variance(sample.array) == 0 for sample in (old_first, new_first)
    ):
        return Kept(Held.CANT_TELL, b - a, c - b, why="the batches do not vary, so chance cannot be judged")
    since = compute_welch(new_first.array, old_last.array, _CONFIDENCE, find_shared_variance(old_last, new_first)[0])
    back = compute_welch(new_first.array, old_first.array, _CONFIDENCE, find_shared_variance(old_first, new_first)[0])
    share, low, high = estimate_share(old_first, old_last, new_first)
    is_like_last, is_like_first = since.low <= 0 <= since.high, back.low <= 0 <= back.high
    left = (c - a) / (b - a) if b != a else math.nan
    if is_like_last and is_like_first:
        outcome, why = Held.CANT_TELL, _say_what_would_tell(old_first, old_last, new_first)
    elif is_like_last or (not is_like_first and left > 1):
        outcome, why = Held.HELD, ""
    elif is_like_first or left < 0:
        outcome, why = Held.CAME_BACK, ""
    else:
        outcome, why = Held.PARTLY, ""
    return Kept(outcome, b - a, c - b, since.low, since.high, share, low, high, why)


def _say_what_would_tell(old_first: Sample, old_last: Sample, new_first: Sample) -> str:
    """Why both values fit: too few balls, or an error of two camera set-ups that more balls leave as it is."""
    both_fit = "both the old and the new value fit what is there now"
    shared = max(find_shared_variance(old, new_first)[0] for old in (old_first, old_last))
    of_balls = sum(compute_variance(s.array) / len(s.values) for s in (old_last, new_first))
    now = float(new_first.array.mean())
    further = max(abs(now - float(old.array.mean())) for old in (old_first, old_last))
    would_fit_with_any_number = further <= float(ndtri(0.5 + _CONFIDENCE / 2)) * math.sqrt(shared)
    if shared > 0 and (shared >= of_balls or would_fit_with_any_number):
        return f"{both_fit}; the camera stood differently; more balls will not tell"
    return f"{both_fit}; more balls would tell"


def _find_interval(old: Sample, new: Sample) -> tuple[float, float]:
    """The 95 % interval of ``new`` less ``old``, NaN where neither varies."""
    if compute_variance(old.array) == 0 and compute_variance(new.array) == 0:
        return math.nan, math.nan
    welch = compute_welch(new.array, old.array, _CONFIDENCE, find_shared_variance(old, new)[0])
    return welch.low, welch.high


def estimate_share(old_first: Sample, old_last: Sample, new_first: Sample) -> tuple[float, float, float]:
    """Estimate the part of a change that is left, (new - first) / (last - first), with its 95 % interval.

    Parameters
    ----------
    old_first, old_last, new_first : at least two values each.

    Returns
    -------
    The part and its interval; all NaN where the change cannot be told from none, so that any part would fit.

    References
    ----------
    E. C. Fieller (1954), Some problems in interval estimation, J. R. Stat. Soc. B 16:175-185; the mean that numerator
    and denominator share gives their covariance.
    """
    a, b, c = (float(sample.array.mean()) for sample in (old_first, old_last, new_first))
    of_a, of_b, of_c = (compute_variance(s.array) / len(s.values) for s in (old_first, old_last, new_first))
    between = find_shared_variance(old_first, new_first)[0]
    n_a, n_b, n_c = (len(sample.values) for sample in (old_first, old_last, new_first))
    nothing = (math.nan, math.nan, math.nan)
    if of_a + of_b == 0 or of_a + of_c == 0:
        return nothing
    above, below = c - a, b - a
    var_above, var_below, both = of_a + of_c + between, of_a + of_b, of_a
    df = min(compute_welch_df(of_a, of_b, (n_a, n_b)), compute_welch_df(of_a, of_c, (n_a, n_c), between))
    t2 = float(stdtrit(df, 0.5 + _CONFIDENCE / 2)) ** 2
    lead = below**2 - t2 * var_below
    if lead <= 0:
        return nothing
    middle = above * below - t2 * both
    root = middle**2 - lead * (above**2 - t2 * var_above)
    half = math.sqrt(max(root, 0.0))
    return above / below, (middle - half) / lead, (middle + half) / lead
