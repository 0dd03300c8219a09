"""Rows of one or more tables: one device that wrote on, or two devices that caught the same shots."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from review.sync.clock import Clock
from review.sync.matching import match_by_clock
from review.sync.moments import Group, RowMoment
from review.sync.ordering import match_by_order
from review.sync.reasons import list_what_is_alone
from review.sync.results import Matching

_SAME_SHOT_S = 2.5
_SWING_HAS_ROW = "its swing has the row of another table already"


def match_rows(
    groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None] | None = None
) -> Matching:
    """Pair clips with the rows of all tables of a lesson; parameters as for ``match_by_clock``.

    Notes
    -----
    Tables that follow one another are taken for one device. One whose times run alongside is another device with a
    clock of its own: its rows find their swings by themselves; where a swing has a row already they are set aside
    (``Matching.doubles``), so that no shot counts twice.
    """
    fixed = fixed or {}
    first, others = _tell_apart(rows)
    has_times = any(m.start_clock_s is not None for g in groups for m in g) and any(
        r.clock_s is not None for r in first
    )
    match = match_by_clock if has_times or not rows or not groups else match_by_order
    matching = match(groups, first, _said_of(fixed, first, others))
    for table in others:
        matching = _add_table(matching, groups, first, table, fixed)
    return matching


def _tell_apart(rows: Sequence[RowMoment]) -> tuple[tuple[RowMoment, ...], tuple[tuple[RowMoment, ...], ...]]:
    """Rows of the first device, and of each further table."""
    tables: dict[str, list[RowMoment]] = {}
    for row in rows:
        tables.setdefault(row.table, []).append(row)
    main: list[str] = []
    # the table with most times is the lesson's; a tie goes to the one that came first
    for name in sorted(tables, key=lambda n: -sum(r.clock_s is not None for r in tables[n])):
        if not main or all(_follow(tables[name], tables[other]) for other in main):
            main.append(name)
    first = tuple(row for row in rows if row.table in main)
    return first, tuple(tuple(tables[name]) for name in tables if name not in main)


def _follow(a: Sequence[RowMoment], b: Sequence[RowMoment]) -> bool:
    """Whether one table ends before the other begins; where one has no times nothing says it is another device."""
    first = [r.clock_s for r in a if r.clock_s is not None]
    second = [r.clock_s for r in b if r.clock_s is not None]
    if not first or not second:
        return bool(first) == bool(second)
    return max(first) < min(second) or max(second) < min(first)


def _said_of(
    fixed: Mapping[str, str | None], rows: Sequence[RowMoment], others: Sequence[Sequence[RowMoment]]
) -> dict[str, str | None]:
    elsewhere = {row.row_id for table in others for row in table} - {row.row_id for row in rows}
    return {clip_id: row_id for clip_id, row_id in fixed.items() if row_id not in elsewhere}


def _add_table(
    matching: Matching,
    groups: Sequence[Group],
    before: Sequence[RowMoment],
    table: Sequence[RowMoment],
    fixed: Mapping[str, str | None],
) -> Matching:
    name = table[0].table
    own = {row.row_id for row in table}
    said = {clip_id: row_id for clip_id, row_id in fixed.items() if row_id is None or row_id in own}
    if all(row.clock_s is None for row in table):
        why = "it has no times, and another table of this lesson has"
        return replace(matching, doubles=(*matching.doubles, *((row, why) for row in table)))
    second = match_by_clock(groups, table, said)
    if second.refused:
        return replace(matching, refused=matching.refused or second.refused)
    coach_gave = {clip_id for clip_id, row_id in fixed.items() if row_id in own}
    kept = [p for p in matching.pairs if not coach_gave & set(p.clip_ids)]
    busy = {clip_id for pair in kept for clip_id in pair.clip_ids}
    new = [pair for pair in second.pairs if not busy & set(pair.clip_ids)]
    doubles = {p.row_id: _SWING_HAS_ROW for p in second.pairs if busy & set(p.clip_ids)}
    busy |= {clip_id for pair in new for clip_id in pair.clip_ids}
    questions = [q for q in (*matching.questions, *second.questions) if not busy & set(q.clip_ids)]
    alone = {row.row_id for row, _ in second.unmatched_rows}
    bridge = _bridge(matching.clock, second.clock)
    clocks = dict(matching.table_clocks)
    if bridge is not None:
        clocks[name] = bridge
        free = np.array([r.clock_s for r, _ in matching.unmatched_rows if r.clock_s is not None])
        for row in table:
            if row.row_id in alone and row.clock_s is not None and len(free):
                there = bridge.to_camera(row.clock_s)
                if np.abs(free - there).min() <= _SAME_SHOT_S:
                    doubles[row.row_id] = "another table has a row of the same time, and no clip was filmed then"
    set_aside = tuple((row, doubles[row.row_id]) for row in table if row.row_id in doubles)
    both = replace(
        matching,
        pairs=(*kept, *new),
        questions=tuple(questions),
        doubles=(*matching.doubles, *set_aside),
        table_clocks=clocks,
        evidence={**second.evidence, **matching.evidence},
    )
    return list_what_is_alone(both, groups, [*before, *(r for r in table if r.row_id not in doubles)], fixed)


def _bridge(first: Clock | None, second: Clock | None) -> Clock | None:
    """The first device's time of the second's."""
    if first is None or second is None:
        return None
    offset = first.to_device(second.to_camera(second.middle_s)) - second.middle_s
    spread = float(np.hypot(first.offset_spread_s, second.offset_spread_s))
    return Clock(offset, second.drift_ppm - first.drift_ppm, second.middle_s, spread)
