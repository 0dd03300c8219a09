"""Key frames of a swing from the way the hands and the trunk move; impact from the strike where that is known."""

import numpy as np

from review.errors import BadInputError
from review.lesson import KeyFrame, KeyFrameName
from review.pose import LandmarkTrack
from review.swing.backswing import find_start, find_top
from review.swing.downswing import find_arm_level, find_downswings, find_impact
from review.swing.finish import find_finish
from review.swing.motion import Motion, read_motion

STRIKE_WITHIN_S = 0.12
NO_SWING = (
    "No swing was found: the hands never come down fast in this clip. Expected one whole swing, from address "
    "to finish; if the clip is slow motion, give its true speed with --time-scale."
)


def find_key_frames(
    track: LandmarkTrack,
    time_scale: float = 1.0,
    strike_s: float | None = None,
    strike_source: str = "sound",
    strike_certainty: float = 0.98,
) -> tuple[KeyFrame, ...]:
    """Find address, takeaway, top, arm level, impact and finish.

    Parameters
    ----------
    track : a right-hander's track (see ``as_right_hander``).
    time_scale : true time = presentation time x time_scale.
    strike_s : presentation time at which the ball was struck, used for impact when it lies within 0.12 s of the moment
        that the motion suggests; where the clip holds several swings it also says which one is meant.
    strike_source : 'sound' when the strike was heard, 'picture' when the ball was seen leaving.
    strike_certainty : 0..1, handed on.

    Returns
    -------
    The key frames that lie inside the clip, in order; times are presentation times. One that the clip does not reach,
    or that lies before it, is left out. A certainty is about the share of cases in which the time is right to within
    what docs/accuracy.md says for that key frame.

    Raises
    ------
    BadInputError
        When no swing is seen.
    """
    motion = read_motion(track, time_scale)
    fastest_down, by_motion, is_struck = _choose_swing(motion, None if strike_s is None else strike_s * time_scale)
    impact_s, certainty, source = None if by_motion is None else by_motion[0], 0.0, "pose"
    if strike_s is not None and is_struck:
        impact_s, certainty, source = strike_s * time_scale, strike_certainty, strike_source
    elif by_motion is not None:
        certainty = by_motion[1]
    # where the hands themselves are lowest, whatever the strike says: it may be heard late
    end_s = float(motion.time_s[-1]) if by_motion is None else by_motion[0]
    found: list[tuple[KeyFrameName, float, float, str]] = []
    top = find_top(motion, fastest_down, end_s)
    if top is not None:
        found.append((KeyFrameName.TOP, float(motion.time_s[top[0]]), top[1], "pose"))
        start = find_start(motion, top[0], end_s)
        if start is not None:
            found.append((KeyFrameName.ADDRESS, start.address_s, start.certainty, "pose"))
            found.append((KeyFrameName.TAKEAWAY, start.takeaway_s, start.certainty, "pose"))
    level_s = find_arm_level(motion, 0 if top is None else top[0], end_s)
    if level_s is not None:
        found.append((KeyFrameName.ARM_LEVEL, level_s, 0.9, "pose"))
    if impact_s is not None:
        found.append((KeyFrameName.IMPACT, impact_s, certainty, source))
        finish = find_finish(motion, impact_s)
        if finish is not None:
            found.append((KeyFrameName.FINISH, *finish, "pose"))
    return tuple(_as_key_frame(track, time_scale, *one) for one in sorted(found, key=lambda one: one[1]))


def find_impacts_by_motion(track: LandmarkTrack, time_scale: float = 1.0) -> tuple[float, ...]:
    """Presentation times at which the motion suggests impact, one for each swing of the clip, the fastest first.

    Raises
    ------
    BadInputError
        When no swing is seen.
    """
    motion = read_motion(track, time_scale)
    swings = find_downswings(motion)
    if not swings:
        raise BadInputError(NO_SWING)
    impacts = (find_impact(motion, swing) for swing in swings)
    return tuple(impact[0] / time_scale for impact in impacts if impact is not None)


def _choose_swing(motion: Motion, strike_s: float | None) -> tuple[int, tuple[float, float] | None, bool]:
    """Choose the swing that the strike (true time) belongs to, else the fastest.

    Returns
    -------
    Its fastest sample, impact by its motion with a certainty (None when the clip ends before), whether the strike is
    its own.
    """
    swings = find_downswings(motion)
    if not swings:
        raise BadInputError(NO_SWING)
    impacts = [find_impact(motion, swing) for swing in swings]
    if strike_s is not None:
        for swing, impact in zip(swings, impacts, strict=True):
            if impact is not None and abs(strike_s - impact[0]) <= STRIKE_WITHIN_S:
                return swing, impact, True
    return swings[0], impacts[0], False


def _as_key_frame(
    track: LandmarkTrack, time_scale: float, name: KeyFrameName, true_s: float, certainty: float, source: str
) -> KeyFrame:
    shown_s = true_s / time_scale
    nearest = int(np.argmin(np.abs(track.time_s - shown_s)))
    return KeyFrame(name.value, shown_s, nearest, float(certainty), source)
