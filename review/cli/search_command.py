"""``search``: find cues, feels, aims and notes by their words."""

import argparse

from review.cli.screen import add_library_option, open_library, say
from review.cli.wrapping import fill
from review.errors import BadInputError
from review.jobs.history.searching import MOST_FOUND, search_written


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "search",
        help="find what was told, felt and noted, over all pupils",
        description="Find cues, feels, aims, practice plans and notes that hold all the words, whatever case and "
        "accents; a word fits from its beginning on. Of private notes it is only said that one fits.",
    )
    parser.add_argument("words", nargs="+", metavar="WORD")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Search and list."""
    if not any(map(str.isalnum, " ".join(options.words))):
        raise BadInputError("Type a word to search for, such as: lesson-review search pocket")
    with open_library(options.library) as library:
        found = search_written(library, " ".join(options.words))
    for one in found:
        batch = f", batch {one.batch_number}" if one.batch_number else ""
        day = f", {one.held_on}" if one.held_on else ""
        say(fill(f"{one.pupil_name}{day}{batch}  {one.what}{f': {one.words}' if one.words else ''}", "  "))
    if not found:
        say("Nothing was written with these words.")
    elif len(found) == MOST_FOUND:
        say(f"These {MOST_FOUND} were written last; give more words for fewer.")
    return 0
