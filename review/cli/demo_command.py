"""``demo``: the main job on the sample lesson."""

import argparse
import time
from pathlib import Path

from review.cli.added_screen import show_added
from review.cli.compare.command import show_comparison
from review.cli.screen import progress_bar, say
from review.jobs.demo import run_demo
from review.lesson.words import count
from review.pose import Effort


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "demo",
        help="run the main job on the sample lesson",
        description="Add, match, measure and compare the sample lesson (an invented pupil, rendered pictures) and "
        "write a take-home. It has a library of its own; yours is not touched.",
    )
    parser.add_argument("folder", nargs="?", type=Path, metavar="DIR", help="where to (the same as --to)")
    parser.add_argument(
        "--to", type=Path, default=Path("lesson-review-demo"), metavar="DIR", help="where to (default: %(default)s)"
    )
    parser.add_argument("--thorough", action="store_true", help="measure thoroughly: several minutes longer")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Run every step and say where the take-home lies."""
    begun = time.monotonic()
    effort = Effort.THOROUGH if options.thorough else Effort.QUICK
    demo = run_demo(options.folder or options.to, effort, progress_bar)
    show_added(demo.added)
    measured = demo.measured
    say(f"\nMeasured {count(measured.n_measured, 'swing')} ({count(measured.n_new, 'clip')} anew).")
    for order, problem in measured.problems.items():
        say(f"Swing {order} was not measured: {problem}")
    say("")
    show_comparison(demo.compared)
    for note in demo.handed_out.notes:
        say(f"Note: {note}")
    say(f"\nThe take-home lies in {demo.handed_out.page.parent.resolve()}")
    say(f"Open {demo.handed_out.page.resolve()} in a browser. ({time.monotonic() - begun:.0f} s)")
    return 0
