"""The pupils of a library with their lessons; loads nothing that compares or measures, so that it is there at once."""

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
        place = {lesson.id: n for n, lesson in enumerate(library.lessons(), start=1)}
        for n, pupil in enumerate(pupils := library.pupils()):
            progress(n, len(pupils))
            lessons = library.lessons(pupil.id)[::-1]
            shown.append(PupilShown(pupil, lessons, {held.id: len(library.swings(held.id)) for held in lessons}))
        removals = library.finished_forgetting
    shown.sort(key=lambda s: place[s.lessons[0].id] if s.lessons else 0, reverse=True)
    return LibraryShown(tuple(shown), removals)
