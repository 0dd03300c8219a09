"""``compare``: first batch against last."""

import argparse
from dataclasses import asdict

from review.cli.screen import add_lesson_argument, add_library_option, count, open_library, say, write_json
from review.compare import Comparison
from review.jobs.comparing import LessonComparison, compare_lesson
from review.lesson import KINDS, Handedness, Source
from review.lesson.words import say_change, say_change_interval, say_value


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "compare",
        help="put the first batch of a lesson against the last",
        description="Say of every measure what it was in the first batch and in the last, how far it moved with a "
        "95 % interval, and whether that can be told from chance.",
    )
    add_lesson_argument(parser)
    parser.add_argument("--first", type=int, metavar="N", help="number of the first batch")
    parser.add_argument("--last", type=int, metavar="N", help="number of the last batch")
    parser.add_argument("--json", action="store_true", help="print for a machine")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Compare and show."""
    with open_library(options.library) as library:
        lesson = library.find_lesson(options.lesson)
        compared = compare_lesson(library, lesson, options.first, options.last)
    if options.json:
        write_json(
            {
                "pupil": compared.pupil.name,
                "lesson": compared.lesson.held_on.isoformat(),
                "first_batch": compared.first.number,
                "last_batch": compared.last.number,
                "measures": [asdict(comparison) for comparison in compared.comparisons],
            },
            None,
        )
    else:
        show_comparison(compared)
    return 0


def show_comparison(compared: LessonComparison) -> None:
    """Print the two batches side by side, the aim first."""
    say(
        f"{compared.pupil.name}, {compared.lesson.held_on}: "
        f"batch {compared.first.number} against {compared.last.number}"
    )
    for batch in (compared.first, compared.last):
        if batch.cue or batch.feel:
            say(f"  batch {batch.number}: {batch.cue}" + (f"; felt: {batch.feel}" if batch.feel else ""))
    device = [c for c in compared.comparisons if not c.in_aim and KINDS[c.name].source is Source.DEVICE]
    body = [c for c in compared.comparisons if not c.in_aim and KINDS[c.name].source is not Source.DEVICE]
    for heading, group in (
        ("The aim of the lesson", [c for c in compared.comparisons if c.in_aim]),
        ("Club and ball", device),
        ("Body and timing", body),
    ):
        if group:
            say(f"\n{heading}")
        for comparison in group:
            _show_one(comparison, compared.pupil.handedness)


def _show_one(c: Comparison, handedness: Handedness) -> None:
    """Two lines: from what to what and the verdict, then how far with the interval."""
    verdict = c.verdict.value if c.in_aim else ""
    if not c.n_first or not c.n_last:
        say(f"  {c.label:<27} {verdict}")
        say(f"      {c.why}")
        return
    first, last = (say_value(c.name, mean, handedness) for mean in (c.mean_first, c.mean_last))
    say(f"  {c.label:<27} {first} -> {last}" + (f"   {verdict.upper()}" if verdict else ""))
    if min(c.n_first, c.n_last) == 1:
        say(f"      one swing in a batch tells nothing of a change yet ({c.n_first} and {count(c.n_last, 'swing')})")
        return
    change = say_change(c.name, c.mean_first, c.mean_last, handedness)
    words = say_change_interval(c.name, c.mean_first, c.mean_last, c.low, c.high, handedness)
    interval = f"; 95 % interval {words}" if words else ""
    say(f"      {change}{interval} ({c.n_first} and {c.n_last} swings)")
    if c.in_aim:
        for text in (c.why, c.note):
            if text:
                say(f"      {text}")
