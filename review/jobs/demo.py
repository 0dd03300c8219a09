"""The main job from end to end on the sample lesson."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path

from review.jobs.adding import Added, add_lesson
from review.jobs.comparing import LessonComparison, compare_lesson
from review.jobs.handing_out import HandedOut, hand_out
from review.jobs.lesson_file import read_lesson_file
from review.jobs.measuring.whole_lesson import LessonMeasured, measure_lesson
from review.jobs.sample import find_sample_lesson
from review.library import Library
from review.pose import Effort
from review.progress import Progress

Step = Callable[[str], AbstractContextManager[Progress]]


@dataclass(frozen=True)
class DemoRun:
    """What each step of the demo gave."""

    added: Added
    measured: LessonMeasured
    compared: LessonComparison
    handed_out: HandedOut


def run_demo(folder: Path, effort: Effort, step: Step) -> DemoRun:
    """Add, measure, compare and hand out the sample lesson; what is there already is not done again.

    Parameters
    ----------
    folder : holds the demo's own library and the take-home.
    step : opens the progress display of a step by its name.
    """
    plan = read_lesson_file(find_sample_lesson())
    with Library.open(folder / "library") as library:
        with step("Adding clips, table and trace") as progress:
            added = add_lesson(library, plan, progress)
        lesson = library.lesson(added.lesson.id)
        with step(f"Measuring the body ({effort.value})") as progress:
            measured = measure_lesson(library, lesson, effort, progress)
        compared = compare_lesson(library, lesson)
        page = folder / "takehome" / "index.html"
        if page.is_file() and not (added.n_new_clips or added.n_new_shots or measured.n_new):
            handed_out = HandedOut(page, ())
        else:
            with step("Writing the take-home") as progress:
                handed_out = hand_out(library, lesson, folder / "takehome", progress=progress)
    return DemoRun(added, measured, compared, handed_out)
