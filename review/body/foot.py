"""The trail foot on the ground: how far it twists, how far it slips."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d
from scipy.special import ndtri

from review.body.golfer import LEAD_ANKLE, TRAIL_ANKLE, TRAIL_HEEL, TRAIL_TOE
from review.body.scale import find_player
from review.body.seen import SeenSwing
from review.body.series import Series
from review.lesson import Z90, FloatArray, KeyFrameName, View

_SMOOTHING_S = 0.015
# A foot on the ground does not go this far; landmarks that do have changed feet.
_FARTHEST_CM = 12.0

NOT_FACE_ON = "needs a face-on camera"
CONFUSED = "the two feet were mixed up in the picture"
CUT_OFF = "the trail foot is not wholly in the picture"
QUICK = "the quick run cannot tell it; measure thoroughly"


@dataclass(frozen=True)
class Reading:
    """One number of the swing as a whole; ``value`` NaN with a reason where it could not be measured.

    ``own_sd`` and ``shared_sd`` as in ``Series``; ``is_at_most``: the value is the most that can be said.
    """

    value: float
    own_sd: float = 0.0
    shared_sd: float = 0.0
    is_at_most: bool = False
    why_missing: str = ""

    @property
    def interval(self) -> tuple[float, float]:
        """The 90 % interval; from nothing up to the value where that is the most that can be said."""
        if self.is_at_most:
            return 0.0, self.value
        half = Z90 * float(np.hypot(self.own_sd, self.shared_sd))
        return self.value - half, self.value + half


def missing(why: str) -> Reading:
    """A number that could not be measured."""
    return Reading(float("nan"), why_missing=why)


@dataclass(frozen=True)
class FootError:
    """What is taken off for the detector's bias, and the error left, one standard deviation, with its shared part."""

    bias: float
    sd: float
    shared_part: float


# Fitted and scored on rendered players, the scored body left out (docs/foot.md).
_TWIST_DEG_PER_FOOT = {"heavy": 6.0}
_TWIST_ERROR = {"heavy": FootError(0.0, 3.8, shared_part=0.7)}
_SLIP_ERROR = {
    ("full", View.FACE_ON): FootError(0.0, 0.75, shared_part=0.9),
    ("heavy", View.FACE_ON): FootError(0.2, 0.6, shared_part=0.9),
    ("full", View.DOWN_THE_LINE): FootError(1.25, 1.6, shared_part=0.9),
    ("heavy", View.DOWN_THE_LINE): FootError(0.4, 0.85, shared_part=0.9),
}
# Part of each landmark in the point that stays where it is while the foot twists: the ball of the foot.
_BALL = {TRAIL_TOE: 0.69, TRAIL_ANKLE: 0.17, TRAIL_HEEL: 0.14}
# Evenly likely values of a standard normal distribution.
_NORMAL = ndtri((np.arange(200) + 0.5) / 200)


def compute_trail_foot_twist(seen: SeenSwing, heel_up_ms: float) -> Series | str:
    """Compute the trail foot's turning on the ground from address, degrees, + toe turning toward the target.

    A foot that points at a face-on camera moves its toe sideways against its ankle when it twists, by the foot's length
    times the sine of its direction.

    Parameters
    ----------
    heel_up_ms : when the heel comes up, + before impact (``heel_off.find_heel_up``); from then on the value is NaN.

    Returns
    -------
    The series on the frames of ``seen``, or the reason why there is none.
    """
    reason = _why_not(seen)
    if seen.view is not View.FACE_ON:
        reason = NOT_FACE_ON
    elif seen.track.model not in _TWIST_ERROR:
        reason = QUICK
    if reason:
        return reason
    still = seen.still_frames()
    size = find_player(seen.track, seen.view, still).stature_px
    across = (_smooth_x(seen, TRAIL_TOE) - _smooth_x(seen, TRAIL_ANKLE)) / size * 100.0
    at_address = float(np.median(across[still]))
    # the same twist moves a foot that points past the camera less
    sine = np.clip(at_address / _FOOT_PER_CENT, -0.8, 0.8)
    twist = _TWIST_DEG_PER_FOOT[seen.track.model] * (across - at_address) / np.sqrt(1.0 - sine**2)
    error = _TWIST_ERROR[seen.track.model]
    gone = _before_impact_ms(seen) < heel_up_ms  # never where that is NaN
    sd = np.full(len(twist), seen.widening * error.sd)
    return Series(
        time_s=seen.track.time_s,
        value=np.where(gone, np.nan, twist - error.bias),
        own_sd=sd * np.sqrt(1.0 - error.shared_part),
        shared_sd=sd * np.sqrt(error.shared_part),
        is_bound=np.zeros(len(twist), bool),
    )


