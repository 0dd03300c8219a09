"""The height of the centre of mass against bodies whose masses are known."""

import numpy as np
import pytest

from review.body.mass_centre import find_mass_height
from review.pose import Landmark, LandmarkTrack


def track_of(y_px):
    image = np.zeros((*y_px.shape, 3))
    image[:, :, 1] = y_px
    return LandmarkTrack(
        np.arange(len(y_px)) / 60.0, image, np.zeros_like(image), np.ones(y_px.shape), 100, 100, "m", "k"
    )


def test_a_body_that_rises_as_one_rises_by_as_much():
    y = np.full((3, 33), 500.0)
    y[1] -= 10
    assert np.diff(find_mass_height(track_of(y))) == pytest.approx([10, -10])


def test_a_limb_counts_by_its_mass():
    """A knee carries .433 of a thigh (.1 of the mass) and .567 of a shank (.0465)."""
    y = np.full((2, 33), 500.0)
    y[1, Landmark.LEFT_KNEE] -= 100
    assert np.diff(find_mass_height(track_of(y))) == pytest.approx([100 * (0.433 * 0.1 + 0.567 * 0.0465)], rel=0.002)


def test_the_parts_make_a_whole_body():
    """Hands, feet and all add up to one body: from ankles at 0 to a nose at 100 px it lies in the hips' height."""
    heights = {"NOSE": 100, "SHOULDER": 88, "ELBOW": 68, "WRIST": 52, "HIP": 55, "KNEE": 28, "ANKLE": 3, "HEEL": 0}
    y = np.full((1, 33), 500.0)
    for landmark in Landmark:
        y[0, landmark] -= heights.get(landmark.name.rpartition("_")[2], 0)
    height = find_mass_height(track_of(y))[0] + 500
    assert 55 < height < 65
