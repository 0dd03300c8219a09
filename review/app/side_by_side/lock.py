"""Two clips on one clock, without Qt: they meet at a key frame, or, stretched, at every one they share."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from review.app.swing_view.playhead import ClipClock
from review.jobs.showing.swing import ClipShown
from review.lesson import FloatArray, KeyFrameName

FIRST_FRAMES = ""
"""The lock of two clips that share no key frame: their first frames."""


@dataclass(frozen=True, eq=False)
class Lock:
    """The clocks of two clips; moment 0 is the key frame ``at`` in both.

    ``finer`` is the clip whose pictures are closer together in true time. ``is_time_altered`` tells that the second
    clip was stretched between key frames: its moments are no longer its own time.
    """

    clocks: tuple[ClipClock, ClipClock]
    at: str
    finer: int
    is_time_altered: bool = False


def times_of(clip: ClipShown) -> dict[str, float]:
    """Presentation times of a clip's key frames and marks; impact is the strike heard where nothing better is known."""
    times = {key.name: key.time_s for key in clip.key_frames}
    if clip.impact_s is not None:
        times.setdefault(KeyFrameName.IMPACT, clip.impact_s)
    return times


def shared_names(clips: Sequence[ClipShown]) -> tuple[str, ...]:
    """Key frames and the coach's marks that both clips have, in the order of the first."""
    first, last = (times_of(clip) for clip in clips)
    return tuple(sorted((name for name in first if name in last), key=lambda name: first[name]))


def next_name(names: Sequence[str], at: str) -> str:
    """The key frame after this one, the first again after the last; without any ``FIRST_FRAMES``."""
    if not names:
        return FIRST_FRAMES
    return names[(names.index(at) + 1) % len(names)] if at in names else names[0]


def usual_name(names: Sequence[str]) -> str:
    """Where two clips are locked at first: impact, else the first key frame they share."""
    return KeyFrameName.IMPACT if KeyFrameName.IMPACT in names else next_name(names, "")


def lock_clips(clips: Sequence[ClipShown], frames_s: Sequence[FloatArray], at: str, is_stretched: bool = False) -> Lock:
    """Put two clips on one clock.

    Parameters
    ----------
    frames_s : of each clip (n_frames,) presentation times.
    at : where both meet: at moment 0 each shows the frame nearest to its own key frame. One that is not shared by
        both locks their first frames.
    is_stretched : between key frames that both share, the second clip's time is stretched to the first's by straight
        lines; beyond the outermost both run at true speed. With one key frame or none there is nothing to stretch.
    """
    names = shared_names(clips)
    at = at if at in names else FIRST_FRAMES
    own = [_moments(clip, times, at) for clip, times in zip(clips, frames_s, strict=True)]
    finer = int(_step(own[1]) < _step(own[0]))
    is_altered = False
    if is_stretched and len(names) > 1 and at:
        knots = [[_knot(clip, times, name, at) for name in names] for clip, times in zip(clips, frames_s, strict=True)]
        kept = _rising(knots, names.index(at))
        if len(kept[0]) > 1:
            own[1], is_altered = _stretch(own[1], kept[1], kept[0]), True
    return Lock((ClipClock(own[0]), ClipClock(own[1])), at, finer, is_altered)


def _moments(clip: ClipShown, frames_s: FloatArray, at: str) -> FloatArray:
    moments: FloatArray = (frames_s - _frame_time(clip, frames_s, at)) * clip.clip.time_scale
    return moments


def _frame_time(clip: ClipShown, frames_s: FloatArray, name: str) -> float:
    """Presentation time of the frame nearest to a key frame."""
    if not name:
        return float(frames_s[0])
    return float(frames_s[ClipClock(frames_s).frame_at(times_of(clip)[name])])


def _knot(clip: ClipShown, frames_s: FloatArray, name: str, at: str) -> float:
    return (_frame_time(clip, frames_s, name) - _frame_time(clip, frames_s, at)) * clip.clip.time_scale


def _step(moments_s: FloatArray) -> float:
    return float(np.median(np.diff(moments_s))) if len(moments_s) > 1 else np.inf


def _rising(knots: Sequence[Sequence[float]], lock: int) -> tuple[list[float], list[float]]:
    """Leave out key frames that do not come in the same order in both clips, going out from the lock."""
    first, last = [knots[0][lock]], [knots[1][lock]]
    for a, b in zip(knots[0][lock + 1 :], knots[1][lock + 1 :], strict=True):
        if a > first[-1] and b > last[-1]:
            first, last = [*first, a], [*last, b]
    for a, b in zip(reversed(knots[0][:lock]), reversed(knots[1][:lock]), strict=True):
        if a < first[0] and b < last[0]:
            first, last = [a, *first], [b, *last]
    return first, last


def _stretch(moments_s: FloatArray, own: Sequence[float], onto: Sequence[float]) -> FloatArray:
    inside = np.interp(moments_s, own, onto)
    before, after = moments_s < own[0], moments_s > own[-1]
    inside[before] = moments_s[before] - own[0] + onto[0]
    inside[after] = moments_s[after] - own[-1] + onto[-1]
    return np.asarray(inside, dtype=np.float64)
