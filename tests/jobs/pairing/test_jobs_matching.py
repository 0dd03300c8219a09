"""Clips, rows and traces as the library keeps them: rows that stand twice, two devices of one name, traces, notes."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from review.jobs.pairing.clock_moments import as_moment, as_row_moments, split_repeated
from review.jobs.pairing.match_notes import say_offset
from review.jobs.pairing.matching import match_lesson
from review.lesson import Clip, Shot
from review.pressure import PressureRecord
from tests.made_lessons import DAY, as_kept, at, make_lesson


def rows_of(matched):
    return {clip.id: swing.shot and swing.shot.id for swing in matched.swings for clip in swing.clips}


def test_a_table_exported_twice_counts_once_and_is_told():
    clips, shots, truth = as_kept(make_lesson(1))
    again = tuple(replace(shot, id=f"bbbb-{i}", row_number=100 + i) for i, shot in enumerate(shots[:12]))
    matched = match_lesson(clips, (*shots, *again), ())
    assert rows_of(matched) == truth
    assert {shot.id for shot in matched.repeated} == {shot.id for shot in again}
    assert len(matched.swings) == len(match_lesson(clips, shots, ()).swings)
    assert any(note.startswith("12 rows said again") for note in matched.notes)


def test_of_two_rows_that_say_the_same_the_one_the_coach_named_is_used():
    clips, shots, truth = as_kept(make_lesson(1))
    clip_id, row_id = next((c, row) for c, row in truth.items() if row)
    copy = replace(next(s for s in shots if s.id == row_id), id="bbbb-1", row_number=100)
    matched = match_lesson(clips, (*shots, copy), (), fixed={clip_id: "bbbb-1"})
    assert rows_of(matched)[clip_id] == "bbbb-1"
    assert [shot.id for shot in matched.repeated] == [row_id]


def test_two_balls_may_share_a_number_where_rows_have_no_times():
    shots = [Shot(f"aaaa-{i}", i, "a.csv", {"carry_yd": 120.0}) for i in range(3)]
    assert split_repeated(shots) == (tuple(shots), ())
    full = {"carry_yd": 120.1, "face_angle_deg": 1.2, "club_path_deg": 3.1}
    twice = [Shot("aaaa-1", 1, "a.csv", full), Shot("aaaa-2", 2, "a.csv", full), Shot("bbbb-1", 3, "a.csv", full)]
    assert [shot.id for shot in split_repeated(twice)[1]] == ["bbbb-1"]


def test_two_devices_of_one_file_name():
    clips, shots, truth = as_kept(make_lesson(2))
    other = tuple(
        replace(shot, id=f"bbbb-{i}", row_number=100 + i, struck_at=shot.struck_at + timedelta(seconds=21))
        for i, shot in enumerate(shots[:-2])
    )
    names = [row.table for row in as_row_moments((*shots, *other))]
    assert set(names[: len(shots)]) == {"shots.csv"}
    assert set(names[len(shots) :]) == {"shots.csv (2)"}
    matched = match_lesson(clips, (*shots, *other), ())
    assert rows_of(matched) == truth
    assert len(matched.swings) == len(match_lesson(clips, shots, ()).swings)
    assert any("set aside" in note and "They are kept" in note for note in matched.notes)


def test_readings_of_a_growing_table_are_one_device():
    _, shots, _ = as_kept(make_lesson(2))
    grown = [replace(shot, id=f"{i:04x}-{i}") for i, shot in enumerate(shots)]
    assert {row.table for row in as_row_moments(grown)} == {"shots.csv"}


def test_a_clock_set_in_mid_lesson_is_told_and_batches_hold():
    from review.lesson import Batch

    lesson = make_lesson(3, jump_s=3600.0)
    clips, shots, truth = as_kept(lesson)
    batches = (Batch("1", 1, at(36_000)), Batch("2", 2, shots[9].struck_at - timedelta(seconds=4)))
    matched = match_lesson(clips, shots, batches)
    assert rows_of(matched) == truth
    assert any("A clock was set during the lesson" in note and "1 h 0 min" in note for note in matched.notes)
    for swing in matched.swings:
        if swing.shot is not None:
            assert swing.batch_id == ("2" if swing.shot.row_number >= 10 else "1")
    orders = [swing.shot.row_number for swing in matched.swings if swing.shot is not None]
    assert orders == sorted(orders)


def make_record(swings_s, started, late_s=0.0, seed=0):
    """A trace with pauses: four seconds around every shot, the pressure's fastest move 0.12 s before impact."""
    random = np.random.default_rng(seed)
    times, xy = [], []
    for struck in swings_s:
        own = np.arange(-2.5, 1.5, 0.01)
        shift = 12.0 / (1.0 + np.exp(-(own + 0.12) / 0.04)) + random.normal(0, 0.05, len(own))
        times.append(struck + late_s + own - started)
        xy.append(np.column_stack([shift, random.normal(0, 0.05, len(own))]))
    time_s = np.concatenate(times)
    return PressureRecord("trace.csv", "cccc", at(started + time_s[0]), time_s - time_s[0], np.concatenate(xy))


@pytest.mark.parametrize("late_s", [0.0, 137.0, -3600.0])
def test_a_trace_finds_its_swing_by_its_own_clock(late_s):
    clips, shots, _ = as_kept(make_lesson(4))
    struck = [(shot.struck_at - DAY).total_seconds() + 0.5 for shot in shots]
    record = make_record(struck, struck[0] - 3.0, late_s)
    matched = match_lesson(clips, shots, (), (record,))
    with_row = [swing for swing in matched.swings if swing.shot is not None]
    assert all(swing.trace is not None for swing in with_row)
    for swing in with_row:
        # kept on the device's clock: the piece begins 2.5 s before impact
        begins_s = (swing.shot.struck_at - swing.trace.started_at).total_seconds() + 0.5
        assert begins_s == pytest.approx(2.5, abs=0.05 if late_s == 0.0 else 0.5)
    assert any("pressure trace has a clock of its own" in note for note in matched.notes) == (late_s != 0.0)


def test_strikes_of_a_clip_on_its_clock():
    clip = Clip(
        id="a",
        sha256="a",
        file="",
        original_name="a.mp4",
        captured_at=at(100.0),
        duration_s=1.0,
        time_scale=4.0,
        strike_s=None,
        strikes=((0.2, 0.1), (0.6, 0.4)),
    )
    moment = as_moment(clip)
    start = moment.start_clock_s
    assert not moment.heard
    assert (moment.strike_clock_s - start, moment.strike_certainty) == (pytest.approx(2.4), 0.4)
    assert moment.other_strikes == ((pytest.approx(start + 0.8), 0.1),)
    assert moment.end_clock_s - start == pytest.approx(4.0)


def test_offsets_in_words():
    assert say_offset(12.34) == "12.3 s ahead of"
    assert say_offset(-192.4) == "3 min 12.4 s behind"
    assert say_offset(3 * 3600 + 61) == "3 h 1 min 1.0 s ahead of"
