"""Measuring a lesson in a process of its own, where only the folder of the library is at hand."""

from collections.abc import Collection
from functools import partial
from pathlib import Path

from review.jobs.measuring.whole_lesson import LessonMeasured, measure_lesson
from review.jobs.processes import run_one_apart
from review.library import Library
from review.pose import Effort
from review.progress import Progress, silent


def measure_apart(
    folder: Path,
    lesson_id: str,
    effort: Effort = Effort.QUICK,
    progress: Progress = silent,
    only: Collection[str] | None = None,
) -> LessonMeasured:
    """Measure a lesson of the library in ``folder`` in another process, so that a window is not held up.

    Cancelled, the process ends at once; landmarks of clips that were finished are kept. Else as :func:`measure_lesson`.
    """
    return run_one_apart(partial(_measure, folder, lesson_id, effort, only), progress)


def _measure(
    folder: Path, lesson_id: str, effort: Effort, only: Collection[str] | None, progress: Progress
) -> LessonMeasured:
    with Library.open(folder, create=False) as library:
        return measure_lesson(library, library.lesson(lesson_id), effort, progress, only)
