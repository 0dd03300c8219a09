"""A pupil as a coach looks at one before the lesson: the lessons there were, and what each of them came to."""

from dataclasses import dataclass
from pathlib import Path

from review.errors import BadInputError
from review.jobs.comparing import LessonComparison, compare_lesson
from review.jobs.showing.pupils import PupilShown
from review.lesson import Lesson
from review.library import Library
from review.progress import Progress, silent

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
        return PupilShown(pupil, lessons, {held.id: len(library.swings(held.id)) for held in lessons})


def judge_lessons(folder: Path, pupil_id: str, progress: Progress = silent) -> tuple[LessonJudged, ...]:
    """Compare first and last batch of a pupil's lessons, the latest first."""
    judged = []
    with Library.open(folder, create=False) as library:
        lessons = library.lessons(pupil_id)[::-1][:MOST_JUDGED]
        for n, lesson in enumerate(lessons, start=1):
            try:
                judged.append(LessonJudged(lesson, compare_lesson(library, lesson)))
            except BadInputError as error:
                judged.append(LessonJudged(lesson, None, str(error)))
            progress(n, len(lessons))
    return tuple(judged)
