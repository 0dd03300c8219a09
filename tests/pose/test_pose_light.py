"""How clearly a person stands out in a picture: drawn pictures whose grey levels are known."""

import numpy as np
import pytest

from review.pose.light import measure_contrast

# a person of 400 pixels, so a box of 520 x 320
POINTS = np.array([[200.0, 200.0], [400.0, 600.0], [300.0, 400.0]])


def picture(dark, light):
    """Left half of the person's box dark, right half light; far away black and white."""
    rgb = np.zeros((800, 1000, 3), np.uint8)
    rgb[:, :300], rgb[:, 300:] = dark, light
    rgb[:, 500:] = 255
    rgb[:100] = 0
    return rgb


def test_it_is_the_difference_around_the_person():
    assert measure_contrast(picture(40, 130), POINTS) == pytest.approx(90.0, abs=1.0)


def test_noise_does_not_count_as_light():
    noisy = picture(60, 80) + np.random.default_rng(0).normal(0.0, 25.0, (800, 1000, 3))
    assert measure_contrast(noisy.clip(0, 255).astype(np.uint8), POINTS) == pytest.approx(20.0, abs=8.0)


def test_colours_weigh_as_the_eye_sees_them():
    """Green of 100 is a grey of 58.7 (ITU-R BT.601)."""
    rgb = picture(0, 0)
    rgb[:, 300:500, 1] = 100
    assert measure_contrast(rgb, POINTS) == pytest.approx(58.7, abs=0.5)


def test_a_person_outside_the_picture_has_none():
    assert np.isnan(measure_contrast(picture(40, 130), POINTS + 2000.0))
