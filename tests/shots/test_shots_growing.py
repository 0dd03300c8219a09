"""A table read again and again while a device writes it; the expected rows are written out by hand."""

from dataclasses import replace
from datetime import datetime, timedelta

from review.lesson import Shot
from review.shots import merge_rows, row_key

NOON = datetime(2026, 3, 14, 12)


def row(number: int, path: float = 4.0, at: datetime | None = NOON, **more: object) -> Shot:
    when = None if at is None else at + timedelta(seconds=30 * number)
    return replace(Shot(f"id{number}", number, "shots.csv", {"club_path_deg": path}, {}, when), **more)


def test_only_what_was_appended_is_new():
    known = [row(1), row(2)]
    merged = merge_rows(known, [row(1, id="x"), row(2, id="y"), row(3)])
    assert [shot.row_number for shot in merged.new] == [3]
    assert (merged.completed, merged.n_twice, merged.n_gone) == ((), 0, 0)


def test_a_table_started_anew_loses_nothing_and_counts_on():
    known = [row(1), row(2)]
    later = NOON + timedelta(minutes=20)
    merged = merge_rows(known, [row(1, at=later), row(2, at=later)])
    assert [(shot.row_number, shot.struck_at) for shot in merged.new] == [
        (3, later + timedelta(seconds=30)),
        (4, later + timedelta(seconds=60)),
    ]
    assert (merged.completed, merged.n_gone) == ((), 2)


def test_the_same_row_twice_is_one_row():
    merged = merge_rows([], [row(1), row(2), replace(row(2), id="again", row_number=3)])
    assert [shot.id for shot in merged.new] == ["id1", "id2"]
    assert merged.n_twice == 1


def test_a_row_whose_last_number_was_cut_off_or_missing_is_completed_under_its_old_id():
    cut = row(2, values={"club_path_deg": 4.0, "carry_yd": 11.0})
    whole = replace(cut, id="new", values={"club_path_deg": 4.0, "carry_yd": 118.5})
    merged = merge_rows([row(1), cut], [row(1), whole])
    assert merged.new == ()
    assert [(shot.id, shot.values["carry_yd"]) for shot in merged.completed] == [("id2", 118.5)]

    late = replace(row(2), id="late", row_number=7, values={"club_path_deg": 4.0, "carry_yd": 118.5})
    assert [shot.id for shot in merge_rows([row(1), row(2)], [row(1), late]).completed] == ["id2"]


def test_another_devices_row_at_the_same_second_is_a_row_of_its_own():
    known = row(2)
    other = replace(known, id="other", row_number=9, values={"club_path_deg": -1.0})
    merged = merge_rows([known], [other])
    assert [shot.id for shot in merged.new] == ["other"]
    # and while the known one still stands in the table, nothing replaces it
    assert [shot.id for shot in merge_rows([known], [known, other]).new] == ["other"]


def test_rows_without_times_are_known_by_their_content_and_number():
    known = [row(1, at=None), row(2, at=None, path=5.0)]
    merged = merge_rows(known, [*known, row(3, at=None, path=6.0)])
    assert [shot.row_number for shot in merged.new] == [3]
    assert merge_rows(known, [known[0], row(2, at=None, path=5.5)]).new[0].row_number == 3


def test_rows_from_before_the_lesson_are_not_looked_at():
    before = row(1)
    merged = merge_rows([], [before, row(2)], {row_key(before)})
    assert [shot.row_number for shot in merged.new] == [2]


def test_a_row_from_before_the_lesson_that_is_completed_later_stays_out():
    whole = {"club_path_deg": 4.0, "carry_yd": 118.5}
    for at in (NOON, None):
        before = [row(1, at=at, path=3.0), row(2, at=at)]
        left_out = {row_key(shot) for shot in before}
        now = [before[0], row(2, at=at, values=whole), row(3, at=at, path=5.0)]
        assert [shot.row_number for shot in merge_rows([], now, left_out).new] == [3]
    # a table started anew has other rows under the same numbers
    anew = [row(1, at=None, path=1.0), row(2, at=None, path=2.0)]
    assert len(merge_rows([], anew, left_out).new) == 2


def test_a_rows_name_says_nothing_that_was_measured_and_names_of_older_libraries_still_count():
    assert "118.5" not in row_key(row(1, values={"carry_yd": 118.5}))
    assert merge_rows([], [row(1)], {row_key(row(1)).split(" ")[0]}).new == ()
