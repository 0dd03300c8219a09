"""Clip and row of one swing by when they arrived, as long as the clocks of camera and device are not known yet.

The first balls of a lesson say too little of the clocks to pair by them. But clip and row of one ball arrive within
seconds of each other, and the next ball is far away.
"""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime

from review.jobs.live.filing import find_moment
from review.lesson import Said, Swing

_NEAR_S = 15.0


def pair_by_arrival(
    swings: Sequence[Swing], moments: Mapping[str, datetime], decided: Collection[str]
) -> tuple[Said, ...]:
    """Say which row a clip has where each is the only one near the other, within 15 s on this computer's clock.

    Parameters
    ----------
    swings : as matched; those that have both stay as they are.
    moments : when clips and rows happened by this computer's clock, by id.
    decided : ids of clips of which the coach said what belongs to them.
    """
    at = {swing.id: moment for swing in swings if (moment := find_moment(swing, moments)) is not None}
    is_sound = any(clip.strike_s is not None for swing in swings for clip in swing.clips)
    clips = [s for s in swings if s.clips and s.shot is None and not {c.id for c in s.clips} & set(decided)]
    if is_sound:  # a silent one among them is a practice swing
        clips = [s for s in clips if any(clip.strike_s is not None for clip in s.clips)]
    rows = [s for s in swings if not s.clips]
    found: list[Said] = []
    for swing in clips:
        near = _near(swing, rows, at)
        if len(near) == 1 and near[0].shot is not None and _near(near[0], clips, at) == [swing]:
            found += [Said(clip.id, "row", near[0].shot.id, "clock") for clip in swing.clips]
    return tuple(found)


def _near(swing: Swing, others: Sequence[Swing], at: Mapping[str, datetime]) -> list[Swing]:
    if swing.id not in at:
        return []
    return [o for o in others if o.id in at and abs((at[o.id] - at[swing.id]).total_seconds()) <= _NEAR_S]
