"""What makes an offset doubtful: steady pace, small lessons, a slip of the coach, clocks of unlike fineness."""

from dataclasses import replace

import numpy as np
import pytest

from review.sync import SURE, Matching, group_clips, match_by_clock
from tests.made_lessons import make_lesson


def make(seed, gap_s, n_shots=20, clip_resolution_s=1.0, row_resolution_s=1.0, heard=True):
    """Clips, rows and the true offset; one clip and one row are missing, ids of a pair are the same."""
    lesson = make_lesson(
        seed,
        n_shots=n_shots,
        n_practice=0,
        n_missing_clips=1,
        n_missing_rows=1,
        gap_s=gap_s,
        clip_resolution_s=clip_resolution_s,
        row_resolution_s=row_resolution_s,
        not_heard=0.0 if heard else 1.0,
        second_camera=0.0,
    )
    moments = [replace(m, clip_id=str(int(m.clip_id[4:7]))) for m in lesson.moments]
    return moments, [replace(r, row_id=r.row_id[3:]) for r in lesson.rows], lesson.offset_s


def wrong_pairs(matching: Matching) -> list[str]:
    return [pair.row_id for pair in matching.pairs if pair.clip_ids != (pair.row_id,)]


def test_a_table_of_another_lesson_at_the_same_steady_pace_is_not_paired():
    accepted = 0
    for seed in range(40):
        moments = make(seed, (37, 43))[0]
        rows = make(seed + 1000, (37, 43))[1]
        accepted += bool(match_by_clock(group_clips(moments), rows).pairs)
    # a pace this steady is near what can be told at all; 0 of 120 in a longer run, see docs/sync.md
    assert accepted <= 1


def test_a_steady_lesson_of_its_own_table_is_paired():
    for seed in range(10):
        moments, rows, _ = make(seed, (37, 43))
        matching = match_by_clock(group_clips(moments), rows)
        assert len(matching.pairs) == 18
        assert not wrong_pairs(matching)


def test_one_slip_of_the_coach_does_not_shift_the_lesson():
    for seed in range(15):
        moments, rows, offset = make(seed, (25, 120))
        clip_id = next(m.clip_id for m in moments[5:] if any(r.row_id == m.clip_id for r in rows))
        slip = next(r.row_id for r in rows if int(r.row_id) > int(clip_id))
        matching = match_by_clock(group_clips(moments), rows, fixed={clip_id: slip})
        assert wrong_pairs(matching) == [slip]
        assert matching.offset_s == pytest.approx(offset, abs=1.0)


def test_a_single_word_of_the_coach_does_not_let_a_foreign_table_in():
    for seed in range(15):
        moments = make(seed, (25, 120))[0]
        rows = make(seed + 1000, (25, 120))[1]
        matching = match_by_clock(group_clips(moments), rows, fixed={moments[5].clip_id: rows[5].row_id})
        assert [pair.clip_ids for pair in matching.pairs] == [(moments[5].clip_id,)]


@pytest.mark.parametrize(("clip_s", "row_s"), [(0.01, 1.0), (1.0, 0.01), (0.01, 0.01), (1.0, 1.0)])
def test_clocks_of_any_fineness(clip_s, row_s):
    for seed in range(10):
        moments, rows, offset = make(seed, (25, 120), clip_resolution_s=clip_s, row_resolution_s=row_s)
        matching = match_by_clock(group_clips(moments), rows)
        assert len(matching.pairs) == 18
        assert not wrong_pairs(matching)
        # no further off than both roundings together
        assert matching.offset_s == pytest.approx(offset, abs=max(clip_s, row_s))


def test_the_spread_tells_how_far_the_offset_is_off():
    off = []
    for seed in range(40):
        moments, rows, offset = make(seed, (25, 120))
        matching = match_by_clock(group_clips(moments), rows)
        off.append((matching.offset_s - offset) / matching.offset_spread_s)
    # an SD of 1 is exact; 40 draws give it to within a quarter either way, and every interval is widened a little
    assert 0.4 < np.std(off) < 1.3


def test_few_agreements_are_asked_or_refused_never_made():
    asked = 0
    for seed in range(20):
        moments, rows, _ = make(seed, (25, 120), n_shots=5)
        matching = match_by_clock(group_clips(moments), rows)
        assert not matching.pairs
        assert all(question.probability < SURE for question in matching.questions)
        asked += bool(matching.questions)
    # three agreeing swings out of four are no proof, but no sign of another lesson either
    assert asked >= 10


def test_clips_without_sound_are_paired_by_their_span():
    for seed in range(10):
        moments, rows, offset = make(seed, (25, 120), heard=False)
        matching = match_by_clock(group_clips(moments), rows)
        assert len(matching.pairs) == 18
        assert not wrong_pairs(matching)
        # the strike may lie anywhere in three seconds of clip
        assert matching.offset_s == pytest.approx(offset, abs=2.0)


def test_the_coachs_no_is_told_as_his():
    moments, rows, _ = make(1, (25, 120))
    matching = match_by_clock(group_clips(moments), rows, fixed={moments[3].clip_id: None})
    assert {g[0].clip_id: why for g, why in matching.unmatched_groups}[moments[3].clip_id] == "you said it has no row."


def test_of_two_swings_given_one_row_the_later_word_counts():
    moments, rows, _ = make(1, (25, 120))
    said = {moments[3].clip_id: rows[8].row_id, moments[6].clip_id: rows[8].row_id}
    matching = match_by_clock(group_clips(moments), rows, fixed=said)
    assert [pair.clip_ids for pair in matching.pairs if pair.row_id == rows[8].row_id] == [(moments[6].clip_id,)]
