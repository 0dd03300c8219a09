"""A device's table that comes after its lesson was added."""

import argparse

from review.cli.screen import progress_bar
from review.errors import BadInputError
from review.jobs.adding import Added
from review.jobs.pupils import find_one_pupil
from review.jobs.tables.adding import add_table
from review.library import Library


def add_later_table(options: argparse.Namespace) -> Added:
    """Add a table alone to a lesson that is there: the pupil's of that day, else the pupil's latest.

    Raises
    ------
    BadInputError
        When no pupil is named, or the pupil has no such lesson.
    """
    if not options.pupil:
        raise BadInputError("A table alone needs --pupil NAME (and --date, unless it is of the latest lesson).")
    with Library.open(options.library, create=False) as library:
        pupil = find_one_pupil(library, options.pupil)
        lessons = sorted(library.lessons(pupil.id), key=lambda lesson: lesson.held_on)
    fitting = [lesson for lesson in lessons if options.date in (None, lesson.held_on)]
    if not fitting:
        days = ", ".join(str(lesson.held_on) for lesson in lessons[-5:]) or "none"
        raise BadInputError(f"{pupil.name} has no such lesson (lessons: {days}); give its clips with the table.")
    with progress_bar("Adding") as report:
        return add_table(options.library, fitting[-1].id, options.shots, options.mapping, report)
