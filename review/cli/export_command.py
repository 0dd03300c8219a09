"""``export``: the numbers and points of a lesson for other programs."""

import argparse
from pathlib import Path

from review.cli.screen import add_lesson_argument, add_library_option, choose_lesson, open_library, progress_bar, say
from review.lesson.words import count


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "export",
        help="write a lesson's numbers (CSV, Parquet) and the points of the body (C3D) for other programs",
        description="Write every number of a lesson as CSV and Parquet with a dictionary that says what each is, and "
        "the points of the body of each measured clip as C3D. Needs the pupil's consent to share; nothing private and "
        "no words of the lesson are in it, of a minor no name.",
    )
    add_lesson_argument(parser)
    parser.add_argument("--to", type=Path, required=True, metavar="DIR", help="the folder to write")
    parser.add_argument("--for", dest="for_whom", default="", metavar="NAME", help="who receives it; it is noted")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write and say what lies where."""
    from review.jobs.handing_out.data import hand_out_data

    with open_library(options.library) as library:
        lesson = choose_lesson(library, options.lesson)
        with progress_bar("Writing the files") as report:
            done = hand_out_data(library, lesson, options.to, options.for_whom, report)
    for note in done.notes:
        say(f"Note: {note}")
    n_points = sum(name.endswith(".c3d") for name in done.files)
    say(
        f"{count(done.n_numbers, 'number')} and the points of {count(n_points, 'clip')} lie in {options.to.resolve()}; "
        f"dictionary.csv says what each is. Noted as given to: {done.for_whom}."
    )
    return 0
