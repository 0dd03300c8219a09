"""The coach's keys: at once in the library, kept when the lesson is matched anew, taken back one by one."""

from dataclasses import replace
from datetime import timedelta

import pytest
from watched_lesson import CLIPS, Bay, began

from review.errors import BadInputError, MachineError
from review.jobs.lesson_file import PupilPlan
from review.jobs.live import Asked, Filed, LessonBegan, LessonEnded
from review.jobs.live.one_run import only_run
from review.jobs.moving.swings import move_swings
from review.jobs.pairing.rematching import rematch_lesson
from review.lesson import Handedness, SwingKind
from review.library import Library


@pytest.fixture
def bay(tmp_path):
    made = Bay(tmp_path, begins="10:12:00")
    yield made
    made.close()


def batches(bay) -> list[int | None]:
    numbers = {batch.id: batch.number for batch in bay.lesson.batches}
    return [numbers.get(swing.batch_id) for swing in bay.swings]


def hit(bay, *which: int) -> None:
    """Shots of the sample when they were struck: clip and row of each, then twenty seconds."""
    row_of = {0: 0, 1: 1, 3: 2, 4: 3, 5: 4, 7: 5}
    for i in which:
        bay.wait_until(began(i) + timedelta(seconds=6))
        bay.add_row(row_of[i])
        bay.drop(i)
        bay.wait(20, every_s=1.0)


def test_the_last_shot_goes_into_the_new_batch_and_back_and_stays_there(bay):
    coach = bay.open().coach
    with pytest.raises(BadInputError, match="no swing yet"):
        coach.move_last_swing()
    hit(bay, 0, 1, 3)
    with pytest.raises(BadInputError, match="only one batch"):
        coach.move_last_swing()
    coach.start_batch()
    assert batches(bay) == [1, 1, 1]
    coach.move_last_swing()
    assert batches(bay) == [1, 1, 2]
    coach.move_last_swing()
    assert batches(bay) == [1, 1, 1]
    coach.move_last_swing()
    hit(bay, 4, 5)  # matched anew several times
    assert batches(bay) == [1, 1, 2, 2, 2]
    bay.open(pupil="")
    rematch_lesson(bay.library, bay.lesson, {})
    assert batches(bay) == [1, 1, 2, 2, 2]


def test_the_kind_of_the_last_swing_stays_too_even_a_struck_practice_swing(bay):
    coach = bay.open().coach
    hit(bay, 0, 1)
    for kind in SwingKind:
        assert coach.set_kind(kind).kind is kind
    coach.set_kind(SwingKind.PRACTICE)
    hit(bay, 3)
    assert [swing.kind for swing in bay.swings] == [SwingKind.SHOT, SwingKind.PRACTICE, SwingKind.SHOT]
    rematch_lesson(bay.library, bay.lesson, {})
    assert bay.swings[1].kind is SwingKind.PRACTICE
    assert bay.events(Filed)[-1].swing.kind is SwingKind.PRACTICE


def test_an_earlier_swing_is_reached_by_its_number(bay):
    coach = bay.open().coach
    hit(bay, 0, 1, 3)
    assert coach.set_kind(SwingKind.DRILL, 1).order == 1
    assert [swing.kind for swing in bay.swings] == [SwingKind.DRILL, SwingKind.SHOT, SwingKind.SHOT]
    coach.start_batch()
    assert coach.move_last_swing(2).order == 2
    assert batches(bay) == [1, 2, 1]
    for missing in (0, 4):
        with pytest.raises(BadInputError, match=f"no swing {missing} in this lesson; the last one is 3"):
            coach.set_kind(SwingKind.SHOT, missing)
    assert coach.undo() == "the batch of swing 2"
    coach.undo()
    assert coach.undo() == "what swing 1 was"
    assert [swing.kind for swing in bay.swings] == [SwingKind.SHOT] * 3


