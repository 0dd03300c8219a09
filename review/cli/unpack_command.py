"""``unpack``: read in a lesson that another copy of the tool packed."""

import argparse
from pathlib import Path

from review.cli.screen import add_library_option, open_library, progress_bar, say
from review.lesson.words import count
from review.lettering import clean


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "unpack",
        help="read in a lesson that another copy of this tool packed",
        description="Read a packed lesson into the library, all of it or nothing. A lesson or a pupil that is here "
        "already stays as it is.",
    )
    parser.add_argument("file", type=Path, help="the file that pack wrote")
    whose = parser.add_mutually_exclusive_group()
    whose.add_argument("--into", default="", metavar="PUPIL", help="it is a lesson of this pupil of yours")
    whose.add_argument("--as", dest="name", default="", metavar="NAME", help="make a new pupil of that name")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read in and say whose lesson it is."""
    from review.jobs.archives.unpacking import Outcome, unpack_lesson

    with open_library(options.library, create=True) as library, progress_bar("Reading the lesson in") as report:
        done = unpack_lesson(library, options.file, options.into, options.name, report)
    what = f"{clean(done.pupil.name)}, lesson of {done.lesson.held_on} ({done.lesson.id[:8]})"
    if done.outcome is Outcome.WHOSE:
        say(
            f"{what}: there is a pupil of that name here already, and it is not sure that it is the same person. "
            f"Nothing was changed. The same: --into {clean(done.pupil.name)!r}; another: --as 'NEW NAME'."
        )
        return 1
    if done.outcome is Outcome.THERE_OTHERWISE:
        say(f"{what} is in the library already and differs from the archive. What is here stays; nothing was changed.")
        return 1
    if done.outcome is Outcome.THERE:
        more = f"; {count(done.n_landmarks, 'file')} of landmarks were missing and came now" if done.n_landmarks else ""
        say(f"{what} is in the library already, the same as in the archive; it is not there twice{more}.")
        return 0
    for note in done.notes:
        say(f"Note: {note}")
    who = "a new pupil" if done.is_new_pupil else "a pupil you had already"
    say(f"Read in: {what}, {who}; {count(done.n_clips, 'clip')}.")
    return 0
