"""The sample lesson as it would have happened, on fast forward, against its truth."""

import pytest
from watched_lesson import CLIPS, TRUTH, Bay, play_sample

from review.jobs.live import BatchStarted, ClipArrived, LessonBegan, Paired, RowArrived


@pytest.fixture
def bay(tmp_path):
    made = Bay(tmp_path)
    yield made
    made.close()


def true_pairs() -> dict[str, int | None]:
    return {clip["file"].removeprefix("clips/"): clip["row"] for clip in TRUTH["clips"]}


def test_every_clip_finds_its_row_and_its_batch_while_the_lesson_goes_on(bay):
    coach = bay.open().coach
    play_sample(bay, keys={"10:18:47": coach.start_batch, "10:23:18": coach.start_batch})

    assert bay.pairs() == true_pairs()
    batch_of = {batch.id: batch.number for batch in bay.lesson.batches}
    numbers = {clip.original_name: batch_of[swing.batch_id] for swing in bay.swings for clip in swing.clips}
    truth = {clip["file"].removeprefix("clips/"): clip["batch"] for clip in TRUTH["clips"] if clip["batch"]}
    assert {name: numbers[name] for name in truth} == truth
    assert [batch.is_closed for batch in bay.lesson.batches] == [True, True, False]

    assert sorted(event.clip.original_name for event in bay.events(ClipArrived)) == [clip.name for clip in CLIPS]
    assert len(bay.events(BatchStarted)) == 2
    assert len(bay.events(RowArrived)) == 15  # here the device is quicker than the camera
    sure = [event for event in bay.events(Paired) if event.is_sure]
    assert len({event.shot.id for event in sure}) == len(sure) == 14
    assert bay.notes() == []


def test_what_is_told_is_in_the_library_and_a_stopped_run_goes_on(bay):
    bay.open().coach.start_batch()
    play_sample(bay, n_clips=9)
    pairs, swings = bay.pairs(), bay.swings
    files = sorted(path.name for path in (bay.library_folder / "clips").iterdir())
    bay.library._connection.close()  # as a killed run leaves it: nothing is written at the end
    bay.library = None

    bay.told.clear()
    bay.open(pupil="")
    assert bay.events(LessonBegan)[0].is_resumed
    bay.wait(5)
    assert bay.pairs() == pairs
    assert bay.swings == swings
    assert sorted(path.name for path in (bay.library_folder / "clips").iterdir()) == files
    assert bay.events(ClipArrived) == []
    bay.drop(9)
    bay.wait(3)
    assert [event.clip.original_name for event in bay.events(ClipArrived)] == [CLIPS[9].name]


def test_a_clip_dropped_while_nothing_ran_joins_the_lesson(bay):
    bay.open()
    bay.drop(0)
    bay.wait(3)
    bay.close()
    bay.drop(1)
    bay.open(pupil="")
    bay.wait(3)
    assert set(bay.pairs()) == {CLIPS[0].name, CLIPS[1].name}


def test_a_table_exported_at_the_end_pairs_everything_at_once(bay):
    coach = bay.open().coach
    with_rows = bay.add_row
    bay.add_row = lambda i: None
    play_sample(bay, keys={"10:18:47": coach.start_batch, "10:23:18": coach.start_batch})
    bay.add_row = with_rows
    assert set(bay.pairs().values()) == {None}
    bay.wait(60, every_s=10)
    bay.write_rows(15)
    bay.wait(3)
    assert bay.pairs() == true_pairs()
