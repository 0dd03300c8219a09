"""Measuring a lesson where only the library's folder is at hand."""

from pathlib import Path

from review.jobs.measuring.whole_lesson import LessonMeasured, measure_lesson
from review.library import Library
from review.pose import Effort
from review.progress import Progress, silent


def measure_from(
    folder: Path, lesson_id: str, effort: Effort = Effort.QUICK, progress: Progress = silent
) -> LessonMeasured:
    """Measure a lesson of the library in ``folder``; see :func:`measure_lesson`."""
    with Library.open(folder, create=False) as library:
        return measure_lesson(library, library.lesson(lesson_id), effort, progress)
