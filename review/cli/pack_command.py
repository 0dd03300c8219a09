"""``pack``: a whole lesson as one file for another copy of the tool."""

import argparse
from pathlib import Path

from review.cli.screen import add_lesson_argument, add_library_option, choose_lesson, open_library, progress_bar, say
from review.lesson.words import count


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "pack",
        help="write a whole lesson to one file that another copy of this tool reads in (unpack)",
        description="Write a lesson with pupil, clips, numbers, marks, drawings and voices to one file. Your private "
        "note stays here. Needs the pupil's consent to share; clips are in it as filmed.",
    )
    add_lesson_argument(parser)
    parser.add_argument("--to", type=Path, required=True, metavar="FILE", help="the file to write, such as lesson.zip")
    parser.add_argument("--for", dest="for_whom", default="", metavar="NAME", help="who receives it; it is noted")
    parser.add_argument("--without-landmarks", action="store_true", help="smaller; body lines are then found anew")
    parser.add_argument(
        "--with-face-and-name", action="store_true", help="of a pupil under age: say that face and name are meant"
    )
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write and say what is in it."""
    from review.jobs.archives.packing import pack_lesson

    with open_library(options.library) as library:
        lesson = choose_lesson(library, options.lesson)
        with progress_bar("Packing the lesson") as report:
            done = pack_lesson(
                library,
                lesson,
                options.to,
                options.for_whom,
                not options.without_landmarks,
                options.with_face_and_name,
                report,
            )
    for note in done.notes:
        say(f"Note: {note}")
    say(
        f"The lesson lies in {options.to.resolve()} ({done.size_bytes / 1e6:.1f} MB, {count(done.n_clips, 'clip')}). "
        f"Noted as given to: {done.for_whom}. To read it in: lesson-review unpack {options.to.name}"
    )
    return 0
