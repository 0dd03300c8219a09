"""Which clip is which shot: rows of the device's table paired with clips under unknown clocks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from review.sync.assignment import assign_rows
from review.sync.chance import compute_hit_chance
from review.sync.moments import Group, RowMoment
from review.sync.offset import HEARD, Offset, find_pairs
from review.sync.reasons import list_what_is_alone, why_doubted, why_refused
from review.sync.results import ClockStretch, Matching, Pairing, Question
from review.sync.segments import Stretch, find_stretches
from review.sync.windows import SILENT_BUT_STRUCK, BoolArray, Intervals, Windows, build_row_intervals, build_windows

_AS_IF_COUNTED = 5.0
_LEAST_UNHEARD = 0.05
_ENOUGH_TO_REFUSE = 4
_TOO_COARSE = 0.5


def match_by_clock(
    groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None] | None = None
) -> Matching:
    """Pair clips and rows by their clocks.

    Parameters
    ----------
    groups : clips of one swing each, see ``group_clips``.
    rows : rows of the table.
    fixed : the coach's own pairings, clip id to row id (None = no row); they are kept and help to find the clocks.

    Notes
    -----
    How the clocks stand to each other and how far that can be trusted comes from ``find_stretches``: agreements no
    better than chance are refused as another lesson's where there is enough to tell, doubtful ones become questions.
    Then every pair has a probability over all ways to pair swings and rows in order, one to one.
    """
    fixed = fixed or {}
    decided = decide(groups, rows, fixed)
    table = _Table.build(groups, rows, fixed, decided)
    stretches, windows = _find_clocks(groups, table)
    bare = Matching(pairs=decided)
    if not stretches:
        return list_what_is_alone(bare, groups, rows, fixed)
    main = max(stretches, key=lambda s: s.offset.n_agree).offset
    known = replace(bare, stretches=_describe(stretches, table) if main.is_sure else ())
    if not table.open_swings.any() or not table.open_rows.any():
        return list_what_is_alone(known, groups, rows, fixed)
    found = assign_rows(groups, rows, table.rows, windows, stretches, table.open_swings, table.open_rows)
    if main.is_sure:
        full = replace(known, pairs=(*decided, *found.pairs), questions=found.questions, evidence=found.evidence)
        return list_what_is_alone(full, groups, rows, fixed)
    if not main.is_possible:
        refused = _why_refused(windows, table, main)
        if refused:
            return replace(list_what_is_alone(bare, groups, rows, fixed), refused=refused)
    n_balls = len({p.clip_ids for p in found.pairs} | {q.clip_ids for q in found.questions})
    asked_anyway = [replace(q, text=why_doubted(n_balls, q.text)) for q in found.questions]
    doubted = [
        Question(p.clip_ids, p.row_id, 0.5, why_doubted(n_balls, f"The clocks are not sure, but {p.why}"))
        for p in found.pairs
    ]
    asked = replace(bare, questions=(*asked_anyway, *doubted), evidence=found.evidence)
    return list_what_is_alone(asked, groups, rows, fixed)


def decide(groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None]) -> tuple[Pairing, ...]:
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


@dataclass(frozen=True, eq=False)
class _Table:
    """Rows as intervals, what the coach paired (swing, row), and what is still open on both sides."""

    rows: Intervals
    said: tuple[tuple[int, int], ...]
    open_swings: BoolArray
    open_rows: BoolArray

    @classmethod
    def build(
        cls,
        groups: Sequence[Group],
        rows: Sequence[RowMoment],
        fixed: Mapping[str, str | None],
        decided: Sequence[Pairing],
    ) -> "_Table":
        index = {row.row_id: j for j, row in enumerate(rows)}
        home = {moment.clip_id: i for i, group in enumerate(groups) for moment in group}
        said = tuple((home[pair.clip_ids[0]], index[pair.row_id]) for pair in decided)
        taken = {j for _, j in said}
        return cls(
            build_row_intervals(rows),
            said,
            np.array([not any(m.clip_id in fixed for m in group) for group in groups], dtype=bool),
            np.array([j not in taken for j in range(len(rows))], dtype=bool),
        )


def _find_clocks(groups: Sequence[Group], table: _Table) -> tuple[tuple[Stretch, ...], Windows]:
    """Find the clocks by the strikes heard; where too few tell, by whole clips as well."""
    has_sound = any(moment.heard for group in groups for moment in group)
    windows = build_windows(groups, SILENT_BUT_STRUCK if has_sound else 1.0)
    known = table.open_swings.copy()
    known[[i for i, _ in table.said]] = True
    timed = [(i, j) for i, j in table.said if i in windows.owner and np.isfinite(table.rows.low_s[j])]
    stretches = find_stretches(windows.only(known), table.rows, timed) if len(table.rows.low_s) else ()
    if has_sound and not any(s.is_sure for s in stretches) and (windows.struck[known] < HEARD).any():
        silent = build_windows(groups, 0.5)
        others = find_stretches(silent.only(known), table.rows, timed) if len(table.rows.low_s) else ()
        if any(s.is_sure for s in others):
            stretches = others
    if has_sound and any(s.is_sure for s in stretches):
        windows = build_windows(groups, _estimate_silent(groups, table, stretches))
    return stretches, windows


def _estimate_silent(groups: Sequence[Group], table: _Table, stretches: Sequence[Stretch]) -> float:
    """How often a swing whose strike was not heard has a row all the same, beyond chance, counted in this lesson."""
    unheard = 1.0 - build_windows(groups, 0.0).struck
    paired = [pair for s in stretches for pair in s.offset.pairs]
    is_left = table.open_swings & (unheard > _LEAST_UNHEARD)
    is_left[[i for i, _ in paired if unheard[i] < 1.0 - HEARD]] = False
    row_left = table.open_rows & np.isfinite(table.rows.low_s)
    row_left[[j for i, j in paired if not is_left[i]]] = False
    clips, rows = build_windows(groups, 1.0).widest().only(is_left), table.rows.only(row_left)
    if not np.isfinite(clips.low_s).any() or not row_left.any():
        return SILENT_BUT_STRUCK
    n = float(unheard[np.isfinite(clips.low_s)].sum())
    hits = max(sum(unheard[i] for i, _ in find_pairs(clips, rows, s.offset.clock)) for s in stretches)
    by_chance = n * compute_hit_chance(clips, table.rows) * row_left.sum() / len(row_left)
    return float((max(hits - by_chance, 0.0) + SILENT_BUT_STRUCK * _AS_IF_COUNTED) / (n + _AS_IF_COUNTED))


def _describe(stretches: Sequence[Stretch], table: _Table) -> tuple[ClockStretch, ...]:
    described = []
    for s in stretches:
        times = [float(table.rows.low_s[j]) for _, j in s.offset.pairs]
        if times:
            described.append(ClockStretch(s.offset.clock, min(times), max(times), len(times), s.is_sure))
    return tuple(described)


def _why_refused(windows: Windows, table: _Table, offset: Offset) -> str:
    """Why the table is another lesson's; '' where there is too little to tell."""
    clips = windows.likeliest().only(table.open_swings)
    rows = table.rows.only(table.open_rows)
    n_clips, n_rows = int(np.isfinite(clips.low_s).sum()), int(np.isfinite(rows.low_s).sum())
    if min(n_clips, n_rows) < _ENOUGH_TO_REFUSE or compute_hit_chance(clips, rows) > _TOO_COARSE:
        return ""
    return why_refused(offset.n_agree, n_clips, n_rows)
