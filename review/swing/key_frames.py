"""Key frames of a swing from the way the hands and the trunk move, impact refined by the sound of the strike."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d
from scipy.signal import find_peaks

from review.body import compute_stature_px, middle_px
from review.body.golfer import LEAD_HIP, LEAD_SHOULDER, LEAD_WRIST, TRAIL_HIP, TRAIL_SHOULDER, TRAIL_WRIST
from review.errors import BadInputError
from review.lesson import FloatArray, KeyFrame, KeyFrameName
from review.pose import LandmarkTrack

_RATE_HZ = 120.0
# Lengths below are parts of stature, speeds parts of stature per second.
_LEAST_DOWNSWING_SPEED = 0.9
_STILL_SPEED = 0.05
_TURNING_STOPPED_SPEED = 0.10
_FIRST_DISPLACEMENT, _FOURFOLD_DISPLACEMENT = 0.01, 0.04
_LASTING_DISPLACEMENT = 0.03
# The hands are lowest a little before the strike: 21 ms in the median of 32 rendered clips (docs/accuracy.md).
_LOWEST_BEFORE_IMPACT_S = 0.021
_IMPACT_SEARCH_S = 0.30
_LEAST_PART_OF_FASTEST = 0.4
_AS_LOW = 0.12
_DOWNSWING_S = (0.12, 0.50)
_BACKSWING_AT_LEAST_S = 0.25
STRIKE_WITHIN_S = 0.12
NO_SWING = (
    "No swing was found: the hands never come down fast in this clip. Expected one whole swing, from address "
    "to finish; if the clip is slow motion, give its true speed with --time-scale."
)


@dataclass(frozen=True, eq=False)
class _Motion:
    """The swing resampled evenly: heights up, lengths in statures."""

    time_s: FloatArray
    hands: FloatArray
    lead_arm_height: FloatArray
    hand_speed: FloatArray
    down_speed: FloatArray
    body_speed: FloatArray


def find_key_frames(
    track: LandmarkTrack, time_scale: float = 1.0, strike_s: float | None = None
) -> tuple[KeyFrame, ...]:
    """Find address, takeaway, top, arm level, impact and finish.

    Parameters
    ----------
    track : a right-hander's track (see ``as_right_hander``).
    time_scale : true time = presentation time x time_scale.
    strike_s : presentation time of the strike heard, used for impact when it lies within 0.12 s of the moment that the
        motion suggests.

    Returns
    -------
    The key frames that lie inside the clip, in order; times are presentation times.

    Raises
    ------
    BadInputError
        When no swing is seen.
    """
    motion = _resample(track, time_scale)
    time_s = motion.time_s
    fastest_down = _find_downswing(motion)
    if motion.down_speed[fastest_down] < _LEAST_DOWNSWING_SPEED:
        raise BadInputError(NO_SWING)
    seen_impact_s, impact_certainty = _find_impact(motion, fastest_down)
    impact_s, source = seen_impact_s, "pose"
    if strike_s is not None and abs(strike_s * time_scale - seen_impact_s) <= STRIKE_WITHIN_S:
        impact_s, impact_certainty, source = strike_s * time_scale, 0.98, "sound"
    top, top_certainty = _find_top(motion, impact_s)
    start = _find_start(motion, top)
    level = _find_arm_level(motion, top, impact_s)
    finish = _find_finish(motion, impact_s)

    found = [
        (KeyFrameName.ADDRESS, start[0], start[2], "pose"),
        (KeyFrameName.TAKEAWAY, start[1], start[2], "pose"),
        (KeyFrameName.TOP, time_s[top], top_certainty, "pose"),
        (KeyFrameName.ARM_LEVEL, level, 0.9, "pose"),
        (KeyFrameName.IMPACT, impact_s, impact_certainty, source),
        (KeyFrameName.FINISH, finish[0], finish[1], "pose"),
    ]
    frames = []
    for name, at_s, certainty, how in found:
        if at_s is None:
            continue
        shown_s = float(at_s) / time_scale
        nearest = int(np.argmin(np.abs(track.time_s - shown_s)))
        frames.append(KeyFrame(name.value, shown_s, nearest, float(certainty), how))
    return tuple(frames)


def _resample(track: LandmarkTrack, time_scale: float) -> _Motion:
    true_s = track.time_s * time_scale
    time_s = np.arange(true_s[0], true_s[-1], 1.0 / _RATE_HZ)
    if len(time_s) < _RATE_HZ / 2:
        raise BadInputError(
            f"The clip lasts {true_s[-1] - true_s[0]:.2f} s; expected a whole swing, at least half a second."
        )
    size = compute_stature_px(track, slice(0, max(3, len(true_s) // 6)))

    def even(points: FloatArray, sd_s: float) -> FloatArray:
        resampled = np.stack([np.interp(time_s, true_s, points[:, i]) for i in range(points.shape[1])], axis=1)
        smooth: FloatArray = gaussian_filter1d(resampled, sd_s * _RATE_HZ, axis=0, mode="nearest") / size
        return smooth

    hands = even(middle_px(track, LEAD_WRIST, TRAIL_WRIST), 0.025)
    velocity = np.gradient(hands, 1.0 / _RATE_HZ, axis=0)
    arm = even(track.image_px[:, LEAD_SHOULDER, :2] - track.image_px[:, LEAD_WRIST, :2], 0.015)
    body = [
        np.linalg.norm(np.gradient(even(track.image_px[:, point, :2], 0.025), 1.0 / _RATE_HZ, axis=0), axis=1)
        for point in (LEAD_SHOULDER, TRAIL_SHOULDER, LEAD_WRIST, TRAIL_WRIST, LEAD_HIP, TRAIL_HIP)
    ]
    return _Motion(
        time_s=time_s,
        hands=hands,
        lead_arm_height=arm[:, 1],
        hand_speed=np.linalg.norm(velocity, axis=1),
        down_speed=velocity[:, 1],
        body_speed=gaussian_filter1d(np.mean(body, axis=0), 0.017 * _RATE_HZ, mode="nearest"),
    )


def _find_downswing(motion: _Motion) -> int:
    """Where the hands come down fastest on a way that ends low, at the ball.

    After the finish they can drop just as fast, but only to about the height of the shoulders.
    """
    speed = motion.down_speed
    if speed.max() < _LEAST_DOWNSWING_SPEED:
        return int(np.argmax(speed))
    peaks, _ = find_peaks(np.concatenate([[0.0], speed, [0.0]]), height=_LEAST_PART_OF_FASTEST * speed.max())
    reach = int(_IMPACT_SEARCH_S * _RATE_HZ)
    ends = np.array([motion.hands[p : p + reach, 1].max() for p in peaks - 1])
    low_enough = (peaks - 1)[ends >= ends.max() - _AS_LOW]
    return int(low_enough[np.argmax(speed[low_enough])])


def _find_impact(motion: _Motion, fastest_down: int) -> tuple[float, float]:
    until = fastest_down + int(_IMPACT_SEARCH_S * _RATE_HZ)
    lowest = fastest_down + int(np.argmax(motion.hands[fastest_down:until, 1]))
    is_inside = lowest < min(until, len(motion.time_s)) - 1
    return float(motion.time_s[lowest] + _LOWEST_BEFORE_IMPACT_S), 0.8 if is_inside else 0.3


def _find_top(motion: _Motion, impact_s: float) -> tuple[int, float]:
    """Highest and slowest hands before the downswing; where the two agree the top is sure."""
    latest, earliest = (impact_s - gap for gap in _DOWNSWING_S)
    window = np.flatnonzero((motion.time_s >= earliest) & (motion.time_s <= latest))
    if len(window) == 0:
        return 0, 0.1
    highest = window[int(np.argmin(motion.hands[window, 1]))]
    slowest = window[int(np.argmin(motion.hand_speed[window]))]
    gap_s = abs(int(highest) - int(slowest)) / _RATE_HZ
    if gap_s <= 0.05:
        return int(round((highest + slowest) / 2)), 0.9
    # Far apart the hands either float before the top or move level through it: the reversal of their path decides.
    reversal = _find_reversal(motion, int(window[0]), int(window[-1]))
    return reversal, 0.6


def _find_reversal(motion: _Motion, start: int, end: int) -> int:
    """Where the path of the hands turns back on itself: arriving and leaving directions are most opposed."""
    reach = int(0.06 * _RATE_HZ)
    best, most = start, -np.inf
    for i in range(max(start, reach), min(end, len(motion.hands) - reach - 1)):
        arriving = motion.hands[i] - motion.hands[i - reach]
        leaving = motion.hands[i + reach] - motion.hands[i]
        opposed = float(-(arriving @ leaving) / (np.linalg.norm(arriving) * np.linalg.norm(leaving) + 1e-4))
        if opposed > most:
            best, most = i, opposed
    return best


def _find_start(motion: _Motion, top: int) -> tuple[float, float, float]:
    """Address (last still instant), takeaway (movement that lasts) and a certainty.

    The hands leave slowly. Their way grows about with the square of time, so it takes as long from nothing to one part
    as from one part to four: that gives the start even where the first millimetres drown in noise.
    """
    last = top - int(_BACKSWING_AT_LEAST_S * _RATE_HZ)
    i = max(last, 0)
    while i > 0 and motion.hand_speed[i] > _STILL_SPEED:
        i -= 1
    still = motion.hands[max(0, i - int(0.15 * _RATE_HZ)) : i + 1].mean(axis=0)
    way = np.linalg.norm(motion.hands - still, axis=1)
    after = np.arange(i, max(top, i + 1))

    def first_beyond(length: float) -> int:
        beyond = after[way[after] > length]
        return int(beyond[0]) if len(beyond) else i

    one, four = first_beyond(_FIRST_DISPLACEMENT), first_beyond(_FOURFOLD_DISPLACEMENT)
    extrapolated_s = motion.time_s[one] - (motion.time_s[four] - motion.time_s[one])
    address_s = float(max(motion.time_s[0], min(motion.time_s[i], extrapolated_s)))
    lasting = first_beyond(_LASTING_DISPLACEMENT)
    certainty = 0.85 if i > 0.05 * _RATE_HZ else 0.3
    return address_s, float(motion.time_s[max(lasting, i)]), certainty


def _find_arm_level(motion: _Motion, top: int, impact_s: float) -> float | None:
    """When the lead wrist comes down past the height of the lead shoulder."""
    end = int(np.searchsorted(motion.time_s, impact_s))
    heights = motion.lead_arm_height[top:end]
    falling = np.flatnonzero((heights[:-1] > 0) & (heights[1:] <= 0))
    if len(falling) == 0:
        return None
    j = top + int(falling[-1])
    above, below = motion.lead_arm_height[j], motion.lead_arm_height[j + 1]
    return float(motion.time_s[j] + above / (above - below) / _RATE_HZ)


def _find_finish(motion: _Motion, impact_s: float) -> tuple[float | None, float]:
    begin = int(np.searchsorted(motion.time_s, impact_s + 0.15))
    still = np.flatnonzero(motion.body_speed[begin:] < _TURNING_STOPPED_SPEED)
    if len(still):
        return float(motion.time_s[begin + still[0]]), 0.7
    if begin >= len(motion.time_s):
        return None, 0.0
    return float(motion.time_s[-1]), 0.2
