"""What a pose model has to offer; any model that does can take the place of the one shipped."""

from collections.abc import Iterable
from enum import StrEnum
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from review.pose.track import LandmarkTrack

Picture = tuple[float, NDArray[np.uint8]]


class Effort(StrEnum):
    """How much time to spend: QUICK between two balls, THOROUGH afterwards."""

    QUICK = "quick"
    THOROUGH = "thorough"


class PoseEstimator(Protocol):
    """Turns the pictures of one clip into one track of landmarks."""

    @property
    def key(self) -> str:
        """Names model and mode: landmarks with the same key of the same clip are the same."""

    def track(self, pictures: Iterable[Picture]) -> LandmarkTrack:
        """Follow one person through (time_s, rgb (height, width, 3)) pictures in order of time."""