def test_keys_are_taken_back_last_first(bay):
    coach = bay.open().coach
    hit(bay, 0, 1)
    coach.set_kind(SwingKind.DRILL)
    coach.start_batch()
    coach.describe_batch(cue="zip to the target")
    coach.describe_batch(feel="late")
    coach.move_last_swing()
    assert (bay.lesson.batches[-1].cue, bay.lesson.batches[-1].feel) == ("zip to the target", "late")
    assert batches(bay) == [1, 2]

    assert coach.undo() == "the batch of swing 2"
    assert batches(bay) == [1, 1]
    coach.undo()
    assert (bay.lesson.batches[-1].cue, bay.lesson.batches[-1].feel) == ("zip to the target", "")
    coach.undo()
    assert coach.undo() == "the new batch"
    assert [(batch.number, batch.is_closed) for batch in bay.lesson.batches] == [(1, False)]
    assert bay.swings[1].kind is SwingKind.DRILL
    coach.undo()
    assert bay.swings[1].kind is SwingKind.SHOT
    with pytest.raises(BadInputError, match="no key to take back"):
        coach.undo()


def test_taking_back_leaves_what_another_run_wrote_since(bay):
    coach = bay.open().coach
    hit(bay, 0, 1)
    coach.start_batch()
    coach.set_kind(SwingKind.DRILL)
    with Library.open(bay.library_folder) as other:
        first = bay.swings[0].clips[0].id
        rematch_lesson(other, bay.lesson, {}, {first: SwingKind.PRACTICE})
    assert coach.undo() == "what swing 2 was"
    assert [swing.kind for swing in bay.swings] == [SwingKind.PRACTICE, SwingKind.SHOT]
    assert coach.undo() == "the new batch"
    assert [swing.kind for swing in bay.swings] == [SwingKind.PRACTICE, SwingKind.SHOT]
    assert [(batch.number, batch.is_closed) for batch in bay.lesson.batches] == [(1, False)]


def test_nothing_said_of_a_swing_that_was_moved_comes_back_to_the_first_pupil(bay):
    coach = bay.open().coach
    hit(bay, 0, 1)
    coach.set_kind(SwingKind.DRILL)
    coach.set_kind(SwingKind.PRACTICE)
    gone = {bay.swings[1].clips[0].id, bay.swings[1].shot.id}
    with Library.open(bay.library_folder) as other:
        moved = move_swings(other, bay.lesson, [2], PupilPlan("Walk In", Handedness.LEFT, None, None))
        with pytest.raises(BadInputError, match="changed by another run"):
            coach.undo()
        assert not gone & {one.item for one in bay.library.said(bay.lesson.id)}
        assert other.swings(moved.lesson.id)[0].kind is SwingKind.PRACTICE


def test_a_batch_that_another_run_described_stays(bay):
    coach = bay.open().coach
    new = coach.start_batch()
    with Library.open(bay.library_folder) as other:
        other.set_batches(bay.lesson.id, [bay.lesson.batches[0], replace(new, feel="late")])
    with pytest.raises(BadInputError, match="so it stays"):
        coach.undo()
    assert [batch.feel for batch in bay.lesson.batches] == ["", "late"]


def test_a_key_that_failed_was_never_pressed(bay, monkeypatch):
    coach = bay.open().coach
    hit(bay, 0)
    coach.set_kind(SwingKind.DRILL)

    def full(*_):
        raise MachineError("The disk is full.")

    with monkeypatch.context() as broken:
        broken.setattr(Library, "say", full)
        broken.setattr(Library, "set_batches", full)
        broken.setattr(Library, "replace_swings", full)
        for press in (
            coach.start_batch,
            lambda: coach.set_kind(SwingKind.PRACTICE),
            lambda: coach.describe_batch(cue="slower"),
            coach.end,
        ):
            with pytest.raises(MachineError):
                press()
    assert not bay.session.is_over
    assert coach.undo() == "what swing 1 was"
    assert bay.swings[0].kind is SwingKind.SHOT


