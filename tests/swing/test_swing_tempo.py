"""Tempo beside published values; sources in review/swing/timing.py."""

import math

import pytest

from review.body import as_right_hander
from review.lesson import KeyFrame
from review.swing import compute_tempo, doubt_tempo, find_key_frames


def tempo(back_s, down_s):
    at = {"address": 1.0, "top": 1.0 + back_s, "impact": 1.0 + back_s + down_s}
    return compute_tempo(tuple(KeyFrame(name, time_s, 0, 1.0, "coach") for name, time_s in at.items()))


@pytest.mark.parametrize(
    ("back", "down"),
    [
        (24, 8), (21, 7), (30, 10),  # professionals, pictures at 30 a second: Grober & Cholewicki
        (26, 8), (23, 7), (31, 8),  # medians and quartiles of GolfDB in real time
    ],
)  # fmt: skip
def test_published_tempos_raise_no_doubt(back, down):
    measured = tempo(back / 30, down / 30)
    assert measured[2].value == pytest.approx(back / down)
    assert doubt_tempo(measured) == ""


@pytest.mark.parametrize(("back_s", "down_s", "ratio"), [(0.3, 0.3, "1.0"), (2.4, 0.3, "8.0")])
def test_a_start_or_a_top_far_off_is_doubted(back_s, down_s, ratio):
    """Address found at a waggle, or in mid-backswing."""
    doubt = doubt_tempo(tempo(back_s, down_s))
    assert doubt.startswith(f"Backswing to downswing is {ratio} to 1, far from 2.5 to 5.1")


def test_without_an_address_there_is_nothing_to_doubt():
    frames = tuple(KeyFrame(name, time_s, 0, 1.0, "pose") for name, time_s in (("top", 1.0), ("impact", 1.3)))
    assert doubt_tempo(compute_tempo(frames)) == ""


@pytest.mark.parametrize(
    ("times_s", "marked", "why"),
    [
        ((0.2, 1.0, 1.0), {"impact"}, "impact does not come after top: look at your mark of impact"),
        ((0.2, 1.4, 1.3), {"top", "impact"}, "impact does not come after top: look at your mark of top and impact"),
        ((1.0, 1.0, 1.3), {"address"}, "top does not come after address: look at your mark of address"),
        ((1.1, 1.0, 1.3), set(), "top does not come after address"),
    ],
)
def test_marks_out_of_order_leave_no_tempo_and_say_why(times_s, marked, why):
    frames = tuple(
        KeyFrame(name, time_s, 0, 1.0, "coach" if name in marked else "pose")
        for name, time_s in zip(("address", "top", "impact"), times_s, strict=True)
    )
    measured = compute_tempo(frames)
    assert [m.name for m in measured] == ["backswing_s", "downswing_s", "tempo_ratio"]
    assert all(math.isnan(m.value) for m in measured)
    assert {m.why_missing for m in measured} == {why}
    assert doubt_tempo(measured) == ""


@pytest.mark.parametrize("name", ["face_on", "down_the_line", "face_on_left"])
def test_rendered_swings_are_plausible(name, request):
    swing = request.getfixturevalue(name)
    found = find_key_frames(as_right_hander(swing.track, swing.handedness))
    at = swing.key_frames_s
    true_ratio = (at["top"] - at["address"]) / (at["impact"] - at["top"])
    measured = compute_tempo(found)
    # 80 ms of 0.75 s back and 50 ms of 0.3 s down
    assert measured[2].value == pytest.approx(true_ratio, rel=0.25)
    assert doubt_tempo(measured) == ""
