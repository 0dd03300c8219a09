"""``move``: swings to another pupil."""

import argparse
import re
from collections.abc import Sequence
from datetime import time

from review.cli.add_command import consent_of
from review.cli.screen import LESSON_HELP, add_library_option, choose_lesson, open_library, say
from review.errors import BadInputError
from review.jobs.lesson_file import PupilPlan
from review.jobs.moving.swings import find_swings_from, move_swings
from review.lesson import Handedness
from review.lesson.words import count


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "move",
        help="move swings to another pupil",
        description="Move swings, by their number or from a time on, into another pupil's lesson of the same day, with "
        "clips, rows, trace and marks; nothing of them stays with the first pupil.",
    )
    parser.add_argument("swings", nargs="*", metavar="N|N-M", help="numbers as 'match' shows them: 5 7-9")
    parser.add_argument("--from", dest="begin", type=_time, metavar="HH:MM[:SS]", help="all swings from then on")
    parser.add_argument(
        "--to", required=True, metavar="NAME", help="the other pupil; a new one needs only --handed too"
    )
    parser.add_argument("--handed", choices=[h.value for h in Handedness])
    parser.add_argument("--stature", type=float, metavar="METRES")
    parser.add_argument("--lesson", default="last", help=LESSON_HELP)
    parser.add_argument("--consent-by", metavar="NAME", help="who agreed")
    parser.add_argument("--consent-for", metavar="LIST", help="to what: keep,show,share,voice,measure")
    parser.add_argument("--minor", action="store_true", help="the pupil is under age; --guardian is then needed")
    parser.add_argument("--guardian", metavar="NAME")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Move and say what went."""
    if bool(options.swings) == (options.begin is not None):
        raise BadInputError("Give the numbers of the swings, or --from HH:MM; one of the two.")
    if options.minor and not options.guardian:
        raise BadInputError("A pupil under age needs --guardian NAME.")
    with open_library(options.library) as library:
        lesson = choose_lesson(library, options.lesson)
        if options.begin is not None:
            orders = set(find_swings_from(library.swings(lesson.id), options.begin))
            if not orders:
                raise BadInputError(f"No swing was struck from {options.begin:%H:%M:%S} on. Nothing was moved.")
        else:
            orders = {order for text in options.swings for order in _numbers(text)}
        known = [p for p in library.find_pupils(options.to) if p.name.casefold() == options.to.casefold()]
        if options.handed is None and not known:
            raise BadInputError(f"{options.to} is new: add --handed right or --handed left.")
        plan = PupilPlan(
            name=options.to,
            handedness=Handedness(options.handed) if options.handed else known[0].handedness,
            stature_m=options.stature,
            consent=consent_of(options, lesson.held_on),
            is_minor=options.minor,
            guardian=options.guardian,
        )
        moved = move_swings(library, lesson, orders, plan)
        first = library.pupil(lesson.pupil_id).name
    say(
        f"{count(moved.n_swings, 'swing')} ({count(moved.n_clips, 'clip')}, {count(moved.n_rows, 'row')}) went from "
        f"{first} to {moved.pupil.name}, lesson of {moved.lesson.held_on} ({moved.lesson.id[:8]}); there they are "
        f"{_say_numbers(moved.orders)}. Both lessons are numbered anew."
    )
    if moved.n_measured < moved.n_swings:
        say(
            f"Body numbers: {count(moved.n_measured, 'swing')} measured anew; "
            f"the rest: lesson-review measure --lesson {moved.lesson.id[:8]}."
        )
    for note in moved.notes:
        say(f"Note: {note}")
    return 1 if moved.notes else 0


def _say_numbers(orders: Sequence[int]) -> str:
    """Say numbers as ``move`` takes them: '5 7-9'."""
    runs: list[list[int]] = []
    for order in orders:
        if runs and order == runs[-1][-1] + 1:
            runs[-1].append(order)
        else:
            runs.append([order])
    return " ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)


def _numbers(text: str) -> range:
    found = re.fullmatch(r"(\d+)(?:-(\d+))?", text)
    if found is None:
        raise BadInputError(f"Expected the number of a swing, or two such as 7-9, got {text!r}.")
    first, last = int(found[1]), int(found[2] or found[1])
    return range(first, last + 1)


def _time(text: str) -> time:
    try:
        return time.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"expected a time such as 10:31, got {text!r}") from error
