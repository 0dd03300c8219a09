"""Which numbers go with two swings: those of the batches in the picture, not of others."""

import shutil
from pathlib import Path

import pytest

from review.jobs.adding import add_lesson
from review.jobs.correcting import close_batch
from review.jobs.lesson_file import read_lesson_file
from review.jobs.sample import find_sample_lesson
from review.jobs.showing.pair import show_pair
from review.library import Library


@pytest.fixture(scope="module")
def sample(tmp_path_factory) -> tuple[Path, str]:
    folder = tmp_path_factory.mktemp("pair") / "library"
    with Library.open(folder) as library:
        return folder, add_lesson(library, read_lesson_file(find_sample_lesson())).lesson.id


def test_first_and_last_batch_need_no_numbers_of_their_own(sample):
    pair = show_pair(*sample)
    assert (pair.first.batch.number, pair.last.batch.number) == (1, 3)
    assert pair.compared is None


def test_while_the_last_batch_is_open_the_numbers_are_of_the_batches_in_the_picture(sample, tmp_path):
    folder, lesson_id = tmp_path / "library", sample[1]
    shutil.copytree(sample[0], folder)
    with Library.open(folder) as library:
        close_batch(library, lesson_id, library.lesson(lesson_id).batches[-1].id, False)
    pair = show_pair(folder, lesson_id)
    assert (pair.first.batch.number, pair.last.batch.number) == (1, 2)
    assert (pair.compared.first.number, pair.compared.last.number) == (1, 2)


def test_two_swings_of_one_batch_have_no_change_of_their_own(sample):
    folder, lesson_id = sample
    with Library.open(folder) as library:
        lesson = library.lesson(lesson_id)
        own = [s for s in library.swings(lesson_id) if s.clips and s.batch_id == lesson.batches[1].id]
    assert show_pair(folder, lesson_id, own[0].id, own[1].id).compared is None