_FOOT_PER_CENT = 11.5


def compute_trail_foot_slip(seen: SeenSwing, stature_m: float | None) -> Reading:
    """Compute how far the ball of the trail foot moved on the ground between top and impact, cm.

    Face-on: along the target line, + toward target. Down the line: square to it, + toward the toes.
    """
    top_s, impact_s = seen.true_time_of(KeyFrameName.TOP), seen.true_time_of(KeyFrameName.IMPACT)
    if top_s is None or impact_s is None:
        return missing("top or impact was not found in the clip")
    reason = _why_not(seen)
    if reason:
        return missing(reason)
    scale = seen.scale_with(stature_m)
    ball = sum((part * _smooth_x(seen, point) for point, part in _BALL.items()), np.zeros(len(seen.track.time_s)))
    true_s = seen.track.time_s * seen.time_scale
    moved = float(np.interp(impact_s, true_s, ball) - np.interp(top_s, true_s, ball)) * scale.cm_per_px
    if abs(moved) > _FARTHEST_CM:
        return missing(CONFUSED)
    error = _SLIP_ERROR[(seen.track.model, seen.view)]
    slip = moved - error.bias
    sd = float(np.hypot(seen.widening * error.sd, scale.relative_sd * slip))
    return Reading(slip, sd * np.sqrt(1.0 - error.shared_part), sd * np.sqrt(error.shared_part))


def combine_slip(along: Reading, to_toes: Reading) -> Reading:
    """Length of the slip from its two directions, cm.

    Where it does not exceed twice its error, the most that can be said: the upper 95 % limit of the length while each
    direction is known as its own normal distribution, and no less than either direction's own 90 % interval reaches.
    """
    for part in (along, to_toes):
        if part.why_missing:
            return missing(part.why_missing)
    length = float(np.hypot(along.value, to_toes.value))
    share = np.array([along.value, to_toes.value]) / max(length, 1e-9)
    own = float(np.hypot(*(share * [along.own_sd, to_toes.own_sd])))
    shared = float(np.hypot(*(share * [along.shared_sd, to_toes.shared_sd])))
    if length > 2.0 * float(np.hypot(own, shared)):
        return Reading(length, own, shared)
    x, y = (part.value + np.hypot(part.own_sd, part.shared_sd) * _NORMAL for part in (along, to_toes))
    most = float(np.quantile(np.hypot(x[:, None], y), 0.95))
    reach = max(abs(end) for part in (along, to_toes) for end in part.interval)
    return Reading(max(most, reach), own, shared, is_at_most=True)


def _why_not(seen: SeenSwing) -> str:
    """Why the feet cannot be followed from address to impact; '' when they can."""
    impact_s = seen.true_time_of(KeyFrameName.IMPACT)
    if impact_s is None:
        return "impact was not found in the clip"
    track = seen.track
    during = (_before_impact_ms(seen) >= 0.0) & (np.arange(len(track.time_s)) >= seen.still_frames().start)
    points = track.image_px[during][:, [TRAIL_TOE, TRAIL_HEEL, TRAIL_ANKLE], :2]
    if points.min() < 1.0 or points[..., 0].max() > track.width_px - 2 or points[..., 1].max() > track.height_px - 2:
        return CUT_OFF
    still = seen.still_frames()
    far_px = _FARTHEST_CM / seen.scale_with(None).cm_per_px
    for point in (LEAD_ANKLE, TRAIL_ANKLE):
        x = _smooth_x(seen, point)
        if np.abs(x[during] - np.median(x[still])).max() > far_px:
            return CONFUSED
    return ""


def _before_impact_ms(seen: SeenSwing) -> FloatArray:
    impact_s = seen.true_time_of(KeyFrameName.IMPACT)
    if impact_s is None:
        raise ValueError("impact is needed")
    result: FloatArray = (impact_s - seen.track.time_s * seen.time_scale) * 1000.0
    return result


def _smooth_x(seen: SeenSwing, point: int) -> FloatArray:
    step_s = float(np.median(np.diff(seen.track.time_s))) * seen.time_scale
    smooth: FloatArray = gaussian_filter1d(
        seen.track.image_px[:, point, 0], max(_SMOOTHING_S / step_s, 0.3), mode="nearest"
    )
    return smooth
