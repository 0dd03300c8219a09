"""A trace laid over the clips: the sample lesson's truth says when the ball was struck."""

import json
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from review.jobs.adding import add_lesson
from review.jobs.lesson_file import read_lesson_file
from review.jobs.pressure.impact_in_trace import (
    BY_FORCE,
    BY_MOVE,
    MOVE_WITHIN_S,
    PlacedInTime,
    find_fastest_s,
    has_rival_move,
    place_impact,
)
from review.jobs.pressure.mats import Mat
from review.jobs.pressure.measuring import lay_trace
from review.jobs.sample import find_sample_lesson
from review.jobs.showing.beside_swing import show_feet, show_pressure
from review.lesson import Handedness, Shot, Trace
from review.library import Library
from review.pressure import MatPlacement, read_pressure

BEGAN = datetime(2026, 3, 14, 10, 0, 0)


def made_trace(*moves_s: float) -> Trace:
    """At rest but for moves of 10 cm in a tenth of a second, each half as long again as the one before."""
    time_s = np.arange(0, 6, 0.01)
    x = sum(10 * 1.5**i * np.clip((time_s - at + 0.05) / 0.1, 0, 1) for i, at in enumerate(moves_s))
    return Trace("t", BEGAN, time_s, np.stack([x, np.zeros_like(time_s)], axis=1))


def test_fastest_move_lies_in_the_middle_of_the_downswing() -> None:
    placed = place_impact(made_trace(2.0), None, 0.24)
    assert placed.by == BY_MOVE
    assert placed.why_not_by_force == "the table has no force"
    shown = show_pressure(made_trace(2.0), placed, None)
    assert shown is not None
    # 2.0 s is the middle of the move: 0.12 s before impact, give or take the smoothing
    assert shown.moments_s[200] == pytest.approx(-0.12, abs=0.05)
    assert shown.place_at(99.0) is None
    assert shown.place_at(1.0) == (pytest.approx(10.0), 0.0)


@pytest.mark.parametrize(("handedness", "side"), [(Handedness.RIGHT, 1), (Handedness.LEFT, -1)])
def test_in_the_players_frame_the_target_is_where_the_face_on_camera_has_it(handedness, side) -> None:
    trace = made_trace(2.0)  # moves 10 cm along the mat's x
    mat = Mat(MatPlacement(origin_cm=(5.0, 0.0), stance_cm=40.0), 20.0, 8.0)
    shown = show_pressure(trace, place_impact(trace, None, 0.24), -1.0, mat, handedness, 1.80)
    assert shown is not None
    assert shown.xy_cm[0].tolist() == [-5 * side, 0]
    assert shown.xy_cm[-1].tolist() == [5 * side, 0]
    lead, trail = shown.feet_cm
    assert side * lead[:, 0].mean() > 15
    assert side * trail[:, 0].mean() < -15
    assert np.ptp(lead, axis=0)[1] == pytest.approx(27.4, abs=2.5)  # 0.152 of the stature, turned by 20 degrees
    assert lead[:, 1].min() < -10 < 6 < lead[:, 1].max()  # toes toward the reader


def test_of_a_mat_in_doubt_neither_feet_nor_positions_are_shown() -> None:
    mat = Mat(MatPlacement(origin_cm=(5.0, 0.0), stance_cm=40.0), 20.0, 8.0)
    trace = made_trace(3.0)
    placed = PlacedInTime(3.0, 0.01, BY_FORCE)
    told = show_pressure(trace, placed, None, mat)
    assert told is not None
    assert told.is_placed
    assert told.feet_cm
    doubted = show_pressure(trace, placed, None, Mat.from_text(replace(mat, doubt="It may be turned.").to_text()))
    assert doubted is not None
    assert not doubted.is_placed
    assert doubted.feet_cm == ()
    assert doubted.position_at(0.0) is None
    assert np.array_equal(doubted.xy_cm, trace.xy_cm)


STICK = Mat(MatPlacement(0.0, stance_cm=40.0, is_approximate=True, has_origin=False))


def test_with_a_stick_only_the_dot_is_where_the_numbers_have_it() -> None:
    """The player shifts 4 cm to the trail foot 1.2 s before impact: address is before that or after."""
    time_s = np.arange(0, 6, 0.01)
    x = np.interp(time_s, [2.7, 2.9, 3.8, 3.9], [30.0, 26.0, 26.0, 46.0])
    trace = Trace("t", BEGAN, time_s, np.stack([x, np.zeros_like(time_s)], axis=1))
    placed = PlacedInTime(4.0, 0.01, BY_FORCE)
    for address_s, position in ((-1.4, 90.0), (-0.6, 100.0), (None, 90.0)):
        path = lay_trace(trace, placed, STICK, address_s)
        moments = {"address": -1.0 if address_s is None else address_s, "impact": 0.0}
        found = {(m.name, m.key_frame): m for m in read_pressure(path, moments)}["pressure_position_pct", "impact"]
        assert found.value == pytest.approx(position, abs=0.5)
        shown = show_pressure(trace, placed, address_s, STICK, stature_m=1.80)
        assert shown.position_at(0.0) == pytest.approx(position, abs=0.5)
        assert shown.is_about
        assert shown is not None
        at = shown.place_at(0.0)
        assert at is not None
        assert 50 + at[0] / 0.4 == pytest.approx(position, abs=0.5)
        assert len(shown.feet_cm) == 2


