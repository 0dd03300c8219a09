"""Rows at the edges of a lesson: struck while the program starts, before it, after the end."""

import os
from datetime import datetime, timedelta

import pytest
from watched_lesson import CLIPS, DEVICE_AHEAD_OF_HERE, HEADER, ROWS, Bay, began

from review.jobs.live.beginning import LiveRequest, begin_lesson
from review.lesson import Handedness
from review.library import Library


@pytest.fixture
def bay(tmp_path):
    made = Bay(tmp_path, begins="10:12:40")
    yield made
    made.close()


def write(bay, struck: list[datetime]) -> None:
    """Let the table hold rows struck then by this computer's clock, the last one just written."""
    lines = [f"{at + DEVICE_AHEAD_OF_HERE:%H:%M:%S}{row[8:]}" for at, row in zip(struck, ROWS, strict=False)]
    bay.table.write_text("\n".join([HEADER, *lines]) + "\n", encoding="utf-8")
    at = (max(struck) + timedelta(seconds=2.5)).timestamp()
    os.utime(bay.table, (at, at))


def rows(bay) -> list[int]:
    return [shot.row_number for shot in bay.library.shots(bay.lesson.id)]


def begin(bay, now: datetime, **more) -> list[str]:
    """Notes of beginning a lesson that the coach asked for at a time."""
    notes: list[str] = []
    with Library.open(bay.library_folder) as library:
        folders = ((str(bay.clips), ""),)
        request = LiveRequest("Ines Calder", Handedness.RIGHT, folders=folders, table=bay.table, **more)
        begin_lesson(library, request, now, notes.append)
    return notes


def test_a_row_struck_while_the_program_starts_is_of_the_lesson_and_those_before_are_told(bay):
    asked = bay.time
    write(bay, [asked - timedelta(seconds=90), asked - timedelta(seconds=50), asked + timedelta(seconds=1)])
    (note,) = begin(bay, asked)
    assert "2 rows in it left out" in note
    assert f"the last struck {asked - timedelta(seconds=80):%H:%M:%S}" in note  # the device's clock is 30 s behind
    bay.time += timedelta(seconds=5)
    bay.open()
    bay.wait(4)
    assert rows(bay) == [3]
    # what the note says to do takes the others in
    bay.open(since=datetime.combine(asked.date(), datetime.strptime(note[-6:-1], "%H:%M").time()))
    bay.wait(4)
    assert rows(bay) == [2, 3]


def test_a_row_written_just_before_the_start_is_left_out_and_told(bay):
    write(bay, [bay.time - timedelta(seconds=5)])
    (note,) = begin(bay, bay.time)
    assert "1 row in it left out" in note
    assert "live --since 10:12" in note


def test_rows_from_long_before_the_start_are_left_out_without_a_word(bay):
    write(bay, [bay.time - timedelta(minutes=10), bay.time - timedelta(minutes=9)])
    assert begin(bay, bay.time) == []
    bay.open()
    bay.wait(4)
    assert rows(bay) == []


def test_rows_of_the_pupil_before_are_not_told_to_the_next(bay):
    bay.open(pupil="Walk In")
    bay.wait(60, every_s=5)
    write(bay, [bay.time])
    bay.wait(5)
    assert rows(bay) == [1]
    bay.close()
    assert begin(bay, bay.time) == []


@pytest.mark.parametrize("after_s", [10, 30, 90])
def test_a_row_struck_after_the_end_is_never_of_the_lesson_that_is_over(bay, after_s):
    bay.open(pupil="Walk In")
    first = bay.lesson.id
    struck = []
    for _ in range(3):
        bay.wait(30, every_s=2)
        struck.append(bay.time)
        bay.wait(2)
        write(bay, struck)
    bay.wait(6)
    bay.session.end()
    ended = bay.time
    bay.wait(after_s)
    struck.append(bay.time)
    bay.wait(2)
    write(bay, struck)
    bay.wait(4)
    assert [shot.row_number for shot in bay.library.shots(first)] == [1, 2, 3]
    assert len(bay.notes("struck outside the lesson are left out: 1.")) == 1
    bay.open(since=ended + timedelta(seconds=1))
    bay.wait(4)
    assert len(bay.library.shots(first)) == 3
    assert rows(bay) == [4]


def test_a_row_struck_before_the_end_is_of_the_lesson_when_it_comes_after(bay):
    bay.open()
    struck = []
    for _ in range(3):
        bay.wait(30, every_s=2)
        struck.append(bay.time)
        bay.wait(2)
        write(bay, struck)
    bay.wait(20)
    struck.append(bay.time)
    bay.session.end()
    bay.wait(25)
    write(bay, struck)
    bay.wait(4)
    assert rows(bay) == [1, 2, 3, 4]


def test_a_table_exported_minutes_after_the_end_is_placed_by_the_clips(bay):
    bay.time -= timedelta(minutes=2)
    bay.open()
    for i in range(9):
        bay.wait_until(began(i) + timedelta(seconds=7))
        bay.drop(i)
        bay.wait(3)
    bay.wait(5)
    bay.session.end()
    bay.wait_until(bay.time + timedelta(minutes=4))
    bay.write_rows(10)
    bay.wait(4)
    assert rows(bay) == [*range(1, 8)]  # none of the lesson lost, none from after it
    assert {row for row in bay.pairs().values() if row is not None} == {*range(1, 8)}
    assert {CLIPS[i].name for i in range(9)} == set(bay.pairs())


def write_dated(bay, day: str, n: int) -> None:
    lines = [f"{day} {row}" for row in ROWS[:n]]
    bay.table.write_text("\n".join([HEADER, *lines]) + "\n", encoding="utf-8")


@pytest.mark.parametrize("is_yes", [True, False])
def test_rows_of_another_day_are_asked_for_before_they_are_taken(bay, is_yes):
    bay.open()
    bay.wait(30)
    write_dated(bay, "2026-03-13", 2)
    bay.wait(4)
    assert rows(bay) == []
    assert len(bay.notes("Question", "2026-03-13", "2026-03-14")) == 1
    assert bay.session.coach.n_open_questions == 1
    bay.session.coach.answer(is_yes)
    bay.wait(40)
    write_dated(bay, "2026-03-13", 3)
    bay.wait(4)
    assert rows(bay) == ([1, 2, 3] if is_yes else [])
    assert len(bay.notes("Question")) == 1
    bay.open(pupil="")  # the answer stays
    bay.wait(40)
    write_dated(bay, "2026-03-13", 4)
    bay.wait(4)
    assert rows(bay) == ([1, 2, 3, 4] if is_yes else [])
    assert len(bay.notes("Question")) == 1


def test_older_days_that_stood_in_the_table_before_are_no_question(bay):
    write_dated(bay, "2026-03-13", 2)
    bay.open()
    text = bay.table.read_text(encoding="utf-8")
    bay.wait(60)
    bay.table.write_text(text + f"2026-03-14 {ROWS[2]}\n", encoding="utf-8")
    bay.wait(4)
    assert rows(bay) == [3]
    assert bay.notes("Question") == []
