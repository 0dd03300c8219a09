"""Which clip is which shot: rows of the device's table paired with clips under an unknown clock offset."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import linear_sum_assignment

from review.sync.moments import Group, RowMoment
from review.sync.offset import SLACK_S, Intervals, Offset, compute_density, compute_hit_chance, find_offset

SURE = 0.9
"""A pairing less probable than this is a question for the coach."""
_UNPAIRED = 0.05
_SILENT_BUT_STRUCK = 0.02
_ENOUGH_TO_REFUSE = 4
_TOO_COARSE = 0.5


@dataclass(frozen=True)
class Pairing:
    """Clips of one swing and the row that belongs to them."""

    clip_ids: tuple[str, ...]
    row_id: str
    probability: float
    why: str


@dataclass(frozen=True)
class Question:
    """A pairing that the coach has to decide; ``probability`` is how likely it is."""

    clip_ids: tuple[str, ...]
    row_id: str
    probability: float
    text: str


@dataclass(frozen=True)
class Matching:
    """Pairs, questions, and what stayed alone with the reason.

    ``offset_s`` is camera minus device with its spread (SD of what clips and rows leave possible); ``refused`` says
    why clips and table do not belong together, '' when they do.
    """

    pairs: tuple[Pairing, ...] = ()
    questions: tuple[Question, ...] = ()
    unmatched_groups: tuple[tuple[Group, str], ...] = ()
    unmatched_rows: tuple[tuple[RowMoment, str], ...] = ()
    offset_s: float | None = None
    offset_spread_s: float | None = None
    refused: str = ""


def match_by_clock(
    groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None] | None = None
) -> Matching:
    """Pair clips and rows by their clocks.

    Parameters
    ----------
    groups : clips of one swing each, see ``group_clips``.
    rows : rows of the table.
    fixed : the coach's own pairings, clip id to row id (None = no row); they are kept and help to find the offset.

    Notes
    -----
    The offset and how far it can be trusted come from ``find_offset``: an offset no better than chance is refused as
    another lesson's where there is enough to tell, a doubtful one becomes questions. Then clips and rows are assigned
    one to one (Hungarian method) by the likelihood of their residual, against staying alone.
    """
    fixed = fixed or {}
    decided = _decide(groups, rows, fixed)
    open_groups = [g for g in groups if not any(m.clip_id in fixed for m in g)]
    taken = {pair.row_id for pair in decided}
    open_rows = [r for r in rows if r.row_id not in taken]
    offset = _fit(decided, groups, rows, fixed)
    if offset is None:
        return _alone(decided, groups, rows, None, fixed)
    if not open_groups or not open_rows:
        return _alone(decided, groups, rows, offset if offset.is_sure else None, fixed)
    pairs, questions = _assign(open_groups, open_rows, offset)
    if offset.is_sure:
        return _alone((*decided, *pairs), groups, rows, offset, fixed, questions)
    if not offset.is_possible:
        refused = _why_refused(open_groups, open_rows, offset)
        if refused:
            return replace(_alone(decided, groups, rows, None, fixed), refused=refused)
    asked = (
        *questions,
        *(Question(p.clip_ids, p.row_id, 0.5, f"The clocks' difference is not sure, but {p.why}") for p in pairs),
    )
    return _alone(decided, groups, rows, None, fixed, asked)


def match_by_order(
    groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None] | None = None
) -> Matching:
    """Offer pairs in order where a side has no times: every one is a question, none is made silently."""
    decided = _decide(groups, rows, fixed or {})
    taken = {pair.row_id for pair in decided}
    known = {clip_id for pair in decided for clip_id in pair.clip_ids}
    open_groups = [g for g in groups if not any(m.clip_id in known or m.clip_id in (fixed or {}) for m in g)]
    open_rows = sorted((r for r in rows if r.row_id not in taken), key=lambda r: r.order)
    same = len(open_groups) == len(open_rows)
    probability = 0.8 if same else 0.4
    counted = (
        "" if same else f" There are {len(open_groups)} swings but {len(open_rows)} rows, so later ones may be shifted."
    )
    questions = tuple(
        Question(
            tuple(m.clip_id for m in group),
            row.row_id,
            probability,
            f"Without times on both sides only the order speaks for it.{counted if i == 1 else ''}",
        )
        for i, (group, row) in enumerate(zip(open_groups, open_rows, strict=False), start=1)
    )
    return _alone(decided, groups, rows, None, fixed or {}, questions)


def _decide(groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None]) -> tuple[Pairing, ...]:
    """Pair what the coach said; of two swings given one row the later in ``fixed`` has it."""
    known = {row.row_id for row in rows}
    owner: dict[str, int] = {}
    home = {moment.clip_id: i for i, group in enumerate(groups) for moment in group}
    for clip_id, row_id in fixed.items():
        if row_id in known and row_id is not None and clip_id in home:
            owner = {row: i for row, i in owner.items() if i != home[clip_id]}
            owner[row_id] = home[clip_id]
    return tuple(
        Pairing(tuple(m.clip_id for m in groups[i]), row_id, 1.0, "paired by you.") for row_id, i in owner.items()
    )


def _clip_intervals(groups: Sequence[Group]) -> Intervals:
    """When every swing's ball was struck on the camera's clock: what all its cameras allow."""
    spans = [_span(group) for group in groups]
    return Intervals(np.array([s[0] for s in spans]) - SLACK_S, np.array([s[1] for s in spans]) + SLACK_S)


def _span(group: Group) -> tuple[float, float]:
    heard = [(m.strike_clock_s, m.strike_clock_s + m.resolution_s) for m in group if m.strike_clock_s is not None]
    filmed = [
        (m.start_clock_s, m.end_clock_s + m.resolution_s)
        for m in group
        if m.start_clock_s is not None and m.end_clock_s is not None
    ]
    spans = heard or filmed
    if not spans:
        return np.nan, np.nan
    low, high = max(s[0] for s in spans), min(s[1] for s in spans)
    return (low, high) if low <= high else (high, low)


def _row_intervals(rows: Sequence[RowMoment]) -> Intervals:
    low = np.array([np.nan if r.clock_s is None else r.clock_s for r in rows])
    return Intervals(low - SLACK_S, low + np.array([r.resolution_s for r in rows]) + SLACK_S)


def _is_heard(group: Group) -> bool:
    return any(moment.strike_clock_s is not None for moment in group)


def _fit(
    decided: Sequence[Pairing], groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None]
) -> Offset | None:
    """Fit the offset to strikes heard, or to whole clips where there is no sound, and to the coach's pairs."""
    useful = [g for g in groups if not any(m.clip_id in fixed for m in g) and _span(g)[0] == _span(g)[0]]
    heard = [g for g in useful if _is_heard(g)]
    group_of = {moment.clip_id: group for group in groups for moment in group}
    own = [group_of[pair.clip_ids[0]] for pair in decided]
    used = [*own, *(heard if heard or any(map(_is_heard, own)) else useful)]
    index = {row.row_id: j for j, row in enumerate(rows)}
    if not used or not rows:
        return None
    clips, row_times = _clip_intervals(used), _row_intervals(rows)
    said = [(i, index[pair.row_id]) for i, pair in enumerate(decided)]
    said = [(i, j) for i, j in said if np.isfinite(clips.low_s[i]) and np.isfinite(row_times.low_s[j])]
    return find_offset(clips, row_times, said)


