"""``forget``: remove everything of a pupil."""

import argparse
import sys

from review.cli.screen import add_library_option, open_library, say
from review.errors import BadInputError
from review.jobs.pupils import find_one_pupil, forget


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "forget",
        help="remove everything of a pupil from this computer's library",
        description="Remove a pupil: lessons, clips, landmarks, numbers, notes. This cannot be undone. Asks you to "
        "type the name; copies that were handed out are listed, they are beyond its reach.",
    )
    parser.add_argument("pupil", help="the pupil's name, or a part that only this pupil has")
    parser.add_argument("--yes", metavar="NAME", help="the full name typed again, instead of being asked")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Ask for the name again, then remove."""
    with open_library(options.library) as library:
        pupil = find_one_pupil(library, options.pupil)
        typed = options.yes
        if typed is None:
            if not sys.stdin.isatty():
                raise BadInputError(f"Nobody is there to confirm; add --yes {pupil.name!r} to remove everything.")
            typed = input(f"Everything of {pupil.name} will be removed for good. Type the full name to go on: ")
        if typed != pupil.name:
            raise BadInputError(f"The name typed is not {pupil.name!r}; nothing was removed.")
        forgotten = forget(library, pupil)
    shared = f"; {forgotten.n_shared} stay, another pupil's lesson has them" if forgotten.n_shared else ""
    say(f"{pupil.name} is forgotten: lessons removed: {forgotten.n_lessons}, clips: {forgotten.n_clips}{shared}.")
    for handout in forgotten.out_of_reach:
        say(f"Beyond reach: {handout}")
    return 0
