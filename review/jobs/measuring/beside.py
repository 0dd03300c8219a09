"""Clips of a swing from a side that gives no numbers in its lesson: timed, so that they can be shown."""

from collections.abc import Sequence
from dataclasses import replace

from review.errors import BadInputError
from review.jobs.measuring.one_swing import ClipToMeasure, MeasuredClip, MeasuredSwing, measure_clip
from review.lesson import Handedness
from review.pose import LandmarkTrack
from review.swing.two_views import lock_views


def time_beside(
    measured: MeasuredSwing,
    clips: Sequence[ClipToMeasure],
    tracks: Sequence[LandmarkTrack],
    handedness: Handedness,
    stature_m: float | None,
) -> MeasuredSwing:
    """Find key frames in further clips of a measured swing, locked to its leading clip at impact.

    Its numbers stay as they are; a clip in which no swing is found is left out.
    """
    timed: list[MeasuredClip] = []
    for clip, track in zip(clips, tracks, strict=True):
        try:
            found = measure_clip(clip, track, handedness, stature_m)
        except BadInputError:
            continue
        timed.append(replace(found, seen=lock_views([measured.clips[0].seen, found.seen])[-1]))
    return replace(measured, beside=tuple(timed))
