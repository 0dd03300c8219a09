"""One camera's sight of one swing: what the body room measures from."""

import math
from dataclasses import dataclass

import numpy as np

from review.body.camera_setup import TargetDirection
from review.body.player_setup import PlayerCorrection
from review.body.scale import Scale, find_player, scale_from_stature
from review.lesson import KeyFrame, KeyFrameName, View
from review.pose import Landmark, LandmarkTrack

_MOST_UNSEEN = 0.1
# Feet out of the picture, nobody found on many frames: errors grow to about twice (docs/accuracy.md).
_POORLY_SEEN = 2.0
# Grey levels around the player, and how far landmarks of a standing body tremble, thousandths of stature: well-lit
# bench and sample clips have 72 to 169 and up to 0.1. From here on errors grow (docs/camera_setup.md).
_WELL_LIT, _STEADY, _LIGHT_POWER = 60.0, 0.3, 0.4
_TREMBLE_HZ = 60.0
# Over a whole clip well-lit swings have up to 0.2; with strong noise up to 3 were still readable, 4.6 was nonsense.
_LOST = 4.0
_FEET = [
    Landmark.LEFT_ANKLE, Landmark.RIGHT_ANKLE, Landmark.LEFT_HEEL, Landmark.RIGHT_HEEL, Landmark.LEFT_TOE,
    Landmark.RIGHT_TOE,
]  # fmt: skip
_BODY = [
    Landmark.LEFT_SHOULDER, Landmark.RIGHT_SHOULDER, Landmark.LEFT_HIP, Landmark.RIGHT_HIP, Landmark.LEFT_KNEE,
    Landmark.RIGHT_KNEE, Landmark.LEFT_ANKLE, Landmark.RIGHT_ANKLE,
]  # fmt: skip


@dataclass(frozen=True, eq=False)
class SeenSwing:
    """A right-hander's track (see ``as_right_hander``) with what is known around it.

    True time = presentation time x ``time_scale``. ``scale`` and ``focal_px`` are those of the camera as placed, None
    before that. ``correction`` is that of the player set-up, where there is one.
    """

    track: LandmarkTrack
    view: View
    key_frames: tuple[KeyFrame, ...]
    target: TargetDirection
    time_scale: float = 1.0
    scale: Scale | None = None
    focal_px: float | None = None
    correction: PlayerCorrection | None = None

    def scale_with(self, stature_m: float | None) -> Scale:
        """Size of a pixel at the player's feet: from the set-up (which knows the stature), else from the stature."""
        if self.scale is not None:
            return self.scale
        return scale_from_stature(find_player(self.track, self.view, self.still_frames()), stature_m)

    @property
    def has_feet(self) -> bool:
        """Whether both feet lie inside the picture at address; outside it the detector only guesses."""
        x, y = np.median(self.track.image_px[self.still_frames()][:, _FEET, :2], axis=0).T
        inside = (x >= 0) & (x <= self.track.width_px - 1) & (y >= 0) & (y <= self.track.height_px - 1)
        return bool(inside.all())

    @property
    def is_poorly_seen(self) -> bool:
        """Whether the feet are cut off, or nobody was found on more than a tenth of the frames (poor light)."""
        return not self.has_feet or self.is_seldom_found

    @property
    def is_seldom_found(self) -> bool:
        """Whether nobody was found on more than a tenth of the frames."""
        return bool((self.track.visibility.max(axis=1) <= 0.0).mean() > _MOST_UNSEEN)

    @property
    def light_widening(self) -> float:
        """How many times larger errors are for want of light or contrast; 1 where there is enough or nobody knows."""
        contrast = self.track.contrast
        lacks = [1.0, self._measure_tremble(self.still_frames()) / _STEADY]
        if np.isfinite(contrast):
            lacks.append(_WELL_LIT / max(contrast, 1.0))
        return math.pow(max(lacks), _LIGHT_POWER)

    @property
    def is_lost(self) -> bool:
        """Whether the landmarks jump about so much that they follow nobody."""
        return self._measure_tremble(slice(0, len(self.track.time_s))) > _LOST

    def _measure_tremble(self, frames: slice) -> float:
        """How far landmarks of the body jump from picture to picture, thousandths of stature, one standard deviation.

        From second differences of 60 pictures a second, or of all where there are fewer: a body that moves has hardly
        any. Pictures between those looked at have none, so each choice of every n-th is tried.
        """
        xy = self.track.image_px[frames][:, _BODY, :2]
        step_s = float(np.median(np.diff(self.track.time_s))) * self.time_scale
        every = max(1, round(1.0 / _TREMBLE_HZ / step_s))
        if len(xy) < 3 * every:
            return 0.0
        jumps_px = max(float(np.median(np.abs(np.diff(xy[first::every], n=2, axis=0)))) for first in range(every))
        # second differences of noise are sqrt(6) as large as the noise; 0.6745: median of a normal distribution
        noise_px = jumps_px / (0.6745 * math.sqrt(6.0))
        return 1000.0 * noise_px / find_player(self.track, self.view, self.still_frames()).stature_px

    @property
    def widening(self) -> float:
        """How many times larger the errors are than in a swing that is well seen."""
        return max(self.light_widening, _POORLY_SEEN if self.is_poorly_seen else 1.0)

    def true_time_of(self, name: KeyFrameName) -> float | None:
        """True time of a key frame, seconds; None when it was not found."""
        for key_frame in self.key_frames:
            if key_frame.name == name.value:
                return key_frame.time_s * self.time_scale
        return None

    def still_frames(self) -> slice:
        """Frames of the 0.15 s up to address, at least three."""
        address_s = self.true_time_of(KeyFrameName.ADDRESS) or 0.0
        true_s = self.track.time_s * self.time_scale
        last = int(true_s.searchsorted(address_s)) + 1
        first = int(true_s.searchsorted(address_s - 0.15))
        return slice(min(first, max(0, last - 3)), max(last, 3))
