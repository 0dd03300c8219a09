"""The device's table as it is really written: late, half, empty, twice, anew, with rows of the pupil before."""

from datetime import timedelta

import pytest
from watched_lesson import CLIPS, HEADER, ROWS, Bay, play_sample

from review.jobs.lesson_file import PupilPlan
from review.jobs.live import Paired, RowArrived
from review.jobs.moving.swings import move_swings
from review.lesson import Handedness
from review.library import Library


@pytest.fixture
def bay(tmp_path):
    made = Bay(tmp_path, begins="10:12:40")
    yield made
    made.close()


def rows(bay) -> list[int]:
    return [shot.row_number for shot in bay.library.shots(bay.lesson.id)]


def test_rows_that_were_there_before_the_lesson_are_not_of_it(bay):
    bay.write_rows(3)
    bay.open()
    bay.wait(2)
    assert rows(bay) == []
    bay.add_row(3)
    bay.wait(2)
    assert rows(bay) == [4]
    bay.open(pupil="")  # also after a restart
    bay.wait(2)
    assert rows(bay) == [4]


def test_a_half_written_last_line_waits_and_is_not_counted_twice(bay):
    bay.open()
    bay.add_row(0)
    with bay.table.open("a", encoding="utf-8") as file:
        file.write(ROWS[1][:40])
    bay.wait(2)
    assert rows(bay) == [1]
    with bay.table.open("a", encoding="utf-8") as file:
        file.write(f"{ROWS[1][40:]}\n")
    bay.wait(2)
    assert rows(bay) == [1, 2]
    assert bay.library.shots(bay.lesson.id)[1].values["carry_yd"] == 128.5


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_a_table_of_two_bytes_a_character_is_read_row_by_row_as_any_other(bay, encoding):
    bay.open()
    bay.time += timedelta(minutes=10)
    for n in (1, 2):
        bay.table.write_bytes("".join(f"{line}\r\n" for line in [HEADER, *ROWS[:n]]).encode(encoding))
        bay.wait(1.5)
        assert rows(bay) == [*range(1, n + 1)]
    whole = "".join(f"{line}\r\n" for line in [HEADER, *ROWS[:4]]).encode(encoding)
    bay.table.write_bytes(whole[: -len(f"{ROWS[3]}\r\n".encode(encoding)) + 41])  # within a character
    bay.wait(1.5)
    assert rows(bay) == [1, 2, 3]
    bay.table.write_bytes(whole)
    bay.wait(1.5)
    assert rows(bay) == [1, 2, 3, 4]
    assert bay.notes() == []


def test_a_last_line_that_stays_half_is_read_and_completed_later(bay):
    bay.open()
    bay.add_row(0)
    cut = ROWS[1].rindex("18.1") + 2
    with bay.table.open("a", encoding="utf-8") as file:
        file.write(ROWS[1][:cut])  # carries on with '.1' a minute later
    bay.wait(60)
    assert rows(bay) == [1, 2]
    assert bay.library.shots(bay.lesson.id)[1].values["height_yd"] == 18.0
    with bay.table.open("a", encoding="utf-8") as file:
        file.write(f"{ROWS[1][cut:]}\n")
    bay.wait(3)
    assert rows(bay) == [1, 2]
    assert bay.library.shots(bay.lesson.id)[1].values["height_yd"] == 18.1


def test_a_table_written_from_the_start_and_rows_twice(bay):
    bay.open()
    bay.time += timedelta(minutes=10)
    bay.write_rows(3)
    bay.wait(2)
    bay.table.write_text("", encoding="utf-8")
    bay.wait(1)
    bay.write_rows(4)
    bay.wait(2)
    assert rows(bay) == [1, 2, 3, 4]
    assert bay.notes() == []
    # the device starts its table anew, and writes a row twice
    bay.table.write_text("\n".join([HEADER, ROWS[4], ROWS[4], ROWS[5]]) + "\n", encoding="utf-8")
    bay.wait(2)
    assert rows(bay) == [1, 2, 3, 4, 5, 6]
    assert len(bay.notes("started anew")) == len(bay.notes("twice")) == 1
    bay.table.write_text("\n".join([HEADER, ROWS[4], ROWS[4], ROWS[5], ROWS[6]]) + "\n", encoding="utf-8")
    bay.wait(2)
    assert len(rows(bay)) == 7
    assert len(bay.notes()) == 2


