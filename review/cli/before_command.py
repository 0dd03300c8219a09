"""``before``: what to know of a pupil before the lesson, read in under a minute."""

import argparse

from review.cli.screen import add_library_option, open_library, say
from review.cli.wrapping import fill
from review.jobs.history.before import read_before, say_before
from review.jobs.pupils import find_one_pupil


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "before",
        help="before the lesson: the last verdict, the cue that worked best, what to look at first",
        description="What to know of a pupil before the next lesson, in a few lines.",
    )
    parser.add_argument("pupil", help="the pupil's name, or a part that only this pupil has")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read and say."""
    with open_library(options.library) as library:
        said = say_before(read_before(library, find_one_pupil(library, options.pupil).id))
    say(said.title)
    for line in said.verdicts:
        say(fill(f"  {line}", "    "))
    lines = [("Look first at", said.look_first), ("What moved it most surely", said.best)]
    for head, text in (*lines, *(("And", cue) for cue in said.other_cues)):
        if text:
            say(fill(f"{head}: {text}", "  "))
    return 0
