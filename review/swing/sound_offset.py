"""How much later a camera's sound lies than its pictures, learnt from strikes that were both seen and heard."""

from collections.abc import Sequence
from enum import StrEnum

import numpy as np

from review.lesson import SoundOffset

_LEAST_CLIPS, _LATEST = 3, 8
_MAD_TO_SD = 1.4826
_MEDIAN_TO_MEAN_ERROR = 1.2533
_OUTLIER_SDS = 3.0
_WELL_KNOWN_S, _WELL_KNOWN_CLIPS = 0.002, 8
_MOST_CLIPS_NEEDED = 30
_USABLE_S = 0.006
_LARGEST_SPREAD_S = 0.03

# Sound early, sound late, seconds: ITU-R BT.1359-1 (1998).
_DETECTABLE_S = (0.045, 0.125)
_ACCEPTABLE_S = (0.090, 0.185)


class SoundFit(StrEnum):
    """How a sound's offset looks to a viewer (ITU-R BT.1359-1)."""

    UNNOTICED = "unnoticed"
    DETECTABLE = "detectable"
    UNACCEPTABLE = "unacceptable"


def learn_sound_offset(heard_late_s: Sequence[float], within_s: Sequence[float]) -> SoundOffset | None:
    """Learn one camera's offset from clips in which the ball was seen leaving and the strike was heard.

    Parameters
    ----------
    heard_late_s : time heard minus time seen, presentation seconds, + sound late.
    within_s : how much the spacing of pictures leaves open to each side of the time seen.

    Returns
    -------
    None with fewer than three clips, or when fewer than half of them agree.

    Notes
    -----
    Median of what lies within three robust standard deviations (1.4826 x median absolute deviation, at least the
    spacing of pictures allows) of the median of all, so that a neighbour's strike does no harm.
    """
    late, room = np.asarray(heard_late_s, float), np.asarray(within_s, float)
    if len(late) != len(room):
        raise ValueError(f"expected as many rooms as offsets, got {len(room)} and {len(late)}")
    if len(late) < _LEAST_CLIPS:
        return None
    middle = float(np.median(late))
    spread = max(_MAD_TO_SD * float(np.median(np.abs(late - middle))), float(np.median(room)) / np.sqrt(3.0))
    agree = np.abs(late - middle) <= np.minimum(_OUTLIER_SDS * spread, _LARGEST_SPREAD_S + room)
    n = int(agree.sum())
    if n < _LEAST_CLIPS or n < len(late) / 2:
        return None
    offset = float(np.median(late[agree]))
    spread = max(
        _MAD_TO_SD * float(np.median(np.abs(late[agree] - offset))), float(np.median(room[agree])) / np.sqrt(3.0)
    )
    return SoundOffset(offset, spread, n)


def follow_sound_offset(heard_late_s: Sequence[float], within_s: Sequence[float]) -> SoundOffset | None:
    """Learn from a camera's clips in order of time; where the latest eight say otherwise than all, they count alone.

    A camera is set differently one day, or its name is given to another one.
    """
    whole = learn_sound_offset(heard_late_s, within_s)
    latest = learn_sound_offset(heard_late_s[-_LATEST:], within_s[-_LATEST:])
    if whole is None or latest is None:
        return whole or latest
    apart_s = abs(whole.offset_s - latest.offset_s)
    return latest if apart_s > _OUTLIER_SDS * np.hypot(sd_of_offset_s(whole), sd_of_offset_s(latest)) else whole


def sd_of_offset_s(offset: SoundOffset) -> float:
    """Standard error of an offset: that of a median of normal errors, 1.2533 spread / sqrt(n)."""
    return _MEDIAN_TO_MEAN_ERROR * offset.spread_s / float(np.sqrt(offset.n_clips))


def is_usable(offset: SoundOffset) -> bool:
    """Whether strikes heard may be moved by it."""
    return sd_of_offset_s(offset) <= _USABLE_S


def is_well_known(offset: SoundOffset) -> bool:
    """Whether looking at more clips would add nothing."""
    known = offset.n_clips >= _WELL_KNOWN_CLIPS and sd_of_offset_s(offset) <= _WELL_KNOWN_S
    return known or offset.n_clips >= _MOST_CLIPS_NEEDED


def judge_sound_offset(offset_s: float) -> SoundFit:
    """Judge an offset (+ sound late) by the limits of ITU-R BT.1359-1.

    Detectable beyond 45 ms early or 125 ms late, no longer acceptable beyond 90 ms early or 185 ms late.
    """
    early, late = -offset_s, offset_s
    if early > _ACCEPTABLE_S[0] or late > _ACCEPTABLE_S[1]:
        return SoundFit.UNACCEPTABLE
    if early > _DETECTABLE_S[0] or late > _DETECTABLE_S[1]:
        return SoundFit.DETECTABLE
    return SoundFit.UNNOTICED
