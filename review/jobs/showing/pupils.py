"""The pupils of a library with their lessons; loads nothing that compares or measures, so that it is there at once."""

from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

from review.lesson import Lesson, Pupil
from review.library import Forgotten, Library
from review.progress import Progress, silent


@dataclass(frozen=True)
class PupilShown:
    """A pupil and the lessons there were, the latest first, each with how many swings it holds.

    ``handed_out``: what was handed over, to whom and when, in words; asked for one pupil alone.
    """

    pupil: Pupil
    lessons: tuple[Lesson, ...]
    n_swings: dict[str, int]
    handed_out: tuple[str, ...] = ()


@dataclass(frozen=True)
class LibraryShown:
    """The pupils of a library, and removals of pupils that were broken off and opening it has finished."""

    pupils: tuple[PupilShown, ...]
    removals: tuple[Forgotten, ...] = ()


def list_pupils(folder: Path, progress: Progress = silent) -> LibraryShown:
    """List the pupils of a library, who was taught last first; one that never was comes last.

    Raises
    ------
    BadInputError
        When the folder holds no library.
    """
    with Library.open(folder, create=False) as library:
        shown = []
        place, of_pupil, n_swings = {}, defaultdict(list), library.count_swings()
        for n, lesson in enumerate(library.lessons(), start=1):
            place[lesson.id] = n
            of_pupil[lesson.pupil_id].append(lesson)
        for n, pupil in enumerate(pupils := library.pupils()):
            progress(n, len(pupils))
            lessons = tuple(reversed(of_pupil[pupil.id]))
            shown.append(PupilShown(pupil, lessons, {held.id: n_swings.get(held.id, 0) for held in lessons}))
        removals = library.finished_forgetting
    shown.sort(key=lambda s: place[s.lessons[0].id] if s.lessons else 0, reverse=True)
    return LibraryShown(tuple(shown), removals)
