"""Swings moved to another pupil: everything goes, nothing stays, the rest is as it was."""

from contextlib import suppress
from dataclasses import replace
from datetime import date, datetime, time
from pathlib import Path

import pytest

from review.cli.compare.command import show_comparison
from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.comparing import compare_lesson
from review.jobs.lesson_file import PupilPlan, read_lesson_file
from review.jobs.moving.swings import find_swings_from, move_swings
from review.jobs.pairing.rematching import rematch_lesson
from review.lesson import Handedness, KeyFrame, LiveLesson, Measure, Said, Watched
from review.library import Library
from review.shots import row_key


class _Back(Exception):
    """Undoes what a test wrote."""


@pytest.fixture(scope="module")
def added(tmp_path_factory):
    folder = tmp_path_factory.mktemp("moving") / "library"
    with Library.open(folder) as library:
        lesson = add_lesson(library, read_lesson_file(SAMPLE / "lesson.toml")).lesson
        for swing in library.swings(lesson.id):
            measure = Measure("hip_turn_deg", 33.0, "impact", 25.0, 41.0, 3.0, 4.0, f"{lesson.pupil_id} {lesson.id}")
            library.set_measures(swing.id, [measure], "body 3 quick")
        yield library, lesson


@pytest.fixture
def library(added):
    """The library as it was added, whatever a test does to it."""
    opened, lesson = added
    with suppress(_Back), opened.transaction():
        yield opened, lesson
        raise _Back


SAMPLE = Path(__file__).parents[3] / "sample_clips"
WALK_IN = PupilPlan("Walk In", Handedness.LEFT)


