"""Several people in one picture, one of them far smaller."""

from pathlib import Path

import cv2
import numpy as np
import pytest

from review.media import read_frames
from review.pose import open_finder

CLIP = Path(__file__).parents[2] / "sample_clips" / "clips" / "20260314_101518.mp4"


@pytest.fixture(scope="module")
def filmed():
    return next(read_frames(CLIP, 20, 21)).rgb


def test_everybody_is_found_and_nobody_who_is_not_there(filmed):
    with open_finder() as finder:
        alone = finder.find(filmed)
        nose = np.median(alone[:, 0], axis=0)
        height, width = filmed.shape[:2]
        # found more than once, always the same: noses within a tenth of the picture
        assert len(alone) >= 1
        assert np.hypot(*(alone[:, 0] - nose).T).max() < 0.1 * width
        # the same person at 0.4 of the size, put at the lower right
        small = cv2.resize(filmed, None, fx=0.4, fy=0.4, interpolation=cv2.INTER_AREA)
        small = small[:, small.shape[1] // 4 : -small.shape[1] // 4]
        both = filmed.copy()
        x, y = width - small.shape[1], round(0.85 * height) - small.shape[0]
        both[y : y + small.shape[0], x:] = small
        expected = nose * 0.4 + [x - round(width * 0.1), y]
        off = np.hypot(*(finder.find(both)[:, 0] - expected).T)
        assert off.min() < 0.02 * height
        assert len(finder.find(np.full_like(filmed, 128))) == 0
