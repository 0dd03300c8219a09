"""Verdicts on comparisons: of one measure alone, and of all measures of an aim together."""

from collections.abc import Sequence
from dataclasses import replace

from review.compare.comparison import Comparison
from review.compare.power import MOST_SHOTS, find_more_shots
from review.compare.verdict import CLEAR_P, Verdict, adjust_holm, judge


def judge_alone(comparison: Comparison, is_brief: bool = False) -> Comparison:
    """Judge a comparison that lacks nothing, as if the aim had no other measure; ``is_brief`` as in comparing."""
    return _judged(comparison, comparison.p, 1, is_brief=is_brief)


def judge_together(
    comparisons: Sequence[Comparison], of: str = "measures", *, is_brief: bool = False
) -> tuple[Comparison, ...]:
    """Judge the measures of an aim against each other: with more of them, one is easily out of line by chance.

    Their p are adjusted after Holm over all that can be judged; those not judged are left as they are. ``of`` says what
    they are: batches, where it is one measure of many batches.
    """
    places = [i for i, c in enumerate(comparisons) if c.verdict is not Verdict.NOT_JUDGED]
    adjusted = dict(zip(places, adjust_holm([comparisons[i].p for i in places]), strict=True))
    return tuple(
        _judged(c, adjusted[i], len(places), of, is_brief) if i in adjusted else c for i, c in enumerate(comparisons)
    )


def _judged(
    c: Comparison, adjusted_p: float, n_together: int, of: str = "measures", is_brief: bool = False
) -> Comparison:
    if c.smallest_that_counts is None:
        raise ValueError(f"{c.label} cannot be judged without its repeatability")
    verdict, why = judge(
        c.name,
        c.difference,
        c.smallest_that_counts,
        p=c.p,
        adjusted_p=adjusted_p,
        welch_p=c.welch_p,
        n_first=c.n_first,
        n_last=c.n_last,
        is_permuted=c.permutation_p is not None,
        n_together=n_together,
        of=of,
    )
    more, words = (None, "") if is_brief or verdict is Verdict.CLEAR else _more_shots(c, n_together)
    return replace(c, verdict=verdict, why=why, adjusted_p=adjusted_p, more_shots=more, more_shots_words=words)


def _more_shots(c: Comparison, n_together: int) -> tuple[int | None, str]:
    is_permuted = c.permutation_p is not None
    more = find_more_shots(
        c.difference,
        (c.sd_first, c.sd_last),
        (c.n_first, c.n_last),
        c.typical_error or 0.0,
        CLEAR_P / n_together,
        known_variance=c.setup_sd**2,
        shared_variance=0.0 if is_permuted else c.setup_sd**2,
        is_permuted=is_permuted,
    )
    if more is None:
        return None, f"not today: it would take more than {MOST_SHOTS} further shots"
    return more, f"about {more} more shot{'' if more == 1 else 's'} like these would make it clear, with an even chance"
