"""The pupils of a library with their lessons; loads nothing that compares or measures, so that it is there at once."""

from dataclasses import dataclass
from pathlib import Path

from review.lesson import Lesson, Pupil
from review.library import Library
from review.progress import Progress, silent


@dataclass(frozen=True)
class PupilShown:
    """A pupil and the lessons there were, the latest first, each with how many swings it holds."""

    pupil: Pupil
    lessons: tuple[Lesson, ...]
    n_swings: dict[str, int]


def list_pupils(folder: Path, progress: Progress = silent) -> tuple[PupilShown, ...]:
    """List the pupils of a library, who was taught last first; one that never was comes last.

    Raises
    ------
    BadInputError
        When the folder holds no library.
    """
    with Library.open(folder, create=False) as library:
        shown = []
        for n, pupil in enumerate(pupils := library.pupils()):
            progress(n, len(pupils))
            lessons = library.lessons(pupil.id)[::-1]
            shown.append(PupilShown(pupil, lessons, {held.id: len(library.swings(held.id)) for held in lessons}))
    return tuple(sorted(shown, key=lambda s: s.lessons[0].held_on.toordinal() if s.lessons else 0, reverse=True))
