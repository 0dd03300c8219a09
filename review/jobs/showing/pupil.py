"""A pupil as a coach looks at one before the lesson: the lessons there were, and what each of them came to."""

from dataclasses import dataclass
from pathlib import Path

from review.errors import BadInputError
from review.jobs.comparing import LessonComparison, compare_lesson
from review.jobs.showing.pupils import PupilShown
from review.lesson import Lesson
from review.library import Library

MOST_JUDGED = 12
"""Lessons whose batches are compared for the page, the latest first: about a year of them."""


@dataclass(frozen=True)
class LessonJudged:
    """A lesson with its first batch against its last, or why there is none."""

    lesson: Lesson
    compared: LessonComparison | None
    why_not: str = ""


def show_pupil(folder: Path, pupil_id: str) -> PupilShown:
    """Read one pupil with the lessons there were, the latest first.

    Raises
    ------
    BadInputError
        When the pupil is no longer there.
    """
    with Library.open(folder, create=False) as library:
        pupil, lessons = library.pupil(pupil_id), library.lessons(pupil_id)[::-1]
        counted = library.count_swings(pupil_id)
        n_swings = {held.id: counted.get(held.id, 0) for held in lessons}
        return PupilShown(pupil, lessons, n_swings, library.handouts(pupil_id))


def judge_lesson(folder: Path, lesson_id: str) -> LessonJudged:
    """Compare first and last batch of a lesson.

    Raises
    ------
    BadInputError
        When the lesson is no longer there.
    """
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        try:
            return LessonJudged(lesson, compare_lesson(library, lesson))
        except BadInputError as error:
            return LessonJudged(lesson, None, str(error))
