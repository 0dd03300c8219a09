"""One camera's sight of one swing: what the body room measures from."""

from dataclasses import dataclass

import numpy as np

from review.body.camera_setup import TargetDirection
from review.body.player_setup import PlayerCorrection
from review.body.scale import Scale, find_player, scale_from_stature
from review.lesson import KeyFrame, KeyFrameName, View
from review.pose import Landmark, LandmarkTrack

_MOST_UNSEEN = 0.1
_FEET = [
    Landmark.LEFT_ANKLE, Landmark.RIGHT_ANKLE, Landmark.LEFT_HEEL, Landmark.RIGHT_HEEL, Landmark.LEFT_TOE,
    Landmark.RIGHT_TOE,
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
        unseen = float((self.track.visibility.max(axis=1) <= 0.0).mean())
        return not self.has_feet or unseen > _MOST_UNSEEN

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
