"""The mean way of a batch: its key frames are those that are known, not other moments in their place."""

import numpy as np
import pytest

from review.jobs.pressure.impact_in_trace import BY_FORCE, BY_MOVE, PlacedInTime
from review.jobs.pressure.means import average_ways
from review.jobs.pressure.measuring import SwingPressure
from review.lesson import Swing
from review.pressure import MatPlacement, lay_path

ON_MAT = MatPlacement(stance_cm=43.0)
KEYS = {"address": -1.1, "top": -0.3, "arm level": -0.1, "impact": 0.0}


def swing(begins_s=-3.0, lacks=(), placement=ON_MAT, ends_s=1.0, by=BY_FORCE, **keys):
    """The pressure moves 10 cm a second."""
    t = np.arange(begins_s, ends_s, 0.01)
    path = lay_path(t, np.column_stack([10 * t, 0 * t]), placement)
    moments = {name: at for name, at in (KEYS | keys).items() if name not in lacks}
    return SwingPressure(Swing("s", 1), PlacedInTime(0, 0, by), moments, path, ())


def keys_x(*swings):
    batch = average_ways(1, swings)
    assert np.isfinite(batch.way_cm).all()
    assert batch.way_cm[-1] == pytest.approx((0, 0), abs=0.05)
    return {name: at[0] for name, at in batch.key_cm.items()}


def test_the_places_of_key_frames_are_their_means():
    found = keys_x(swing(), swing(address=-1.3))
    assert found == pytest.approx({"address": -12, "top": -3, "arm level": -1, "impact": 0}, abs=0.05)


@pytest.mark.parametrize("how", [{"lacks": ["address"]}, {"address": -1.9}, {"begins_s": -1.0}])
def test_an_address_that_is_not_on_the_way_is_not_drawn(how):
    assert set(keys_x(swing(**how))) == {"top", "arm level", "impact"}
    assert keys_x(swing(**how), swing())["address"] == pytest.approx(-11, abs=0.05)


def test_an_arm_level_that_is_not_known_is_not_drawn():
    assert set(keys_x(swing(lacks=["arm level"]))) == {"address", "top", "impact"}
    assert keys_x(swing(lacks=["arm level"]), swing())["arm level"] == pytest.approx(-1, abs=0.05)


def test_swings_whose_place_on_the_mat_is_not_known_are_left_out():
    lost = swing(placement=MatPlacement(stance_cm=43.0, has_origin=False))
    assert average_ways(1, [lost]) is None
    assert average_ways(1, [lost, swing()]).n_swings == 1


def test_the_finish_is_where_the_swings_that_reach_it_have_it():
    assert keys_x(swing(finish=0.5), swing(finish=0.7), swing(finish=0.6, ends_s=0.3))["finish"] == pytest.approx(
        6, 0.05
    )
    assert "finish" not in keys_x(swing())
    late = average_ways(1, [swing(finish=0.5), swing(finish=0.6, ends_s=0.3), swing(finish=0.6, ends_s=0.3)])
    assert late.after_cm is None
    assert "finish" not in late.key_cm


def test_where_most_impacts_are_told_by_a_move_only_neither_arm_level_nor_impact_has_a_place():
    moved = swing(by=BY_MOVE, finish=0.5)
    assert set(keys_x(moved, moved, swing(finish=0.5))) == {"address", "top", "finish"}
    assert not average_ways(1, [moved]).has_impact
    assert average_ways(1, [moved, swing()]).has_impact