def test_an_empty_locked_or_broken_table_is_told_once_and_rows_stay(bay, monkeypatch):
    bay.open()
    bay.time += timedelta(minutes=10)
    bay.write_rows(2)
    bay.wait(2)
    bay.table.write_text("", encoding="utf-8")
    bay.wait(8)
    assert bay.notes() == []
    bay.wait(20)
    assert len(bay.notes("empty")) == 1
    bay.write_rows(3)
    bay.wait(2)

    real = type(bay.table).read_bytes

    def locked(path):
        if path == bay.table:
            raise PermissionError(13, "Permission denied", str(path))
        return real(path)

    monkeypatch.setattr(type(bay.table), "read_bytes", locked)
    bay.add_row(3)
    bay.wait(30)
    assert len(bay.notes("Permission denied")) == 1
    monkeypatch.undo()
    bay.wait(3)
    assert rows(bay) == [1, 2, 3, 4]

    with bay.table.open("a", encoding="utf-8") as file:
        file.write(ROWS[4].replace("ball", "") + ",too,many\n")
    bay.wait(30)
    assert rows(bay) == [1, 2, 3, 4]
    assert len(bay.notes("the last line is left out")) == 1


def test_a_table_that_is_replaced_row_by_row_never_pairs_a_clip_twice(bay):
    bay.time -= timedelta(minutes=2)
    bay.open()
    written = []

    def rewrite(i):
        written.append(i)
        bay.table.unlink(missing_ok=True)
        bay.table.write_text("\n".join([HEADER, *(ROWS[k] for k in written)]) + "\n", encoding="utf-8")

    bay.add_row = rewrite
    play_sample(bay, n_clips=8)
    taken = [row for row in bay.pairs().values() if row is not None]
    assert taken.count(2) == taken.count(5) == 2  # two cameras each
    assert len(set(taken)) == 6
    sure = [(event.swing.id, event.shot.id) for event in bay.events(Paired) if event.is_sure]
    assert len(sure) == len(set(sure)) == 6
    assert len({event.shot.id for event in bay.events(RowArrived)}) == len(bay.events(RowArrived)) == 6


def test_rows_and_clips_moved_to_another_pupil_meanwhile_do_not_come_back(bay):
    bay.time -= timedelta(minutes=2)
    bay.open()
    play_sample(bay, n_clips=8)
    with Library.open(bay.library_folder) as other:  # another run of the program
        lesson = other.lesson(bay.lesson.id)
        last = other.swings(lesson.id)[-1]
        moved = move_swings(other, lesson, {last.order}, PupilPlan("Walk In", Handedness.LEFT))
    bay.add_row(6)
    bay.wait(3)
    assert last.shot.row_number not in rows(bay)
    assert len(rows(bay)) == 6
    bay.session.end()
    bay.open(pupil="Ines Calder")
    bay.wait(3)
    assert last.shot.row_number not in rows(bay)
    assert last.clips[0].original_name not in bay.pairs()
    assert len(bay.library.clips(moved.lesson.id)) == len(last.clips)


def test_a_row_completed_after_the_next_lesson_began_is_completed_where_it_is(bay):
    bay.open()
    first = bay.lesson.id
    bay.time += timedelta(minutes=1)
    cut = ROWS[0].rindex(",")
    bay.table.write_text(f"{HEADER}\n{ROWS[0][: cut - 3]}\n", encoding="utf-8")
    bay.wait(6)
    (half,) = bay.library.shots(first)
    bay.open(pupil="Walk In")
    bay.wait(3)
    bay.write_rows(1)
    bay.wait(6)
    (whole,) = bay.library.shots(first)
    assert whole.id == half.id
    assert (half.values, half.extra) != (whole.values, whole.extra)
    assert rows(bay) == []
    assert bay.notes("outside the lesson") == []


@pytest.mark.parametrize("first_column", [0, 1])  # with the time of day, and without
def test_a_row_from_before_the_lesson_that_is_completed_in_it_is_not_of_it(bay, first_column):
    def write(*lines):
        text = "\n".join(line.split(",", first_column)[-1] for line in (HEADER, *lines))
        bay.table.write_text(f"{text}\n", encoding="utf-8")

    cells = ROWS[0].split(",")
    write(",".join([*cells[:-3], "", "", ""]))
    bay.open()
    bay.wait(3)
    write(ROWS[0])
    bay.wait(6)
    assert rows(bay) == []
    write(*ROWS[:2])
    bay.wait_until(bay.time + timedelta(minutes=2))
    bay.wait(6)
    assert rows(bay) == [2]


def test_rows_struck_before_the_lesson_in_a_late_export_are_left_out(bay):
    bay.time += timedelta(minutes=9)  # begins after the eighth shot
    bay.open()
    for i in (10, 11, 12):
        bay.drop(i)
        bay.wait(40)
    bay.write_rows(10)
    bay.wait(3)
    assert min(rows(bay)) >= 7
    assert len(bay.notes("struck outside the lesson")) == 1
    assert {CLIPS[10].name, CLIPS[11].name, CLIPS[12].name} == set(bay.pairs())
