"""Clip and row of one swing by when they arrived, as long as the clocks of camera and device are not known yet.

The first balls of a lesson say too little of the clocks to pair by them. But clip and row of one ball arrive within
seconds of each other, before those of the next. Where balls follow so fast that a clip or row lies as near to the next
ball's, nothing is said: one that is missing would shift all that follow.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import datetime
from itertools import product

from review.jobs.live.filing import find_moment
from review.lesson import Said, Swing

_NEAR_S = 15.0
_CLEAR = 1.5
"""So many times nearer to each other than to any other clip or row two must be."""


def pair_by_arrival(
    swings: Sequence[Swing],
    moments: Mapping[str, datetime],
    decided: Collection[str],
    held: Mapping[str, str] | None = None,
) -> tuple[Said, ...]:
    """Say which row a clip has: the one it had, else one that nobody has and that arrived with it.

    A clip and a row are together when they came within 15 s of each other by this computer's clock, and any other is
    clearly further away from both. A pair stays as long as nothing that arrives makes it doubtful.

    Parameters
    ----------
    swings : as matched; those that have both stay as they are.
    moments : when clips and rows happened by this computer's clock, by id.
    decided : ids of clips of which the coach said what belongs to them.
    held : rows that clips had so far, shot id by clip id.
    """
    open_clips = [s for s in swings if s.clips and s.shot is None and not {c.id for c in s.clips} & set(decided)]
    if any(clip.strike_s is not None for swing in swings for clip in swing.clips):
        # a silent one among them is a practice swing
        struck = {s.id for s in open_clips if any(clip.strike_s is not None for clip in s.clips)}
    else:
        struck = {s.id for s in open_clips}
    lone_rows = {swing.shot.id: swing for swing in swings if swing.shot is not None and not swing.clips}
    here = [*(s for s in open_clips if s.id in struck), *lone_rows.values()]
    at = {swing.id: moment for swing in here if (moment := find_moment(swing, moments)) is not None}
    row_ids = {*lone_rows}
    found: dict[str, str] = {}
    for swing in open_clips:
        had = [(held or {}).get(clip.id, "") for clip in swing.clips]
        row_id = next((row_id for row_id in had if row_id in row_ids), "")
        if row_id and _is_clear(swing.id, lone_rows[row_id].id, at):
            row_ids.remove(row_id)
            found[swing.id] = row_id
    clips = [swing for swing in open_clips if swing.id in struck and swing.id not in found]
    rows = [swing for row_id, swing in lone_rows.items() if row_id in row_ids]
    for swing, row in _pair_new(clips, rows, at):
        if row.shot is not None:
            found[swing.id] = row.shot.id
    return tuple(
        Said(clip.id, "row", found[swing.id], "clock")
        for swing in open_clips
        if swing.id in found
        for clip in swing.clips
    )


def _pair_new(
    clips: Sequence[Swing], rows: Sequence[Swing], at: Mapping[str, datetime]
) -> Iterator[tuple[Swing, Swing]]:
    for swing, row in product(clips, rows):
        is_placed = swing.id in at and row.id in at
        if is_placed and _gap_s(swing.id, row.id, at) <= _NEAR_S and _is_clear(swing.id, row.id, at):
            yield swing, row


def _is_clear(clip: str, row: str, at: Mapping[str, datetime]) -> bool:
    """Whether a clip and a row are clearly nearer to each other than to any other, by ids of their swings."""
    if clip not in at or row not in at:
        return True
    others = (other for other in at if other not in (clip, row))
    nearest_s = min((min(_gap_s(clip, o, at), _gap_s(row, o, at)) for o in others), default=_NEAR_S)
    return nearest_s > min(_NEAR_S, _CLEAR * _gap_s(clip, row, at))


def _gap_s(a: str, b: str, at: Mapping[str, datetime]) -> float:
    return abs((at[a] - at[b]).total_seconds())
