"""Everybody in a picture, those who stand farther off too: to cover who only happens to be there."""

from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray
from review.pose.mediapipe_estimator import Detect, open_detector
from review.pose.track import N_LANDMARKS, Landmark

_MOST = 5
"""People looked for in one part of the picture."""
_LEAST_SEEN = 0.5
"""Mean visibility of shoulders and hips below which it is taken for nobody."""
_TRUNK = (Landmark.LEFT_SHOULDER, Landmark.RIGHT_SHOULDER, Landmark.LEFT_HIP, Landmark.RIGHT_HIP)


class PeopleFinder:
    """Finds the people in single pictures; the model sees who stands large, so parts are looked at as well."""

    def __init__(self, detect: Detect) -> None:
        self._detect = detect

    def find(self, rgb: NDArray[np.uint8]) -> FloatArray:
        """Return the landmarks (n, 33, 2) px of the people found; one person may be among them more than once."""
        found = []
        for x, y, part in _parts(rgb):
            for points, visibility in self._detect(part):
                if visibility[list(_TRUNK)].mean() >= _LEAST_SEEN:
                    found.append(points + [x, y])
        return np.array(found, dtype=np.float64).reshape(-1, N_LANDMARKS, 2)


@contextmanager
def open_finder() -> Iterator[PeopleFinder]:
    """Give a finder of people, closed at the end of the block.

    Raises
    ------
    MachineError
        When the model file or the library is missing.
    """
    with open_detector(_MOST) as detect:
        yield PeopleFinder(detect)


def _parts(rgb: NDArray[np.uint8]) -> Iterator[tuple[int, int, NDArray[np.uint8]]]:
    """The whole picture, and squares of half its longer side that overlap by half."""
    height, width = rgb.shape[:2]
    yield 0, 0, rgb
    side = max(height, width) // 2
    for y in range(0, max(height - side // 2, 1), side // 2):
        for x in range(0, max(width - side // 2, 1), side // 2):
            yield x, y, rgb[y : y + side, x : x + side]
