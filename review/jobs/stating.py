"""What the coach states of a lesson: how far one reading of its device errs."""

import math
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from review.errors import BadInputError
from review.lesson import KINDS
from review.library import Library


def state_repeatability(folder: Path, lesson_id: str, errors: Mapping[str, float | None]) -> None:
    """Keep with a lesson how far one reading errs (one standard deviation, in the measure's unit); None forgets it.

    Raises
    ------
    BadInputError
        A number is not above 0.
    """
    for name, sd in errors.items():
        if sd is not None and not 0 < sd < math.inf:
            raise BadInputError(
                f"{KINDS[name].label}: expected a number above 0, found {sd}; leave it empty if unknown."
            )
    with Library.open(folder, create=False) as library, library.transaction():
        lesson = library.lesson(lesson_id)
        stated = {**dict(lesson.repeatability), **errors}
        kept = tuple((name, sd) for name, sd in stated.items() if sd is not None)
        library.update_lesson(replace(lesson, repeatability=kept))