def test_a_key_kept_while_matching_fails_counts_and_is_matched_later(bay, monkeypatch):
    coach = bay.open().coach
    hit(bay, 0)

    def full(*_):
        raise MachineError("The disk is full.")

    with monkeypatch.context() as broken:
        broken.setattr(Library, "replace_swings", full)
        coach.set_kind(SwingKind.DRILL)
    assert len(bay.notes("disk is full")) == 1
    bay.wait(7)
    assert bay.swings[0].kind is SwingKind.DRILL
    assert coach.undo() == "what swing 1 was"


def test_the_end_is_an_end_that_late_clips_still_reach_and_that_can_be_taken_back(bay):
    session = bay.open()
    hit(bay, 0, 1, 3, 4)
    bay.wait_until(began(5) + timedelta(seconds=5))
    bay.drop(5)
    session.end()
    bay.wait(4)
    assert bay.events(LessonEnded)[0].n_swings == 4
    assert len(bay.swings) == 5
    assert bay.lesson.batches[-1].is_closed
    bay.wait_until(began(16) + timedelta(seconds=6))
    bay.drop(16)  # filmed long after the end
    bay.wait(4)
    assert len(bay.swings) == 5
    assert session.is_over
    session.coach.undo()
    assert not session.is_over
    assert not bay.lesson.batches[-1].is_closed


def test_what_is_not_clear_is_asked_at_the_end_and_answered_by_one_key(bay):
    session = bay.open()
    bay.drop(0)
    bay.wait(120, every_s=20)
    bay.add_row(0)  # far too late to be paired by its arrival
    bay.wait(5)
    assert bay.events(Asked) == []  # one ball is too few to ask
    session.end()
    (asked,) = bay.events(Asked)
    assert asked.shot.row_number == 1
    session.coach.answer(is_yes=True)
    assert bay.pairs() == {CLIPS[0].name: 1}
    session.coach.undo()
    assert bay.pairs() == {CLIPS[0].name: None}
    session.coach.answer(is_yes=False)
    assert bay.pairs() == {CLIPS[0].name: None}
    assert session.coach.n_open_questions == 0
    with pytest.raises(BadInputError, match="Nothing is asked"):
        session.coach.answer(is_yes=True)


def test_an_answer_that_another_run_put_right_stays_put_right(bay):
    session = bay.open()
    bay.drop(0)
    bay.wait(120, every_s=20)
    bay.add_row(0)
    bay.wait(5)
    session.end()
    session.coach.answer(is_yes=False)
    clip, shot = bay.library.clips(bay.lesson.id)[0], bay.library.shots(bay.lesson.id)[0]
    with Library.open(bay.library_folder) as other:
        rematch_lesson(other, bay.lesson, {clip.id: shot.id})
    with pytest.raises(BadInputError, match="changed by another run"):
        session.coach.undo()
    assert bay.pairs() == {CLIPS[0].name: 1}
    assert session.coach.undo() == "the end of the lesson"


def test_the_same_pupil_comes_again_that_day(bay):
    session = bay.open()
    hit(bay, 0)
    session.end()
    bay.time = bay.time.replace(hour=15)
    bay.open()
    bay.wait(10)
    assert not bay.events(LessonBegan)[-1].is_resumed
    bay.drop(1, CLIPS[1].name.replace("_10", "_15"))
    bay.wait(4)
    assert batches(bay)[-1] == 2


def test_a_new_pupil_needs_a_hand_a_known_one_only_the_name(bay):
    with pytest.raises(BadInputError, match="--handed"):
        bay.open(pupil="Walk In", handedness=None)
    bay.open(pupil="Walk In")
    bay.close()
    bay.open(pupil="walk in", handedness=None)
    assert len(bay.library.pupils()) == 1


def test_two_runs_never_follow_one_library(tmp_path):
    with only_run(tmp_path), pytest.raises(MachineError, match="another run"), only_run(tmp_path):
        pass
    with only_run(tmp_path):
        pass
