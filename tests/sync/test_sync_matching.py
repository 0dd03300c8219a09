"""Whole lessons with known truth, paired: what is right, what is told of the rest."""

from dataclasses import replace

import pytest

from review.sync import group_clips, match_by_clock, match_by_order
from tests.made_lessons import make_lesson


def test_sixty_lessons_are_paired_right():
    right = total = wrong_and_sure = 0
    for seed in range(60):
        lesson = make_lesson(seed)
        matching = match_by_clock(group_clips(lesson.moments), lesson.rows)
        assert not matching.refused
        got = {clip_id: pair for pair in matching.pairs for clip_id in pair.clip_ids}
        for clip_id, row_id in lesson.truth.items():
            pair = got.get(clip_id)
            total += 1
            right += (None if pair is None else pair.row_id) == row_id
            wrong_and_sure += pair is not None and pair.row_id != row_id and pair.probability > 0.9
        # both clocks are rounded down by up to a second
        assert matching.offset_s == pytest.approx(lesson.offset_s, abs=0.6)
    assert right / total >= 0.99
    assert wrong_and_sure == 0


def test_two_cameras_of_one_swing_are_one_group():
    for seed in range(20):
        lesson = make_lesson(seed)
        for group in group_clips(lesson.moments):
            assert len({moment.clip_id.removesuffix(moment.camera) for moment in group}) == 1
            assert len({moment.camera for moment in group}) == len(group)


def test_a_table_of_another_lesson_is_refused():
    refused = 0
    for seed in range(100):
        clips, other = make_lesson(seed), make_lesson(seed + 1000)
        matching = match_by_clock(group_clips(clips.moments), other.rows)
        assert not matching.pairs
        refused += bool(matching.refused)
    # the offset is believed wrongly in 1 of 100 at most, see docs/sync.md
    assert refused >= 99


def test_a_practice_swing_gets_no_row_and_a_reason():
    lesson = make_lesson(3)
    matching = match_by_clock(group_clips(lesson.moments), lesson.rows)
    reasons = {m.clip_id: why for group, why in matching.unmatched_groups for m in group}
    practice = [m.clip_id for m in lesson.moments if not m.heard]
    assert practice
    assert all("practice swing" in reasons[clip_id] for clip_id in practice)


def test_a_row_without_clip_is_told():
    lesson = make_lesson(4)
    matching = match_by_clock(group_clips(lesson.moments), lesson.rows)
    filmed = {row_id for row_id in lesson.truth.values() if row_id}
    alone = {row.row_id for row, why in matching.unmatched_rows if "no clip" in why}
    assert alone == {row.row_id for row in lesson.rows} - filmed


def test_the_coach_is_right_whatever_the_clocks_say():
    lesson = make_lesson(5)
    clip_id = next(c for c, row in lesson.truth.items() if row is not None and c.endswith("one"))
    other = next(row.row_id for row in lesson.rows if row.row_id != lesson.truth[clip_id])
    matching = match_by_clock(group_clips(lesson.moments), lesson.rows, fixed={clip_id: other})
    pair = next(p for p in matching.pairs if clip_id in p.clip_ids)
    assert (pair.row_id, pair.probability) == (other, 1.0)
    no_row = match_by_clock(group_clips(lesson.moments), lesson.rows, fixed={clip_id: None})
    assert all(clip_id not in p.clip_ids for p in no_row.pairs)


def test_without_times_pairs_are_questions_not_made():
    lesson = make_lesson(6)
    rows = [replace(row, clock_s=None) for row in lesson.rows]
    matching = match_by_order(group_clips(lesson.moments), rows)
    assert not matching.pairs
    assert len(matching.questions) == min(len(group_clips(lesson.moments)), len(rows))
    assert "may be shifted" in matching.questions[0].text


def test_two_swings_are_too_few_to_know_the_clocks():
    lesson = make_lesson(7)
    groups = group_clips([m for m in lesson.moments if m.heard and m.camera == "one"])[:2]
    rows = [row for row in lesson.rows if row.row_id in {lesson.truth[g[0].clip_id] for g in groups}]
    matching = match_by_clock(groups, rows)
    assert not matching.pairs
    assert matching.questions or matching.unmatched_groups


def test_nothing_on_one_side():
    lesson = make_lesson(8)
    groups = group_clips(lesson.moments)
    assert "no shot table" in match_by_clock(groups, []).unmatched_groups[0][1]
    assert len(match_by_clock([], lesson.rows).unmatched_rows) == len(lesson.rows)
