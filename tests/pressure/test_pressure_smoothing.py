"""Samples that are missing: an empty place counts where it is, not to the end of the trace."""

from dataclasses import replace

import numpy as np
import pytest

from review.pressure import compute_speed, find_steps
from review.pressure.smoothing import smooth_with_gaps
from tests.pressure.made_mats import make_steps

T = np.arange(0, 4, 0.01)


def test_a_mean_of_what_is_there_is_the_mean_of_its_window():
    values = np.random.default_rng(2).standard_normal(60)
    values[[0, 20, 21, 40, 41, 42, 43, 44]] = np.nan
    found = smooth_with_gaps(values, 5)
    for i in range(2, 58):
        window = values[i - 2 : i + 3]
        there = window[np.isfinite(window)]
        expected = there.mean() if len(there) >= 3 else np.nan
        assert found[i] == pytest.approx(expected, nan_ok=True)


@pytest.mark.parametrize("missing", [slice(0, 1), slice(200, 201), slice(150, 158), slice(0, 100)])
def test_an_even_move_has_its_speed_beside_a_gap_and_none_in_it(missing):
    xy = np.column_stack([30 * T, 40 * T])
    xy[missing] = np.nan
    speed = compute_speed(T, xy)
    assert np.nanmin(speed) == pytest.approx(50)
    assert np.nanmax(speed) == pytest.approx(50)
    assert np.isnan(speed).sum() <= missing.stop - missing.start + 2
    assert np.isfinite(speed[missing.stop + 2 :]).all()


@pytest.mark.parametrize("missing", [slice(0, 1), slice(700, 701), slice(0, 100), slice(420, 480)])
def test_the_three_steps_are_found_beside_empty_places(missing):
    steps = make_steps(30)
    xy, force = steps.xy_cm.copy(), steps.force_n.copy()
    xy[missing] = np.nan
    if missing.stop - missing.start > 1:
        force[missing] = 0.0  # nobody on the mat
    found = find_steps(replace(steps, xy_cm=xy, force_n=force))
    spans = ((1.0 if missing == slice(0, 100) else 0.0, 4), (5, 9), (10, 14))
    for (a, b), (low, high) in zip((found.still_s, found.lead_s, found.toes_s), spans, strict=True):
        assert a == pytest.approx(low, abs=0.4)
        assert b == pytest.approx(high, abs=0.4)
