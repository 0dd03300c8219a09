"""Tables that come after their lesson was added: a device's, a mat's, the mat's three steps."""

import argparse

from review.cli.added_screen import show_added
from review.cli.mat_options import add_later_pressure, read_mat_options
from review.cli.screen import progress_bar
from review.errors import BadInputError
from review.jobs.pupils import find_one_pupil
from review.jobs.tables.adding import add_table
from review.library import Library


def add_later(options: argparse.Namespace) -> int:
    """Add a shot table, the pressure or both to a lesson that is there: the pupil's of that day, else the latest.

    Raises
    ------
    BadInputError
        When no pupil is named, the pupil has no such lesson, or a table cannot be used.
    """
    plan = read_mat_options(options)
    lesson_id = _find_lesson(options)
    has_questions = False
    if options.shots is not None:
        with progress_bar("Adding") as report:
            added = add_table(options.library, lesson_id, options.shots, options.mapping, report)
        show_added(added)
        has_questions = bool(added.matched.questions or added.questions)
    if options.pressure is not None or plan is not None:
        add_later_pressure(options, lesson_id, plan)
    return 1 if has_questions else 0


def _find_lesson(options: argparse.Namespace) -> str:
    if not options.pupil:
        raise BadInputError("A table alone needs --pupil NAME (and --date, unless it is of the latest lesson).")
    with Library.open(options.library, create=False) as library:
        pupil = find_one_pupil(library, options.pupil)
        lessons = sorted(library.lessons(pupil.id), key=lambda lesson: lesson.held_on)
    fitting = [lesson for lesson in lessons if options.date in (None, lesson.held_on)]
    if not fitting:
        days = ", ".join(str(lesson.held_on) for lesson in lessons[-5:]) or "none"
        raise BadInputError(f"{pupil.name} has no such lesson (lessons: {days}); give its clips with the table.")
    return fitting[-1].id
