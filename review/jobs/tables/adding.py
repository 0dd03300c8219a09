"""Adds a device's table to a lesson that the library knows."""

from pathlib import Path

from review.jobs.adding import Added, add_lesson
from review.jobs.lesson_plan import LessonPlan, PupilPlan
from review.library import Library
from review.progress import Progress, silent


def add_table(
    folder: Path, lesson_id: str, table: Path, mapping: Path | None = None, progress: Progress = silent
) -> Added:
    """Add the rows of a table to a lesson and pair them with its clips; rows that are there already are not added.

    Parameters
    ----------
    mapping : a file, or the name it is kept under; None finds the kept one whose columns the table has.

    Raises
    ------
    BadInputError
        When the table cannot be read so, or is of another lesson; nothing is added then.
    """
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        pupil = library.pupil(lesson.pupil_id)
        plan = LessonPlan(
            PupilPlan(pupil.name, pupil.handedness),
            lesson.held_on,
            clips=(),
            shots=table,
            mapping=mapping,
        )
        return add_lesson(library, plan, progress)
