"""Measuring a lesson where only the library's folder is at hand, in a process of its own."""

from collections.abc import Collection
from concurrent.futures import Future
from functools import partial
from pathlib import Path

from review.jobs.measuring.whole_lesson import LessonMeasured, measure_lesson
from review.jobs.processes import run_apart
from review.library import Library
from review.pose import Effort
from review.progress import Progress, silent

_PARTS = 1000


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
    done: list[LessonMeasured] = []

    def take(_: str, future: "Future[LessonMeasured]") -> None:
        done.append(future.result())

    run_apart({lesson_id: partial(_measure, folder, lesson_id, effort, only)}, {lesson_id: _PARTS}, progress, take)
    return done[0]


def _measure(
    folder: Path, lesson_id: str, effort: Effort, only: Collection[str] | None, progress: Progress
) -> LessonMeasured:
    with Library.open(folder, create=False) as library:
        return measure_lesson(library, library.lesson(lesson_id), effort, progress, only)
