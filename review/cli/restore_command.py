"""``restore``: a backup brought back into an empty folder."""

import argparse
from pathlib import Path

from review.cli.screen import add_library_option, progress_bar, say
from review.lesson.words import count


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "restore",
        help="bring a backup back, on this computer or a new one",
        description="Bring what backup wrote back into an empty or new folder (--library). Every byte is checked; of a "
        "damaged backup nothing is brought back, and what is damaged is said.",
    )
    parser.add_argument("folder", type=Path, metavar="FROM", help="the folder that backup wrote to")
    parser.add_argument("--without-damaged", action="store_true", help="bring back the rest of a damaged backup")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Bring back and say what; exit code 1 when something was left out."""
    from review.jobs.keeping_house.restoring import restore

    with progress_bar("Bringing the backup back") as report:
        done = restore(options.folder, options.library, report, without_damaged=options.without_damaged)
    for name in done.left_out:
        say(f"Left out: {name}")
    say(
        f"The library of {done.listed.made_at:%Y-%m-%d %H:%M} lies in {options.library.absolute()}: "
        f"{count(done.n_pupils, 'pupil')}, {count(done.n_lessons, 'lesson')}. A pupil who was forgotten since is in "
        "it again: forget once more."
    )
    return 1 if done.left_out else 0
