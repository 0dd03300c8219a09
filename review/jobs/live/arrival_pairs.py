"""Clip and row of one swing by when they arrived, as long as the clocks of camera and device are not known yet.

The first balls of a lesson say too little of the clocks to pair by them. But clip and row of one ball arrive within
seconds of each other, before those of the next: what was put together stays, and only what is new is looked at.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import datetime
from itertools import pairwise

from review.jobs.live.filing import find_moment
from review.lesson import Said, Swing

_NEAR_S = 15.0


def pair_by_arrival(
    swings: Sequence[Swing],
    moments: Mapping[str, datetime],
    decided: Collection[str],
    held: Mapping[str, str] | None = None,
) -> tuple[Said, ...]:
    """Say which row a clip has: the one it had, else one that nobody has and that arrived with it.

    Clips and rows less than 15 s apart on this computer's clock are together; as many clips as rows that are together
    are paired in order, otherwise more has to arrive first.

    Parameters
    ----------
    swings : as matched; those that have both stay as they are.
    moments : when clips and rows happened by this computer's clock, by id.
    decided : ids of clips of which the coach said what belongs to them.
    held : rows that clips had so far, shot id by clip id.
    """
    open_clips = [s for s in swings if s.clips and s.shot is None and not {c.id for c in s.clips} & set(decided)]
    row_ids = {swing.shot.id for swing in swings if swing.shot is not None and not swing.clips}
    found: dict[str, str] = {}
    for swing in open_clips:
        had = [(held or {}).get(clip.id, "") for clip in swing.clips]
        row_id = next((row_id for row_id in had if row_id in row_ids), "")
        if row_id:
            row_ids.remove(row_id)
            found[swing.id] = row_id
    clips = [swing for swing in open_clips if swing.id not in found]
    if any(clip.strike_s is not None for swing in swings for clip in swing.clips):
        # a silent one among them is a practice swing
        clips = [s for s in clips if any(clip.strike_s is not None for clip in s.clips)]
    rows = [swing for swing in swings if not swing.clips and swing.shot is not None and swing.shot.id in row_ids]
    for swing, row in _pair_new(clips, rows, moments):
        if row.shot is not None:
            found[swing.id] = row.shot.id
    return tuple(
        Said(clip.id, "row", found[swing.id], "clock")
        for swing in open_clips
        if swing.id in found
        for clip in swing.clips
    )


def _pair_new(
    clips: Sequence[Swing], rows: Sequence[Swing], moments: Mapping[str, datetime]
) -> Iterator[tuple[Swing, Swing]]:
    at = {swing.id: moment for swing in (*clips, *rows) if (moment := find_moment(swing, moments)) is not None}
    ordered = sorted((swing for swing in (*clips, *rows) if swing.id in at), key=lambda swing: at[swing.id])
    together: list[list[Swing]] = [ordered[:1]]
    for before, swing in pairwise(ordered):
        if (at[swing.id] - at[before.id]).total_seconds() > _NEAR_S:
            together.append([])
        together[-1].append(swing)
    for group in together:
        group_clips = [swing for swing in group if swing.clips]
        group_rows = [swing for swing in group if not swing.clips]
        pairs = [*zip(group_clips, group_rows, strict=False)]
        is_even = len(group_clips) == len(group_rows)
        if is_even and all(abs((at[c.id] - at[r.id]).total_seconds()) <= _NEAR_S for c, r in pairs):
            yield from pairs
