"""Pairs offered where a side has no times: swings and rows in order, with gaps on both sides."""

from collections.abc import Mapping, Sequence

import numpy as np

from review.sync.alignment import compute_pair_chances
from review.sync.matching import decide
from review.sync.moments import Group, RowMoment
from review.sync.reasons import list_what_is_alone
from review.sync.results import Matching, Question
from review.sync.windows import SILENT_BUT_STRUCK

_MISSING = 0.05
_MOST = 0.8
_WORTH_ASKING = 0.1


def match_by_order(
    groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None] | None = None
) -> Matching:
    """Offer pairs in order where a side has no times: every one is a question, none is made silently.

    Notes
    -----
    A swing in which no strike is heard among others in which one is mostly has no row. The coach's pairs hold, and
    nothing crosses them, so an answer in the middle settles where a gap lies.
    """
    fixed = fixed or {}
    decided = decide(groups, rows, fixed)
    ordered = sorted(range(len(rows)), key=lambda j: rows[j].order)
    row_ids = [rows[j].row_id for j in ordered]
    said = {pair.clip_ids[0]: pair.row_id for pair in decided}
    is_sound = any(m.heard for g in groups for m in g)
    likelihood = np.zeros((len(groups), len(rows)))
    for i, group in enumerate(groups):
        if group[0].clip_id in said:
            # as good as certain, beside a likelihood of 400 for one without any doubt
            likelihood[i, row_ids.index(said[group[0].clip_id])] = 1e9
        elif not any(m.clip_id in fixed for m in group):
            heard = any(m.heard for m in group)
            struck = 1.0 - _MISSING**2 if heard or not is_sound else SILENT_BUT_STRUCK
            alone = _MISSING * (1.0 - (1.0 - _MISSING) * struck)
            likelihood[i] = (1.0 - _MISSING) ** 2 * struck / alone
    taken = np.array([row_id in said.values() for row_id in row_ids], dtype=bool)
    is_open = np.array([g[0].clip_id not in said for g in groups], dtype=bool)
    likelihood[np.ix_(is_open, taken)] = 0.0
    chances = compute_pair_chances(likelihood)
    n_struck = sum(any(m.heard for m in g) or not is_sound for g in groups)
    counted = f" {n_struck} swings struck a ball, {len(rows)} rows: where one is missing, later ones may be shifted."
    questions: list[Question] = []
    for i, group in enumerate(groups):
        if any(m.clip_id in fixed for m in group) or not len(rows):
            continue
        j = int(np.argmax(chances[i]))
        if chances[i, j] < _WORTH_ASKING:
            continue
        text = f"Without times on both sides only the order speaks for it.{'' if questions else counted}"
        clip_ids = tuple(m.clip_id for m in group)
        questions.append(Question(clip_ids, row_ids[j], min(_MOST, float(chances[i, j])), text))
    return list_what_is_alone(Matching(pairs=decided, questions=tuple(questions)), groups, rows, fixed)
