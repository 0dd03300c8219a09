"""``reanalyse``: the whole library measured again by a newer method, to be accepted or dropped."""

import argparse
import math

from review.cli.screen import add_library_option, open_library, progress_bar, say
from review.lesson import KINDS, label
from review.lesson.words import count
from review.library import Library


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "reanalyse",
        help="measure the whole library again by a newer method; old numbers stay until you accept",
        description="Measure every swing again whose body numbers are of an older method (or were made in haste), on "
        "all cores, and say by how much each measure changes. Nothing is changed before --accept. Stopped, it goes on "
        "where it was when it is run again. Your own marks stay and win.",
    )
    answer = parser.add_mutually_exclusive_group()
    answer.add_argument("--accept", action="store_true", help="put the new numbers in the place of the old")
    answer.add_argument("--drop", action="store_true", help="let go of the new numbers")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Measure, or answer; exit code 1 while new numbers wait to be accepted."""
    from review.jobs.keeping_house.measuring_again import accept, drop, measure_again

    if options.drop:
        with open_library(options.library) as library:
            n_dropped = drop(library)
        if n_dropped:
            say(f"Dropped the new numbers of {count(n_dropped, 'swing')}; those in use stay.")
        else:
            say("No new numbers wait; nothing was changed.")
        return 0
    if options.accept:
        with open_library(options.library) as library, progress_bar("Taking the new numbers") as report:
            done = accept(library, report)
        if not done.n_accepted and not done.n_changed_since:
            say("No new numbers wait; nothing was changed. Run reanalyse first.")
            return 0
        say(f"The new numbers of {count(done.n_accepted, 'swing')} are in use.")
        if done.n_changed_since:
            say(
                f"{count(done.n_changed_since, 'swing')} got other marks, set-ups or clips since; their old numbers "
                "stay. Run reanalyse once more."
            )
        return 1 if done.n_changed_since else 0
    with progress_bar("Measuring again") as report:
        again = measure_again(options.library, report)
    for problem in again.problems:
        say(f"Note: {problem}")
    with open_library(options.library) as library:
        return _show(library)


def _show(library: Library) -> int:
    from review.jobs.keeping_house.what_changed import list_changes

    n_waiting, n_trouble, changes = list_changes(library)
    if n_trouble:
        say(f"Not measured again: {count(n_trouble, 'swing')} (clips let go or not readable); their numbers stay.")
    if not n_waiting:
        say("All body numbers are by today's method; nothing waits to be accepted.")
        return 0
    say(f"New numbers of {count(n_waiting, 'swing')} wait beside those in use. New less old:")
    say(f"  {'measure':<34} {'swings':>6} {'typical':>9} {'largest':>9}  outside the old interval")
    for change in changes:
        kind = KINDS[change.name]

        def size(value: float, decimals: int = kind.decimals, unit: str = kind.unit.replace(" to 1", "")) -> str:
            return "-" if math.isnan(value) else f"{value:+.{decimals}f}{unit}"

        more = [f"{change.n_outside}"]
        more += [f"now told for {change.n_gained} more"] if change.n_gained else []
        more += [f"no longer for {change.n_lost}"] if change.n_lost else []
        say(
            f"  {label(change.name, change.key_frame):<34} {change.n_swings:>6} {size(change.typical):>9} "
            f"{size(change.largest):>9}  {'; '.join(more)}"
        )
    say("Take them: lesson-review reanalyse --accept; let them go: lesson-review reanalyse --drop.")
    return 1
