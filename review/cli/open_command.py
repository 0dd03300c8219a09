"""``open``: the window."""

import argparse
from pathlib import Path

from review.cli.screen import add_library_option, default_library, say
from review.lesson.words import count


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "open",
        help="open the window",
        description="Open the window: pupils, their lessons, each lesson as a chart of its swings with the first batch "
        "against the last beneath. Press ? in it for its keys.",
    )
    parser.add_argument(
        "--pictures",
        type=Path,
        metavar="DIR",
        help="draw every view into this folder instead, without a screen: of the sample lesson, or of --library",
    )
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Open the window, or draw it."""
    if options.pictures is not None:
        from review.app.pictures.views import draw_views

        is_named = options.library != default_library()
        drawn = draw_views(options.pictures, options.library if is_named else None)
        say(f"Pictures: {count(len(drawn), 'file')} in {options.pictures}")
        return 0
    from review.app.start import run as run_window

    return run_window(options.library)
