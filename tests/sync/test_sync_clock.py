"""Offset and drift as a line, against known clocks and an independent robust fit."""

import numpy as np
import pytest
from scipy.stats import theilslopes

from review.sync import Clock, group_clips, match_by_clock
from review.sync.clock import DRIFT_SD_PPM, fit_clock
from tests.made_lessons import make_lesson


def test_there_and_back():
    clock = Clock(192.4, 40.0, 36_000.0)
    at = np.array([35_000.0, 36_000.0, 39_600.0])
    assert clock.to_camera_s(at) == pytest.approx(at + 192.4 + 40e-6 * (at - 36_000.0), abs=1e-9)
    assert clock.to_device_s(clock.to_camera_s(at)) == pytest.approx(at, abs=1e-9)


def test_two_gross_outliers_do_not_move_the_line():
    # ten points, slope 1.00002, two far off: Theil and Sen's line (scipy) gives slope and offset exactly
    device = np.linspace(0.0, 3600.0, 10)
    camera = 1.00002 * device + 420.0
    camera[[2, 7]] += [9.0, -30.0]
    slope, intercept, *_ = theilslopes(camera, device)
    assert (slope, intercept) == pytest.approx((1.00002, 420.0), abs=1e-9)
    clock = fit_clock(camera, device, np.full(10, 0.001), Clock(420.0))
    assert clock.drift_ppm == pytest.approx(1e6 * (slope - 1.0), abs=1.0)
    # two of ten pull a Huber line by about a third of an SD
    assert clock.to_camera(0.0) == pytest.approx(intercept, abs=0.001)


def test_the_drift_of_few_coarse_pairs_is_left_at_none():
    # two minutes with stamps to the second say nothing about 40 millionths (5 ms)
    device = np.linspace(0.0, 120.0, 5)
    clock = fit_clock(device + 10.0, device, np.full(5, 0.4), Clock(10.0))
    assert clock.drift_ppm == pytest.approx(0.0, abs=0.1)
    assert clock.drift_spread_ppm == pytest.approx(DRIFT_SD_PPM, rel=0.01)


@pytest.mark.parametrize("drift_ppm", [-100.0, -20.0, 40.0])
def test_drift_is_found_where_stamps_are_fine(drift_ppm):
    lesson = make_lesson(1, n_shots=60, drift_ppm=drift_ppm, clip_resolution_s=0.01, row_resolution_s=0.01)
    matching = match_by_clock(group_clips(lesson.moments), lesson.rows)
    # some 57 pairs to a hundredth, an hour long, pulled toward none by the expected 30
    assert matching.clock.drift_ppm == pytest.approx(drift_ppm, abs=0.2 * abs(drift_ppm))
    assert abs(matching.clock.drift_ppm - drift_ppm) < 3 * matching.clock.drift_spread_ppm
    got = {clip_id: pair.row_id for pair in matching.pairs for clip_id in pair.clip_ids}
    assert got == {clip_id: row for clip_id, row in lesson.truth.items() if row is not None}


def test_a_long_lesson_with_drift_to_the_second():
    # 120 shots in two and a half hours at 100 millionths: 0.9 s from end to end
    lesson = make_lesson(2, n_shots=120, drift_ppm=100.0)
    matching = match_by_clock(group_clips(lesson.moments), lesson.rows)
    got = {clip_id: pair.row_id for pair in matching.pairs for clip_id in pair.clip_ids}
    assert got == {clip_id: row for clip_id, row in lesson.truth.items() if row is not None}


@pytest.mark.parametrize("hours", [-1, 2])
def test_whole_hours_apart(hours):
    lesson = make_lesson(3, offset_s=3600.0 * hours + 12.3)
    matching = match_by_clock(group_clips(lesson.moments), lesson.rows)
    # 20 shots, two without clip, two without row
    assert len(matching.pairs) == 16
    assert matching.offset_s == pytest.approx(lesson.offset_s, abs=0.5)
