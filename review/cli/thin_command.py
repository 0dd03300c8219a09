"""``thin``: old clips let go by the coach's rule; chosen swings and all numbers stay."""

import argparse
from collections import Counter

from review.cli.screen import add_lesson_argument, add_library_option, choose_lesson, open_library, progress_bar, say
from review.errors import BadInputError
from review.lesson.words import count, size


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "thin",
        help="let old clips go by your rule; chosen swings and all numbers stay",
        description="Say which clips are older than your rule keeps them, and with --do remove them. Swings that you "
        "chose (--keep), drew on, marked, talked over or put into a take-home keep their clips for good; numbers, "
        "landmarks, cues and feels of all swings stay. Nothing goes without --do.",
    )
    add_lesson_argument(parser)
    parser.add_argument("--weeks", metavar="N", help="set the rule: keep clips N weeks ('always': no rule)")
    parser.add_argument(
        "--keep",
        nargs="?",
        const="",
        metavar="SWINGS",
        help="of the lesson: keep these for good, such as 3,7-9; alone: say which",
    )
    parser.add_argument("--unkeep", metavar="SWINGS", help="of the lesson: no longer choose these")
    parser.add_argument("--do", action="store_true", help="remove what is said")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Set the rule, choose swings, say what would go, or remove it."""
    from review.jobs.keeping_house.thinning import (
        Thinning,
        choose_swings,
        list_chosen,
        look_before_thinning,
        set_rule,
        thin,
    )

    with open_library(options.library) as library:
        if options.keep is not None or options.unkeep:
            lesson = choose_lesson(library, options.lesson)
            for text, is_kept in ((options.keep, True), (options.unkeep, False)):
                if text:
                    choose_swings(library, lesson, _read_orders(text), is_kept)
                    say(f"Swings {text}: {'kept for good' if is_kept else 'no longer chosen'}.")
            chosen = ", ".join(str(order) for order in list_chosen(library, lesson))
            say(f"Chosen of the lesson of {lesson.held_on}: {f'swings {chosen}' if chosen else 'none'}.")
        if options.weeks:
            set_rule(library, _read_weeks(options.weeks))
        found: Thinning
        if options.do:
            with progress_bar("Letting old clips go") as report:
                found = thin(library, report)
        else:
            found = look_before_thinning(library)
    if found.weeks is None:
        say("All clips are kept: no rule is set. Set one with --weeks N; chosen swings stay for good all the same.")
        return 0
    what = f"{count(len(found.clips), 'clip')} ({size(found.size_bytes)}) of lessons before {found.before}"
    if options.do:
        say(f"Let go: {what}. Their numbers stay.")
        return 0
    say(f"The rule: chosen swings for good, other clips {count(found.weeks, 'week')}. To go: {what}.")
    for held_on, n in sorted(Counter(clip.held_on for clip in found.clips).items()):
        say(f"  {held_on}: {count(n, 'clip')}")
    for why, n in found.staying.items():
        say(f"  {count(n, 'older clip')} {'stays' if n == 1 else 'stay'}: {why}")
    if found.clips:
        say("Keep some with --keep; remove them with --do. Numbers, landmarks, cues and feels stay.")
    return 0


def _read_weeks(text: str) -> int | None:
    if text == "always":
        return None
    try:
        return int(text)
    except ValueError as error:
        raise BadInputError(f"--weeks is a whole number of weeks, or 'always', got {text!r}.") from error


def _read_orders(text: str) -> list[int]:
    orders: list[int] = []
    for part in text.split(","):
        first, _, last = part.strip().partition("-")
        try:
            orders += range(int(first), int(last or first) + 1)
        except ValueError as error:
            raise BadInputError(f"Swings are given as 3,7-9; got {text!r}.") from error
    return orders
