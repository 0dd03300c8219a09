"""Whose lesson it is and since when: said too late, gone on with, begun for the wrong pupil."""

import threading
import time
from datetime import datetime, timedelta

import pytest
from watched_lesson import CLIPS, Bay, began

from review.errors import BadInputError, MachineError
from review.jobs.live import LessonBegan, is_asked_to_leave, is_going_on, only_run, watching
from review.lesson import Handedness


@pytest.fixture
def bay(tmp_path):
    made = Bay(tmp_path, begins="10:12:00")
    yield made
    made.close()


def hit(bay, i: int, row: int) -> None:
    bay.wait_until(began(i) + timedelta(seconds=6))
    bay.add_row(row)
    bay.drop(i)


def test_a_lesson_begun_too_late_is_made_to_begin_earlier_and_takes_in_what_was_before(bay, monkeypatch):
    earlier = bay.time
    hit(bay, 0, 0)
    arrived = bay.time

    class FileTimes(datetime):
        """The clip that lies there already came when it did in the bay."""

        @classmethod
        def fromtimestamp(cls, *_):
            return arrived

    monkeypatch.setattr(watching, "datetime", FileTimes)
    bay.wait_until(bay.time + timedelta(seconds=40))
    bay.open()
    bay.wait(10)
    assert bay.swings == ()
    hit(bay, 1, 1)
    bay.wait(10)
    assert bay.pairs() == {CLIPS[1].name: 2}
    bay.open(since=earlier)
    assert bay.events(LessonBegan)[-1].is_resumed
    bay.wait(10)
    assert set(bay.pairs()) == {CLIPS[0].name, CLIPS[1].name}
    assert len(bay.library.shots(bay.lesson.id)) == 2
    assert len(bay.lesson.batches) == 1


def test_the_batch_that_opened_a_second_lesson_of_the_day_begins_earlier_with_it(bay):
    bay.open()
    hit(bay, 0, 0)
    bay.wait(5)
    bay.session.end()
    bay.wait(20)
    earlier = bay.time
    hit(bay, 1, 1)
    bay.wait_until(bay.time + timedelta(seconds=30))
    bay.open()
    bay.open(since=earlier)
    bay.wait(10)
    number = {batch.id: batch.number for batch in bay.lesson.batches}
    assert {s.clips[0].original_name: number[s.batch_id] for s in bay.swings if s.clips} == {
        CLIPS[0].name: 1,
        CLIPS[1].name: 2,
    }


def test_rows_that_were_moved_to_another_pupil_stay_there(bay):
    bay.open(pupil="Walk In", handedness=Handedness.LEFT)
    earlier = bay.time
    hit(bay, 0, 0)
    bay.wait(10)
    bay.open()
    bay.open(since=earlier)
    bay.wait(10)
    assert bay.library.shots(bay.lesson.id) == ()
    assert bay.swings == ()


def test_a_lesson_that_goes_on_cannot_begin_later(bay):
    bay.open()
    bay.wait(60, every_s=20)
    with pytest.raises(BadInputError, match="began earlier"):
        bay.open(since=bay.time)


def test_another_pupil_ends_every_other_lesson_whenever_it_began(bay):
    bay.open(pupil="Walk In", handedness=Handedness.LEFT)
    bay.wait(60, every_s=20)
    bay.open(since=bay.time - timedelta(minutes=5))
    walk_in, ines = sorted(bay.library.live_lessons(), key=lambda live: live.lesson_id == bay.lesson.id)
    assert walk_in.ended_at is not None
    assert ines.ended_at is None
    bay.wait(10)
    bay.open(pupil="")
    assert bay.events(LessonBegan)[-1].pupil.name == "Ines Calder"


def test_which_body_numbers_are_made_stays_with_the_lesson_and_not_with_the_next(bay):
    bay.open(body="quick")
    bay.open(pupil="")
    assert bay.session._desk.live.watched.body == "quick"
    bay.open(body="none")
    assert bay.session._desk.live.watched.body == "none"
    bay.open(pupil="Walk In")
    assert bay.session._desk.live.watched.body == "thorough"


def test_a_run_whose_lesson_is_over_makes_way_for_the_next_one_that_waits(tmp_path):
    is_held, order = threading.Event(), []

    def measure_until_asked() -> None:
        with only_run(tmp_path):
            is_held.set()
            while not is_asked_to_leave(tmp_path):
                time.sleep(0.01)
            order.append("left")

    other = threading.Thread(target=measure_until_asked, daemon=True)
    other.start()
    assert is_held.wait(20)
    with only_run(tmp_path, lambda: False, wait_s=20):
        order.append("next")
        assert not is_asked_to_leave(tmp_path)
    assert order == ["left", "next"]


def test_a_run_whose_lesson_goes_on_is_not_asked_to_leave(bay, tmp_path):
    bay.open()
    assert is_going_on(bay.library, bay.time)
    again = only_run(tmp_path, lambda: is_going_on(bay.library, bay.time))
    with only_run(tmp_path), pytest.raises(MachineError, match="Press e there"), again:
        pass
    assert not is_asked_to_leave(tmp_path)
    bay.session.end()
    assert not is_going_on(bay.library, bay.time)
    with only_run(tmp_path), pytest.raises(MachineError), only_run(tmp_path, lambda: False, wait_s=0.2):
        pass
