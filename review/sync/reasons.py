"""Why clips and rows are paired, or stay alone, in the coach's words."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from review.sync.moments import Group, RowMoment
from review.sync.results import Matching, Pairing, Question

_PROVES_NOTHING = 3


def explain_pair(group: Group, residual_s: float) -> str:
    """Why clip and row are taken for one swing."""
    heard = "the strike heard" if any(m.heard for m in group) else "the clip (no strike heard)"
    return f"{heard} and the row's time agree within {abs(residual_s):.1f} s once the clocks are set right"


def why_doubted(n_balls: int, why: str) -> str:
    """Why a pair is asked for; few balls agree whatever they are, since the clocks were set by them."""
    if n_balls <= _PROVES_NOTHING:
        by = "this ball" if n_balls == 1 else f"these {n_balls} balls"
        return f"Only {by} to go by, too little to tell by the clocks."
    return why


def why_refused(n_agree: int, n_clips: int, n_rows: int) -> str:
    """Why a table is taken for another lesson's."""
    return (
        f"however far the clocks stand apart, at most {n_agree} of {n_clips} swings fall on one of {n_rows} "
        "rows, no more than by chance."
    )


def list_what_is_alone(
    matching: Matching, groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None]
) -> Matching:
    """Add what has no partner, with the reason."""
    asked_or_paired: list[Pairing | Question] = [*matching.pairs, *matching.questions]
    busy = {clip_id for item in asked_or_paired for clip_id in item.clip_ids}
    taken = {item.row_id for item in asked_or_paired}
    is_sound = any(m.heard for g in groups for m in g)
    return replace(
        matching,
        unmatched_groups=tuple(
            (g, _why_no_row(g, is_sound, bool(rows), fixed)) for g in groups if g[0].clip_id not in busy
        ),
        unmatched_rows=tuple((r, "no clip was filmed at its time.") for r in rows if r.row_id not in taken),
    )


def _why_no_row(group: Group, is_sound: bool, has_rows: bool, fixed: Mapping[str, str | None]) -> str:
    if any(moment.clip_id in fixed for moment in group):
        if any(fixed.get(moment.clip_id) is not None for moment in group):
            return "the row you gave it is not in this table, or you gave it to another swing later."
        return "you said it has no row."
    if not has_rows:
        return "there is no shot table."
    if all(moment.start_clock_s is None for moment in group):
        return "the clip does not say when it was filmed."
    if is_sound and not any(moment.heard for moment in group):
        return "no strike is heard and no row lies at its time: a practice swing."
    return "a strike is heard, but the table has no row at its time."
