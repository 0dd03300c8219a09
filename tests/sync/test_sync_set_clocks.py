"""A clock set in mid-lesson: two stretches, nothing wrong, and told."""

from dataclasses import replace

import pytest

from review.sync import group_clips, match_by_clock
from tests.made_lessons import make_lesson


def match(lesson):
    matching = match_by_clock(group_clips(lesson.moments), lesson.rows)
    got = {clip_id: pair.row_id for pair in matching.pairs for clip_id in pair.clip_ids}
    assert [clip_id for clip_id, row in got.items() if row != lesson.truth[clip_id]] == []
    return matching, sum(got.get(clip_id) == row for clip_id, row in lesson.truth.items()) / len(lesson.truth)


@pytest.mark.parametrize("jump_s", [-420.0, 420.0, 3600.0])
def test_the_cameras_clock_is_set(jump_s):
    rights = []
    for seed in range(6):
        lesson = make_lesson(seed, jump_s=jump_s)
        matching, right = match(lesson)
        rights.append(right)
        first, second = matching.stretches
        assert second.clock.offset_s - first.clock.offset_s == pytest.approx(jump_s, abs=1.0)
    # a clip that fits a row under either clock is asked about
    assert sum(rights) / len(rights) > 0.95


def test_a_small_step_after_a_quarter():
    lesson = make_lesson(1, n_shots=40, jump_s=5.0, jump_after=0.25)
    matching, right = match(lesson)
    assert right == 1.0
    assert [s.n_pairs for s in matching.stretches] == sorted(s.n_pairs for s in matching.stretches)


def test_the_devices_clock_is_set_back():
    lesson = make_lesson(4)
    half = len(lesson.rows) // 2
    rows = [replace(row, clock_s=row.clock_s - 900.0 * (i >= half)) for i, row in enumerate(lesson.rows)]
    matching = match_by_clock(group_clips(lesson.moments), rows)
    got = {clip_id: pair.row_id for pair in matching.pairs for clip_id in pair.clip_ids}
    assert all(row == lesson.truth[clip_id] for clip_id, row in got.items())
    assert len(got) >= 0.9 * sum(row is not None for row in lesson.truth.values())
    assert len(matching.stretches) == 2


def test_no_clock_is_taken_for_set_where_none_was():
    for seed in range(20):
        lesson = make_lesson(seed)
        assert len(match_by_clock(group_clips(lesson.moments), lesson.rows).stretches) == 1
