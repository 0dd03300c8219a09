"""A drawing is kept with its clip, changed and taken off, whatever else is drawn there."""

from dataclasses import replace

import pytest

from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.drawing import keep_drawing, remove_drawing
from review.jobs.lesson_file import read_lesson_file
from review.jobs.sample import find_sample_lesson
from review.lesson import Drawing, DrawingKind
from review.library import Library

LINE = Drawing("one", DrawingKind.LINE, ((0.1, 0.2), (0.3, 0.4)), 0.0, 2.0)
WORDS = Drawing("two", DrawingKind.TEXT, ((0.5, 0.5),), 0.5, 0.5, "hält", "trail heel", 0.5, 3)


def test_kept_changed_and_removed(tmp_path) -> None:
    folder = tmp_path / "library"
    with Library.open(folder) as library:
        lesson_id = add_lesson(library, read_lesson_file(find_sample_lesson())).lesson.id
        clip, other = [clip.id for clip in library.clips(lesson_id)][:2]

    def kept(clip_id: str) -> set[Drawing]:
        with Library.open(folder) as library:
            return set(library.drawings(clip_id))

    keep_drawing(folder, clip, LINE)
    keep_drawing(folder, clip, WORDS)
    keep_drawing(folder, other, LINE)
    assert kept(clip) == {LINE, WORDS}
    moved = replace(LINE, points=((0.2, 0.2), (0.4, 0.4)), accent=1)
    keep_drawing(folder, clip, moved)
    assert kept(clip) == {moved, WORDS}
    assert kept(other) == {LINE}
    remove_drawing(folder, clip, "one")
    remove_drawing(folder, clip, "one")
    assert kept(clip) == {WORDS}
    assert kept(other) == {LINE}
    with pytest.raises(BadInputError, match="Open the lesson again"):
        keep_drawing(folder, "gone", LINE)
