"""What is put right in a lesson is kept when it is matched anew, counts in the comparison, and can be undone."""

import pytest

from review.app.lesson_chart.first_last import say_first_last
from review.cli.compare.command import show_comparison
from review.errors import BadInputError
from review.jobs import correcting
from review.jobs.adding import add_lesson
from review.jobs.comparing import compare_lesson
from review.jobs.lesson_file import read_lesson_file
from review.jobs.pairing.rematching import rematch_lesson
from review.jobs.sample import find_sample_lesson
from review.jobs.undoing import redo, undo
from review.lesson import SwingKind
from review.library import Library


@pytest.fixture(scope="module")
def added(tmp_path_factory):
    with Library.open(tmp_path_factory.mktemp("correcting") / "library") as library:
        yield library, add_lesson(library, read_lesson_file(find_sample_lesson())).lesson.id


def as_it_is(library, lesson_id):
    """All that a correction may change."""
    swings = [(s.id, s.order, s.kind, s.batch_id, s.left_out) for s in library.swings(lesson_id)]
    return swings, library.lesson(lesson_id).batches, set(library.said(lesson_id))


CORRECTIONS = {
    "kind": lambda library, id, swing: correcting.set_kind(library, id, swing.id, SwingKind.DRILL),
    "left out": lambda library, id, swing: correcting.leave_out(library, id, swing.id, "mishit"),
    "moved": lambda library, id, swing: correcting.move_to_batch(library, id, swing.id, 1),
    "begun": lambda library, id, swing: correcting.begin_batch(library, id, swing.id),
    "words": lambda library, id, swing: correcting.describe_batch(
        library, id, swing.batch_id, cue="tall", club="iron 7", target="flag"
    ),
    "opened": lambda library, id, swing: correcting.close_batch(library, id, swing.batch_id, False),
}


@pytest.mark.parametrize("correct", CORRECTIONS.values(), ids=CORRECTIONS.keys())
def test_a_correction_is_undone_and_done_again(added, correct):
    library, id = added
    before = as_it_is(library, id)
    batch = library.lesson(id).batches[1]
    swing = [s for s in library.swings(id) if s.batch_id == batch.id][1]
    done = correct(library, id, swing)
    after = as_it_is(library, id)
    assert after != before
    assert not done.is_empty
    rematch_lesson(library, library.lesson(id), {})  # matching anew leaves what the coach said
    assert as_it_is(library, id) == after
    undo(library, done)
    assert as_it_is(library, id) == before
    rematch_lesson(library, library.lesson(id), {})
    assert as_it_is(library, id) == before
    redo(library, done)
    assert as_it_is(library, id) == after
    undo(library, done)
    assert as_it_is(library, id) == before


def test_a_batch_begun_in_the_middle_takes_the_rest_of_its_own(added):
    library, id = added
    batches = library.lesson(id).batches
    fellows = [s for s in library.swings(id) if s.batch_id == batches[0].id]
    done = correcting.begin_batch(library, id, fellows[2].id)
    renewed = library.lesson(id).batches
    assert [b.number for b in renewed] == list(range(1, len(batches) + 2))
    assert [b.id for b in renewed if b.id in {x.id for x in batches}] == [b.id for b in batches]
    there = {s.id: s.batch_id for s in library.swings(id)}
    assert [there[s.id] for s in fellows] == [batches[0].id] * 2 + [renewed[1].id] * (len(fellows) - 2)
    with pytest.raises(BadInputError, match="begins with swing"):
        correcting.begin_batch(library, id, fellows[2].id)
    undo(library, done)


def test_the_comparison_follows(added):
    library, id = added
    lesson = library.lesson(id)
    before = compare_lesson(library, lesson).comparisons[0]
    last = [
        s for s in library.swings(id) if s.batch_id == lesson.batches[-1].id and s.kind is SwingKind.SHOT and s.shot
    ]
    done = correcting.leave_out(library, id, last[0].id, "ball not seen")
    after = compare_lesson(library, library.lesson(id)).comparisons[0]
    assert after.n_last == before.n_last - 1
    assert after.mean_last != before.mean_last
    undo(library, done)
    assert compare_lesson(library, lesson).comparisons[0].mean_last == before.mean_last


def test_what_was_changed_since_stays(added):
    library, id = added
    swing = next(s for s in library.swings(id) if s.shot)
    first = correcting.leave_out(library, id, swing.id, "one")
    second = correcting.leave_out(library, id, swing.id, "two")
    with pytest.raises(BadInputError, match="changed by another run"):
        undo(library, first)
    assert next(s for s in library.swings(id) if s.id == swing.id).left_out == "two"
    undo(library, second)
    undo(library, first)


def test_what_is_not_there_changes_nothing(added):
    library, id = added
    before = as_it_is(library, id)
    swing = library.swings(id)[0]
    with pytest.raises(BadInputError, match="no batch 9"):
        correcting.move_to_batch(library, id, swing.id, 9)
    with pytest.raises(BadInputError, match="no longer in this lesson"):
        correcting.set_kind(library, id, "gone", SwingKind.DRILL)
    with pytest.raises(BadInputError, match="no longer in this lesson"):
        correcting.describe_batch(library, id, "gone", cue="tall")
    assert as_it_is(library, id) == before
    kind = correcting.set_kind(library, id, swing.id, swing.kind)
    undo(library, kind)
    assert as_it_is(library, id) == before


def test_how_many_were_left_out_and_why_is_told_everywhere(added, capsys):
    library, id = added
    lesson = library.lesson(id)
    swings = [s for s in library.swings(id) if s.batch_id == lesson.batches[-1].id and s.kind is SwingKind.SHOT]
    done = [correcting.leave_out(library, id, swing.id, "phone rang") for swing in swings[:2]]
    done.append(correcting.set_kind(library, id, swings[1].id, SwingKind.DRILL))  # does not count anyway
    compared = compare_lesson(library, lesson)
    show_comparison(compared)
    assert f"left out: phone rang (swing {swings[0].order})" in " ".join(capsys.readouterr().out.split())
    said = say_first_last(compared, ("club_path_deg", ""))
    assert said.left_out == "1 swing left out: phone rang"
    for correction in reversed(done):
        undo(library, correction)
    compared = compare_lesson(library, lesson)
    show_comparison(compared)
    assert "left out:" not in capsys.readouterr().out
    assert say_first_last(compared, ("club_path_deg", "")).left_out == ""
