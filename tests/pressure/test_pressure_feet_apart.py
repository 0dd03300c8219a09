"""Tables that measure the feet apart: lead and trail by the player's hand, the total where it is not given."""

from datetime import date, datetime

import numpy as np
import pytest

from review.errors import BadInputError
from review.lesson import Handedness
from review.pressure import cut_trace, read_trace_table

DAY = date(2026, 3, 14)


def table(tmp_path, feet, rows=((300, 100), (310, 110), (320, 120)), more=""):
    lines = [f"time,x [cm],y [cm],{feet}"]
    lines += [f"10:00:00.{i}0,{i},{2 * i},{a},{b}" for i, (a, b) in enumerate(rows)]
    path = tmp_path / "feet.csv"
    path.write_text("\n".join(lines) + "\n")
    return path


def test_left_is_lead_for_a_right_hander_and_trail_for_a_left_hander(tmp_path):
    path = table(tmp_path, "left foot [N],right foot [N]")
    right = read_trace_table(path, on_date=DAY)
    left = read_trace_table(path, on_date=DAY, handedness=Handedness.LEFT)
    assert right.lead_force_n.tolist() == [300, 310, 320]
    assert left.lead_force_n.tolist() == [100, 110, 120]
    assert right.force_n.tolist() == left.force_n.tolist() == [400, 420, 440]
    assert "the table has no force" not in right.notes
    trace = cut_trace(right, datetime(2026, 3, 14, 10, 0, 0))
    assert trace.lead_force_n.tolist() == [300, 310, 320]


def test_total_and_trail_give_the_lead_foot(tmp_path):
    record = read_trace_table(table(tmp_path, "vertical force [N],trail force [N]"), on_date=DAY)
    assert record.lead_force_n.tolist() == [200, 200, 200]


def test_one_foot_alone_is_no_share(tmp_path):
    path = tmp_path / "one.csv"
    path.write_text("time,x [cm],y [cm],left foot [N]\n10:00:00.1,1,2,300\n10:00:00.2,1,2,300\n")
    record = read_trace_table(path, on_date=DAY)
    assert record.force_n is None
    assert record.lead_force_n is None


def test_left_and_lead_at_once_are_refused(tmp_path):
    with pytest.raises(BadInputError, match="left and right, or lead and trail, found both"):
        read_trace_table(table(tmp_path, "left foot [N],trail foot [N]"), on_date=DAY)


def test_kilograms_of_both_feet_are_forces(tmp_path):
    record = read_trace_table(table(tmp_path, "left foot [kg],right foot [kg]", ((30, 10), (30, 10))), on_date=DAY)
    assert record.force_n == pytest.approx(np.full(2, 40 * 9.80665))
