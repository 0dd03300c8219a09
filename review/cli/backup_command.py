"""``backup``: the whole library, copied to another disk and checked."""

import argparse
from pathlib import Path

from review.cli.screen import add_library_option, open_library, progress_bar, say
from review.errors import BadInputError
from review.lesson.words import count, size


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "backup",
        help="copy the whole library to another disk, and check every byte (restore brings it back)",
        description="Copy all pupils, lessons, clips, numbers and voices to a folder, which is new, empty, or holds an "
        "earlier backup of this library: then only what is new is copied. The window may be open meanwhile. Until the "
        "new backup is whole the earlier one stands.",
    )
    parser.add_argument("--to", type=Path, required=True, metavar="DIR", help="the folder, best on another disk")
    parser.add_argument("--without-landmarks", action="store_true", help="smaller; body lines are then found anew")
    parser.add_argument(
        "--read-all", action="store_true", help="read what lies there from earlier backups too, though it looks as left"
    )
    parser.add_argument("--check", action="store_true", help="write nothing; read the backup through and say if whole")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Copy, or read through; exit code 1 when something is not whole."""
    from review.jobs.keeping_house.backing_up import back_up, check_backup

    if options.check:
        if options.without_landmarks or options.read_all:
            raise BadInputError("--check reads everything and writes nothing; give it alone.")
        with progress_bar("Reading the backup") as report:
            listed, bad = check_backup(options.to, report)
        for words in bad:
            say(f"Not whole: {words}")
        if bad:
            say(f"{count(len(bad), 'file')} of {len(listed.files)} are not whole. Back up once more with --read-all.")
            return 1
        say(
            f"The backup of {listed.made_at:%Y-%m-%d %H:%M} is whole: {count(len(listed.files), 'file')}, "
            f"{size(listed.size_bytes)}."
        )
        return 0
    with open_library(options.library) as library, progress_bar("Backing up") as report:
        done = back_up(
            library,
            options.to,
            report,
            with_landmarks=not options.without_landmarks,
            read_all=options.read_all,
        )
    say(
        f"Backed up to {done.folder}: {count(done.n_files, 'file')}, {size(done.size_bytes)}, each read back "
        f"and right; newly copied: {done.n_copied}."
    )
    if done.n_removed:
        say(f"Removed there, since no longer in the library: {count(done.n_removed, 'file')}.")
    for name in done.lost:
        say(f"Damaged or missing in the library, and not in an earlier backup either: {name}")
    say(f"To bring it back: lesson-review restore {done.folder}")
    return 1 if done.lost else 0
