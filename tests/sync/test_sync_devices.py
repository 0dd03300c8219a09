"""More than one camera, more than one table: clocks of their own, names that are the same."""

from dataclasses import replace

import numpy as np
import pytest

from review.sync import ClipMoment, align_cameras, group_clips, match_rows
from tests.made_lessons import make_lesson, round_down


def shift(moment: ClipMoment, by_s: float) -> ClipMoment:
    strike = None if moment.strike_clock_s is None else moment.strike_clock_s + by_s
    return replace(
        moment,
        strike_clock_s=strike,
        start_clock_s=moment.start_clock_s + by_s,
        end_clock_s=moment.end_clock_s + by_s,
    )


def pairs_of(matching):
    return {clip_id: pair.row_id for pair in matching.pairs for clip_id in pair.clip_ids}


def test_a_second_camera_with_a_clock_of_its_own():
    lesson = make_lesson(1, second_camera=0.8)
    apart = [shift(m, 95.0) if m.camera == "two" else m for m in lesson.moments]
    aligned = align_cameras(apart)
    assert aligned.reference == "one"
    assert aligned.clocks["two"].offset_s == pytest.approx(95.0, abs=0.3)
    assert "95." in aligned.notes[0] or "94." in aligned.notes[0]
    groups = group_clips(aligned.moments)
    assert all(len({m.clip_id[:7] for m in group}) == 1 for group in groups)
    assert sum(len(group) == 2 for group in groups) > 10
    assert pairs_of(match_rows(groups, lesson.rows)) == {c: row for c, row in lesson.truth.items() if row}


def test_cameras_on_one_clock_are_left_alone():
    for seed in range(5):
        lesson = make_lesson(seed, second_camera=0.8)
        aligned = align_cameras(lesson.moments)
        assert aligned.clocks == {}
        assert aligned.moments == lesson.moments


def test_two_cameras_of_one_name():
    lesson = make_lesson(2, second_camera=0.8)
    aligned = align_cameras([replace(m, camera="cam1") for m in lesson.moments])
    assert "Two cameras are called 'cam1'" in aligned.notes[0]
    matching = match_rows(group_clips(aligned.moments), lesson.rows)
    assert pairs_of(matching) == {c: row for c, row in lesson.truth.items() if row}


def other_device(lesson, offset_s, missing=()):
    """Rows of a second device for the same shots, on another clock."""
    random = np.random.default_rng(9)
    rows = []
    for row in lesson.rows:
        if row.row_id not in missing:
            at = round_down(row.clock_s + float(random.uniform(0, 1)) + offset_s, 1.0)
            rows.append(replace(row, row_id=f"other {row.row_id}", clock_s=at, table="b.csv"))
    return tuple(rows)


def test_a_second_device_gives_no_shot_twice():
    lesson = make_lesson(3)
    matching = match_rows(group_clips(lesson.moments), (*lesson.rows, *other_device(lesson, 31.0)))
    assert pairs_of(matching) == {c: row for c, row in lesson.truth.items() if row}
    # all its rows are of shots that the first device has, filmed or not
    assert {row.row_id for row, _ in matching.doubles} == {f"other {row.row_id}" for row in lesson.rows}
    assert len(matching.unmatched_rows) == 2


def test_a_second_device_fills_what_the_first_missed():
    lesson = make_lesson(3)
    lost = next(row for row in lesson.truth.values() if row)
    first = tuple(row for row in lesson.rows if row.row_id != lost)
    others = other_device(lesson, 31.0, missing=[row.row_id for row in first[-3:]])
    matching = match_rows(group_clips(lesson.moments), (*first, *others))
    found = {clip_id for clip_id, row in pairs_of(matching).items() if row == f"other {lost}"}
    assert found == {clip_id for clip_id, row in lesson.truth.items() if row == lost}
    assert matching.table_clocks["b.csv"].offset_s == pytest.approx(-31.0, abs=1.0)


def test_tables_that_follow_one_another_are_one_device():
    lesson = make_lesson(4)
    rows = [replace(row, table="a.csv" if i < 12 else "b.csv") for i, row in enumerate(lesson.rows)]
    matching = match_rows(group_clips(lesson.moments), rows)
    assert pairs_of(matching) == {c: row for c, row in lesson.truth.items() if row}
    assert matching.doubles == ()