def _assign(
    groups: Sequence[Group], rows: Sequence[RowMoment], offset: Offset
) -> tuple[tuple[Pairing, ...], tuple[Question, ...]]:
    clips, row_times = _clip_intervals(groups), _row_intervals(rows)
    is_sound = any(_is_heard(group) for group in groups)
    prior = np.array([1.0 if _is_heard(group) or not is_sound else _SILENT_BUT_STRUCK for group in groups])
    table = prior[:, None] * compute_density(clips, row_times, offset.offset_s)
    alone = _UNPAIRED * _row_rate(rows)
    n, m = table.shape
    cost = np.zeros((n + m, n + m))
    cost[:n, :m] = -np.log(table + 1e-300)
    cost[:n, m:] = -np.log(alone)
    cost[n:, :m] = 0.0
    first, second = linear_sum_assignment(cost)
    pairs, questions = [], []
    for i, j in zip(first.tolist(), second.tolist(), strict=True):
        if i >= n or j >= m or table[i, j] <= 0:
            continue
        rivals = table[i].sum() - table[i, j] + table[:, j].sum() - table[i, j]
        probability = offset.weight * float(table[i, j] / (table[i, j] + rivals + alone))
        row = rows[j]
        clip_ids = tuple(moment.clip_id for moment in groups[i])
        gap = float(clips.middle_s[i] - row_times.middle_s[j] - offset.offset_s)
        heard = "the strike heard" if _is_heard(groups[i]) else "the clip (no strike heard)"
        text = f"{heard} and the row's time agree within {abs(gap):.1f} s once the clocks are set right"
        if probability >= SURE:
            pairs.append(Pairing(clip_ids, row.row_id, probability, text + "."))
        else:
            questions.append(
                Question(clip_ids, row.row_id, probability, f"{_capital(text)}, but another is nearly as likely.")
            )
    return tuple(pairs), tuple(questions)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _row_rate(rows: Sequence[RowMoment]) -> float:
    times = [r.clock_s for r in rows if r.clock_s is not None]
    span = max(times) - min(times) if len(times) > 1 else 60.0
    return len(rows) / max(span, 10.0)


def _alone(
    pairs: Sequence[Pairing],
    groups: Sequence[Group],
    rows: Sequence[RowMoment],
    offset: Offset | None,
    fixed: Mapping[str, str | None],
    questions: tuple[Question, ...] = (),
) -> Matching:
    """List what has no partner, with the reason."""
    asked_or_paired: list[Pairing | Question] = [*pairs, *questions]
    busy = {clip_id for item in asked_or_paired for clip_id in item.clip_ids}
    taken = {item.row_id for item in asked_or_paired}
    is_sound = any(m.heard for g in groups for m in g)
    alone_groups = tuple((g, _why_no_row(g, is_sound, bool(rows), fixed)) for g in groups if g[0].clip_id not in busy)
    alone_rows = tuple((r, "no clip was filmed at its time.") for r in rows if r.row_id not in taken)
    found = (None, None) if offset is None else (offset.offset_s, offset.spread_s)
    return Matching(tuple(pairs), questions, alone_groups, alone_rows, *found)


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


def _why_refused(groups: Sequence[Group], rows: Sequence[RowMoment], offset: Offset) -> str:
    """Why the table is another lesson's; '' where there is too little to tell."""
    clips, row_times = _clip_intervals(groups), _row_intervals(rows)
    n_clips, n_rows = int(np.isfinite(clips.low_s).sum()), int(np.isfinite(row_times.low_s).sum())
    if min(n_clips, n_rows) < _ENOUGH_TO_REFUSE or compute_hit_chance(clips, row_times) > _TOO_COARSE:
        return ""
    return (
        f"whatever the clocks' difference, at most {offset.n_agree} of {n_clips} swings fall on one of {n_rows} "
        "rows, no more than by chance."
    )
