"""The swings of a pressure trace as events, and its clock by them, where samples are missing."""

from datetime import datetime

import numpy as np
import pytest

from review.pressure import PressureRecord
from review.sync import find_trace_clock
from review.sync.traces import find_events
from review.sync.windows import Intervals

STARTS_S = np.array([0.0, 41.0, 75.0, 131.0, 160.0])
SWING_AT_S = 3.0


def make_record(missing=slice(0, 0)):
    """Recordings of 6 s with a move of 10 cm at 3 s in each; ``missing`` places of each are empty."""
    t = np.arange(0, 6, 0.01)
    x = 10 * np.clip((t - SWING_AT_S + 0.05) / 0.1, 0, 1)
    xy = np.column_stack([x, np.zeros_like(x)])
    xy[missing] = np.nan
    time_s = np.concatenate([t + start for start in STARTS_S])
    return PressureRecord("p.csv", "0" * 64, datetime(2026, 3, 14, 10), time_s, np.tile(xy, (len(STARTS_S), 1)))


GAPS = [slice(0, 0), slice(0, 1), slice(150, 151), slice(0, 100), slice(100, 130)]


@pytest.mark.parametrize("missing", GAPS)
def test_each_swing_is_found_beside_empty_places(missing):
    assert find_events(make_record(missing)) == pytest.approx(STARTS_S + SWING_AT_S, abs=0.06)


@pytest.mark.parametrize("missing", GAPS)
def test_the_clock_is_found_beside_empty_places(missing):
    struck = STARTS_S + SWING_AT_S + 36_000.0
    rows = Intervals(struck - 20.0, struck - 19.0)  # the device's clock is 20 s behind
    clock = find_trace_clock(make_record(missing), 36_000.0, rows)
    assert clock is not None
    assert clock.to_camera_s(struck[0] - 20.0) == pytest.approx(struck[0], abs=1.0)


def test_a_recording_with_nobody_on_it_is_no_swing():
    record = make_record()
    record.xy_cm[600:1200] = np.nan
    assert find_events(record) == pytest.approx(np.delete(STARTS_S, 1) + SWING_AT_S, abs=0.06)