def rows_naming(library: Library, text: str) -> list[str]:
    """Tables that hold a text anywhere."""
    tables = [row[0] for row in library._connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    return [
        t
        for t in tables
        if any(text in str(v) for row in library._connection.execute(f"SELECT * FROM {t}") for v in row)
    ]


def test_everything_of_the_last_batch_goes_and_nothing_of_it_stays(library):
    library, lesson = library
    before = library.swings(lesson.id)
    last = [swing for swing in before if swing.batch_id == lesson.batches[-1].id]
    clip = last[0].clips[0]
    library.set_key_frames(clip.id, [KeyFrame("top", 1.0, 60, 1.0, "coach"), KeyFrame("impact", 1.3, 78, 0.9, "pose")])
    moved = move_swings(library, lesson, {swing.order for swing in last}, WALK_IN)

    there = library.swings(moved.lesson.id)
    assert moved.orders == tuple(s.order for s in there)
    assert library.find_lesson("last").id == lesson.id  # not the one that the move made
    assert library.find_lesson("walk in").id == moved.lesson.id
    assert [s.shot and s.shot.row_number for s in there] == [s.shot and s.shot.row_number for s in last]
    assert [[c.id for c in s.clips] for s in there] == [[c.id for c in s.clips] for s in last]
    assert [s.trace is None for s in there] == [s.trace is None for s in last]
    assert [s.order for s in there] == list(range(1, len(last) + 1))
    assert (moved.pupil.name, moved.pupil.handedness, moved.lesson.held_on) == (
        "Walk In",
        Handedness.LEFT,
        lesson.held_on,
    )
    (batch,) = moved.lesson.batches
    assert (batch.cue, batch.number) == (lesson.batches[-1].cue, 1)
    assert {s.batch_id for s in there} == {batch.id}
    assert [k.name for k in library.key_frames(clip.id)] == ["top"]  # the coach's own mark
    assert library.measures(moved.lesson.id) == {}  # made for another hand
    assert "keep" in moved.notes[0]

    left = library.swings(lesson.id)
    assert [s.id for s in left] == [s.id for s in before if s not in last and s.id not in {m.id for m in last}]
    assert [s.order for s in left] == list(range(1, len(left) + 1))
    assert len(library.measures(lesson.id)) == len(left)
    assert lesson.batches[-1].cue not in {b.cue for b in library.lesson(lesson.id).batches}
    for swing in last:
        row = next(iter(library._connection.execute("SELECT lesson_id FROM swing WHERE id = ?", (swing.id,))))
        assert row[0] == moved.lesson.id
    for item in [clip.id, *(s.shot.id for s in last if s.shot is not None)]:
        for table in ("clip", "shot", "said", "arrival"):
            column = "id" if table in ("clip", "shot") else "item"
            found = library._connection.execute(
                f"SELECT 1 FROM {table} WHERE lesson_id = ? AND {column} = ?", (lesson.id, item)
            ).fetchone()
            assert found is None, (table, item)


def test_a_part_of_a_batch_leaves_the_pupils_words_behind(library):
    library, lesson = library
    moved = move_swings(library, lesson, {1, 2}, WALK_IN)
    assert [(b.cue, b.feel) for b in moved.lesson.batches] == [("", "")]
    assert library.lesson(lesson.id).batches == lesson.batches


def test_forgetting_the_first_pupil_leaves_the_second_whole(tmp_path):
    with Library.open(tmp_path) as library:
        lesson = add_lesson(library, read_lesson_file(SAMPLE / "lesson.toml")).lesson
        moved = move_swings(library, lesson, {1, 2, 3}, WALK_IN)
        library.forget_pupil(lesson.pupil_id)
        clips = library.clips(moved.lesson.id)
        assert len(clips) == 4
        assert all(library.path_of(clip).is_file() for clip in clips)
        assert len(list((tmp_path / "clips").iterdir())) == 4
        assert rows_naming(library, "Ines") == []


def test_moved_again_it_comes_back_and_matching_goes_on(library):
    library, lesson = library
    before = library.swings(lesson.id)
    moved = move_swings(library, lesson, {15, 16, 17}, WALK_IN)
    name = library.pupil(lesson.pupil_id).name
    move_swings(library, moved.lesson, {1, 2, 3}, PupilPlan(name, Handedness.RIGHT))
    again = rematch_lesson(library, library.lesson(lesson.id), {}).swings
    assert [(s.id, s.order, s.shot and s.shot.row_number) for s in again] == [
        (s.id, s.order, s.shot and s.shot.row_number) for s in before
    ]


@pytest.mark.parametrize("orders", [{9, 10, 11}, set(range(4, 18))])
def test_pairs_that_were_sure_stay_sure_in_both_lessons(library, orders):
    library, lesson = library
    before = {s.shot.id: s for s in library.swings(lesson.id) if s.shot is not None and s.clips}
    moved = move_swings(library, lesson, orders, WALK_IN)
    n_paired = 0
    for one in (lesson, moved.lesson):
        swings = library.swings(one.id)
        matched = rematch_lesson(library, library.lesson(one.id), {})
        assert matched.questions == ()
        assert [(s.id, s.order) for s in matched.swings] == [(s.id, s.order) for s in swings]
        assert [s.batch_id for s in matched.swings] == [s.batch_id for s in swings]
        for swing in matched.swings:
            if swing.shot is not None and swing.clips:
                n_paired += 1
                old = before[swing.shot.id]
                assert (swing.clips, swing.pairing_source) == (old.clips, old.pairing_source)
                assert swing.pairing_probability >= 0.9
    assert n_paired == len(before)
    few = moved.lesson if len(orders) == 3 else lesson
    swing = next(s for s in library.swings(few.id) if s.shot is not None and s.clips)
    said = rematch_lesson(library, library.lesson(few.id), {clip.id: None for clip in swing.clips})
    assert all(s.shot is None for s in said.swings if swing.clips[0] in s.clips)


@pytest.mark.parametrize("matches", [False, True])
@pytest.mark.parametrize("orders", [{9, 10, 11}, set(range(4, 18)), {1, 2, 15, 16, 17}])
def test_moved_there_and_back_all_is_as_it_was(library, orders, matches):
    library, lesson = library
    batches = lesson.batches
    row = next(s.shot for s in library.swings(lesson.id) if s.order in orders and s.shot is not None)
    library.add_shots(lesson.id, [replace(row, id="exported again-1")])
    before = rematch_lesson(library, lesson, {}).swings
    moved = move_swings(library, lesson, orders, WALK_IN)
    assert "exported again-1" in {shot.id for shot in library.shots(moved.lesson.id)}
    if matches:
        for one in (lesson, moved.lesson):
            rematch_lesson(library, library.lesson(one.id), {})
    back = set(range(1, len(orders) + 1))
    move_swings(library, library.lesson(moved.lesson.id), back, PupilPlan("Ines Calder", Handedness.RIGHT))
    for left in (library.swings, library.clips, library.shots):
        assert left(moved.lesson.id) == ()
    assert library.lesson(lesson.id).batches == batches
    if matches:
        rematch_lesson(library, library.lesson(lesson.id), {})
    after = library.swings(lesson.id)
    assert [(s.id, s.order, s.shot and s.shot.row_number, s.batch_id) for s in after] == [
        (s.id, s.order, s.shot and s.shot.row_number, s.batch_id) for s in before
    ]
    assert [{c.id for c in s.clips} for s in after] == [{c.id for c in s.clips} for s in before]


def test_one_swing_left_in_a_batch_is_no_change(library, capsys):
    library, lesson = library
    last = [s for s in library.swings(lesson.id) if s.batch_id == lesson.batches[-1].id and s.shot is not None]
    move_swings(library, lesson, {s.order for s in last[1:]}, WALK_IN)
    compared = compare_lesson(library, library.lesson(lesson.id))
    show_comparison(compared)
    text = capsys.readouterr().out
    (club_speed,) = [line for line in text.splitlines() if line.strip().startswith("club speed")]
    assert "one swing tells nothing yet" in club_speed
    assert "faster" not in text
    assert "slower" not in text


def test_without_start_times_they_come_back_to_the_batch_beside_them(library):
    library, lesson = library
    plain = [replace(batch, started_at=None) for batch in lesson.batches]
    library.set_batches(lesson.id, plain)
    before = {s.id: s.batch_id for s in library.swings(lesson.id)}
    for swing in library.swings(lesson.id):
        items = [*(clip.id for clip in swing.clips), *([swing.shot.id] if swing.shot is not None else [])]
        library.say(lesson.id, [Said(item, "batch", swing.batch_id, "clock") for item in items])
    moved = move_swings(library, library.lesson(lesson.id), {9, 10, 11}, WALK_IN)
    move_swings(library, moved.lesson, {1, 2, 3}, PupilPlan("Ines Calder", Handedness.RIGHT))
    assert {s.id: s.batch_id for s in library.swings(lesson.id)} == before
    assert [*library.lesson(lesson.id).batches] == plain


def test_moved_rows_do_not_come_back_with_the_table(library):
    library, lesson = library
    live = LiveLesson(lesson.id, datetime(2026, 3, 14, 10), None, Watched())
    library.set_live_lesson(live)
    row = library.swings(lesson.id)[-1].shot
    move_swings(library, lesson, {17}, WALK_IN)
    assert row_key(row) in library.live_lessons()[0].rows_before


def test_swings_from_a_time_on(library):
    library, lesson = library
    swings = library.swings(lesson.id)
    # by the device's clock; swing 15 has no row and was filmed at 10:29:11 by a camera 192 s ahead
    assert find_swings_from(swings, time(10, 25, 57)) == (15, 16, 17)
    assert find_swings_from(swings, time(10, 26, 10)) == (16, 17)
    assert find_swings_from(swings, time(12)) == ()


def test_what_cannot_be_moved(library):
    library, lesson = library
    with pytest.raises(BadInputError, match="no swing 99"):
        move_swings(library, lesson, {3, 99}, WALK_IN)
    with pytest.raises(BadInputError, match="already"):
        move_swings(library, lesson, {3}, PupilPlan("Ines Calder", Handedness.RIGHT))
    assert len(library.pupils()) == 1
    assert lesson.held_on == date(2026, 3, 14)