def test_with_a_stick_only_a_recording_that_begins_after_address_has_no_position() -> None:
    time_s = np.arange(0, 2, 0.01)
    trace = Trace("t", BEGAN, time_s, np.stack([30 + 10 * time_s, 50 + 0 * time_s], axis=1))
    placed = PlacedInTime(0.5, 0.01, BY_FORCE)
    path = lay_trace(trace, placed, STICK, -1.1)
    found = {(m.name, m.key_frame): m for m in read_pressure(path, {"address": -1.1, "top": -0.3, "impact": 0.0})}
    for key_frame in ("address", "top", "impact"):
        assert found["pressure_position_pct", key_frame].why_missing.startswith("where the player stands on the mat")
    assert found["pressure_move_cm", "impact"].value == pytest.approx(3.0, abs=0.1)
    shown = show_pressure(trace, placed, -1.1, STICK)
    assert shown is not None
    assert shown.feet_cm == ()
    assert shown.is_placed


def test_a_face_on_camera_sees_the_feet_of_a_left_hander_the_other_way_round() -> None:
    (lead, trail), (left_lead, left_trail) = (
        show_feet(Mat(MatPlacement(stance_cm=40.0), 20.0, 8.0), hand, 1.80) for hand in Handedness
    )
    assert np.allclose(left_lead, lead * (-1, 1))
    assert np.allclose(left_trail, trail * (-1, 1))
    assert lead[:, 0].mean() > 15 > -15 > trail[:, 0].mean()
    assert show_feet(Mat(MatPlacement()), Handedness.RIGHT, 1.80) == ()


def test_the_shot_narrows_where_it_is_looked_for() -> None:
    trace = made_trace(1.0, 5.0)  # the later one is faster: the player walks off
    shot = Shot("r1", 1, "t.csv", struck_at=BEGAN + timedelta(seconds=1), time_resolution_s=1.0)
    shown = show_pressure(trace, place_impact(trace, shot, 0.3), None)
    assert shown is not None
    assert shown.moments_s[100] == pytest.approx(-0.15, abs=0.05)
    assert place_impact(trace, replace(shot, struck_at=BEGAN + timedelta(minutes=3)), 0.3) is None
    assert place_impact(Trace("t", BEGAN, np.zeros(1), np.zeros((1, 2))), None, None) is None


@pytest.mark.parametrize("missing", [slice(0, 1), slice(100, 101), slice(0, 100), slice(150, 155)])
def test_empty_places_leave_the_fastest_move_where_it_is(missing) -> None:
    trace = made_trace(2.0, 5.0)
    whole = place_impact(trace, None, 0.24)
    trace.xy_cm[missing] = np.nan
    assert place_impact(trace, None, 0.24) == whole
    assert has_rival_move(trace)
    assert find_fastest_s(trace) == pytest.approx(5.0, abs=0.05)


def test_a_trace_without_a_place_at_the_shot_is_not_placed() -> None:
    trace = made_trace(2.0)
    shot = Shot("r1", 1, "t.csv", struck_at=BEGAN + timedelta(seconds=2), time_resolution_s=1.0)
    assert place_impact(trace, shot, 0.24) is not None
    trace.xy_cm[50:400] = np.nan
    assert place_impact(trace, shot, 0.24) is None
    trace.xy_cm[:] = np.nan
    assert find_fastest_s(trace) is None


def test_the_sample_lesson_is_placed_as_well_as_is_said(tmp_path) -> None:
    lesson = find_sample_lesson()
    truth = {
        shot["row"]: shot for shot in json.loads((lesson.parent / "truth.json").read_text())["shots"] if shot["row"]
    }
    off_s = []
    with Library.open(tmp_path / "library") as library:
        added = add_lesson(library, read_lesson_file(lesson))
        for swing in library.swings(added.lesson.id):
            if swing.trace is None or swing.shot is None:
                continue
            true = truth[swing.shot.row_number]
            struck = datetime.fromisoformat(f"{swing.trace.started_at:%Y-%m-%d}T{true['impact_device_clock']}")
            placed = place_impact(swing.trace, swing.shot, true["body"]["top_to_impact_s"])
            shown = show_pressure(swing.trace, placed, None)
            assert shown is not None
            impact_s = -float(shown.moments_s[0])
            off_s.append(impact_s - (struck - swing.trace.started_at).total_seconds())
    assert len(off_s) >= 14
    assert np.abs(off_s).max() < MOVE_WITHIN_S


def test_phases_meet_at_top_and_impact_and_cover_the_trace() -> None:
    trace = made_trace(2.0)
    shown = show_pressure(trace, place_impact(trace, None, 0.24), None, phases_s=(-0.24, 0.0))
    assert shown is not None
    back, down, after = (shown.is_in(phase) for phase in ("back", "down", "after"))
    assert (back | down | after).all()
    assert shown.moments_s[down].min() == pytest.approx(-0.24, abs=0.011)
    assert shown.moments_s[down].max() == pytest.approx(0.0, abs=0.011)
    assert not (back & after).any()


def test_a_trace_of_another_lesson_is_not_laid_over_the_swing() -> None:
    shot = Shot("r1", 1, "t.csv", struck_at=BEGAN + timedelta(days=7), time_resolution_s=1.0)
    assert place_impact(made_trace(2.0), shot, 0.24) is None
