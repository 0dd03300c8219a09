"""The sample lesson as numbers: seconds of file names, strikes in the clips, times of the table. Invented data."""

import pytest

from review.sync import ClipMoment, RowMoment, group_clips, match_by_clock

# (name, second of the day it starts, strike in the clip or None, true row or None)
CLIPS = (
    ("101518", 36918, 1.923, 1),
    ("101622", 36982, 2.006, 2),
    ("101622_cam2", 36982, 1.782, 2),
    ("101702", 37022, 2.141, 3),
    ("101756", 37076, 2.092, 4),
    ("101900", 37140, 1.901, 5),
    ("101900_cam2", 37140, 2.048, 5),
    ("101956", 37196, 2.043, 6),
    ("102235", 37355, 1.997, 7),
    ("102405", 37445, 2.081, 9),
    ("102438", 37478, None, None),
    ("102504", 37504, 2.033, 10),
    ("102702", 37622, 2.069, 11),
    ("102738", 37658, 1.965, 12),
    ("102806", 37686, 2.134, 13),
    ("102807_cam2", 37687, 2.062, 13),
    ("102911", 37751, 2.004, None),
    ("103007", 37807, 2.079, 14),
    ("103110", 37870, 2.129, 15),
    ("103110_cam2", 37870, 1.956, 15),
)
# shot 14 has no row, so shots 15 and 16 are rows 14 and 15
ROWS_S = (36728, 36791, 36832, 36885, 36950, 37005, 37165, 37222, 37255, 37314, 37432, 37468, 37496, 37617, 37679)
TRUE_OFFSET_S = 192.4


@pytest.fixture(scope="module")
def matching():
    moments = [
        ClipMoment(
            name,
            "two" if name.endswith("cam2") else "one",
            None if strike is None else start + strike,
            start,
            start + 3.0,
            1.0,
            strike is not None,
        )
        for name, start, strike, _ in CLIPS
    ]
    rows = [RowMoment(str(i), second, 1.0, i - 1) for i, second in enumerate(ROWS_S, start=1)]
    return match_by_clock(group_clips(moments), rows)


def test_every_clip_gets_its_row_or_rightly_none(matching):
    got = {clip_id: int(pair.row_id) for pair in matching.pairs for clip_id in pair.clip_ids}
    assert got == {name: row for name, _, _, row in CLIPS if row is not None}
    assert min(pair.probability for pair in matching.pairs) >= 0.9
    assert not matching.questions


def test_what_stays_alone_is_named_with_the_reason(matching):
    why = {group[0].clip_id: text for group, text in matching.unmatched_groups}
    assert set(why) == {"102438", "102911"}
    assert "practice swing" in why["102438"]
    assert "no row at its time" in why["102911"]
    assert [row.row_id for row, _ in matching.unmatched_rows] == ["8"]


def test_the_offset_is_found(matching):
    # a clip and a row, each rounded down by up to a second, leave one second either way; 15 pairs narrow it by half
    assert matching.offset_s == pytest.approx(TRUE_OFFSET_S, abs=0.5)
