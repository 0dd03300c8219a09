"""A shot left out with a reason, the club, words of an earlier batch, and words used before."""

from datetime import timedelta

import pytest
from watched_lesson import Bay, began

from review.compare.samples import counted
from review.jobs.live.before import list_words, look_before
from review.jobs.pairing.rematching import rematch_lesson
from review.jobs.pupils import forget


@pytest.fixture
def bay(tmp_path):
    made = Bay(tmp_path, begins="10:12:00")
    yield made
    made.close()


def hit(bay, *which: int) -> None:
    row_of = {0: 0, 1: 1, 3: 2, 4: 3}
    for i in which:
        bay.wait_until(began(i) + timedelta(seconds=6))
        bay.add_row(row_of[i])
        bay.drop(i)
        bay.wait(20, every_s=1.0)


def test_a_shot_left_out_does_not_count_keeps_its_reason_and_comes_back(bay):
    coach = bay.open().coach
    hit(bay, 0, 1)
    coach.leave_out("ball hit the stand", 1)
    assert [swing.left_out for swing in bay.swings] == ["ball hit the stand", ""]
    assert [swing.order for swing in counted(bay.swings)] == [2]
    hit(bay, 3)  # matched anew
    rematch_lesson(bay.library, bay.lesson, {})
    assert [swing.left_out for swing in bay.swings] == ["ball hit the stand", "", ""]
    assert coach.undo() == "whether swing 1 counts"
    assert [swing.left_out for swing in bay.swings] == ["", "", ""]
    coach.leave_out("topped", 2)
    coach.leave_out("", 2)
    assert not any(swing.left_out for swing in bay.swings)
    coach.undo()
    assert bay.swings[1].left_out == "topped"


def test_another_club_is_another_batch_once_there_are_shots(bay):
    coach = bay.open().coach
    coach.set_club("7 iron")
    assert [batch.club for batch in bay.lesson.batches] == ["7 iron"]
    hit(bay, 0)
    coach.set_club("7 iron")
    assert len(bay.lesson.batches) == 1
    coach.set_club("driver")
    assert [batch.club for batch in bay.lesson.batches] == ["7 iron", "driver"]
    coach.undo()
    assert [batch.club for batch in bay.lesson.batches] == ["7 iron", "7 iron"]


def test_the_feel_of_a_closed_batch_is_its_own(bay):
    coach = bay.open().coach
    first = bay.lesson.batches[0]
    coach.start_batch()
    coach.describe_batch(feel="heavy hip", batch_id=first.id)
    assert [(batch.feel, batch.is_closed) for batch in bay.lesson.batches] == [("heavy hip", True), ("", False)]


def test_words_come_most_used_first_and_go_with_a_forgotten_pupil(bay):
    bay.open("Ines Calder").coach.describe_batch("turn", "heavy hip")
    bay.wait(60)
    bay.session.coach.start_batch()
    bay.session.coach.describe_batch("turn", "late")
    bay.wait(60)
    bay.open("Tom Example").coach.describe_batch("wait at the top", "late")
    words = list_words(bay.library)
    assert words.cues == ("turn", "wait at the top")
    assert look_before(bay.library_folder, bay.time).going_on == "Tom Example"
    tom, ines = (bay.library.find_pupils(name)[0] for name in ("Tom Example", "Ines Calder"))
    assert words.feels_of(ines.id) == ("late", "heavy hip")
    assert words.feels_of(tom.id) == ("late",)  # a feel is the pupil's own: nobody else's is offered
    assert words.feels_of("a new pupil") == ()
    forget(bay.library, ines)
    assert list_words(bay.library).cues == ("wait at the top",)
    assert list_words(bay.library).feels == {tom.id: ("late",)}
