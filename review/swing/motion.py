"""The hands and the trunk of a swing, resampled evenly: what key frames are found in."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d

from review.body import compute_stature_px, middle_px
from review.body.golfer import LEAD_HIP, LEAD_SHOULDER, LEAD_WRIST, TRAIL_HIP, TRAIL_SHOULDER, TRAIL_WRIST
from review.errors import BadInputError
from review.lesson import FloatArray
from review.pose import Landmark, LandmarkTrack

RATE_HZ = 120.0
_SMOOTHED_S = 0.025
_ARM_SMOOTHED_S = 0.015
_SPEED_SMOOTHED_S = 0.017
_TRUNK = (LEAD_SHOULDER, TRAIL_SHOULDER, LEAD_HIP, TRAIL_HIP)
_UPPER_BODY = (*_TRUNK, LEAD_WRIST, TRAIL_WRIST, Landmark.LEFT_ELBOW, Landmark.RIGHT_ELBOW)


@dataclass(frozen=True, eq=False)
class Motion:
    """The swing at ``RATE_HZ`` in true seconds; lengths in statures, speeds in statures a second.

    ``hands`` (n, 2) middle of the wrists, x right, y down; ``down_speed`` its speed downward; ``lead_arm_height`` lead
    wrist over lead shoulder, + above; ``upper_body`` (n, 8, 2) shoulders, hips, wrists, elbows; ``trunk_speed`` mean
    speed of shoulders and hips.
    """

    time_s: FloatArray
    hands: FloatArray
    lead_arm_height: FloatArray
    hand_speed: FloatArray
    down_speed: FloatArray
    upper_body: FloatArray
    trunk_speed: FloatArray

    @property
    def wrists(self) -> FloatArray:
        """(n, 2, 2) lead and trail wrist."""
        return self.upper_body[:, len(_TRUNK) : len(_TRUNK) + 2]

    def index_of(self, time_s: float) -> int:
        """Nearest sample to a true time."""
        return int(np.clip(round((time_s - self.time_s[0]) * RATE_HZ), 0, len(self.time_s) - 1))

    def distance_from(self, i: int) -> FloatArray:
        """(n,) distance of the hands from where they are at sample ``i``."""
        distance: FloatArray = np.linalg.norm(self.hands - self.hands[i], axis=1)
        return distance


def read_motion(track: LandmarkTrack, time_scale: float) -> Motion:
    """Resample a right-hander's track; true time = presentation time x ``time_scale``.

    Raises
    ------
    BadInputError
        When the clip lasts less than half a second.
    """
    true_s = track.time_s * time_scale
    time_s = np.arange(true_s[0], true_s[-1], 1.0 / RATE_HZ)
    if len(time_s) < RATE_HZ / 2:
        raise BadInputError(
            f"The clip lasts {true_s[-1] - true_s[0]:.2f} s; expected a whole swing, at least half a second."
        )
    size = compute_stature_px(track, slice(0, max(3, len(true_s) // 6)))

    def even(points: FloatArray, sd_s: float) -> FloatArray:
        resampled = np.stack([np.interp(time_s, true_s, points[:, i]) for i in range(points.shape[1])], axis=1)
        smooth: FloatArray = gaussian_filter1d(resampled, sd_s * RATE_HZ, axis=0, mode="nearest") / size
        return smooth

    hands = even(middle_px(track, LEAD_WRIST, TRAIL_WRIST), _SMOOTHED_S)
    velocity = np.gradient(hands, 1.0 / RATE_HZ, axis=0)
    arm = even(track.image_px[:, LEAD_SHOULDER, :2] - track.image_px[:, LEAD_WRIST, :2], _ARM_SMOOTHED_S)
    points = np.stack([even(track.image_px[:, point, :2], _SMOOTHED_S) for point in _UPPER_BODY], axis=1)
    trunk = np.linalg.norm(np.gradient(points[:, : len(_TRUNK)], 1.0 / RATE_HZ, axis=0), axis=2).mean(axis=1)
    return Motion(
        time_s=time_s,
        hands=hands,
        lead_arm_height=arm[:, 1],
        hand_speed=np.linalg.norm(velocity, axis=1),
        down_speed=velocity[:, 1],
        upper_body=points,
        trunk_speed=gaussian_filter1d(trunk, _SPEED_SMOOTHED_S * RATE_HZ, mode="nearest"),
    )
