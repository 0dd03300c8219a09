"""``compare``: first batch against last."""

import argparse
from dataclasses import asdict

from rich.table import Table
from rich.text import Text

from review.cli.screen import add_library_option, say, screen, write_json
from review.jobs.comparing import LessonComparison, compare_lesson
from review.lesson.words import say_change, say_interval, say_value
from review.library import Library


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "compare",
        help="put the first batch of a lesson against the last",
        description="Say of every measure what it was in the first batch and in the last, how far it moved with a 95 %% "
        "interval, and whether that can be told from chance.",
    )
    parser.add_argument("lesson", nargs="?", default="last", help="day, first letters of the id, or 'last' (default)")
    parser.add_argument("--first", type=int, metavar="N", help="number of the first batch")
    parser.add_argument("--last", type=int, metavar="N", help="number of the last batch")
    parser.add_argument("--json", action="store_true", help="print for a machine")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Compare and show."""
    with Library.open(options.library, create=False) as library:
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
    say(f"{compared.pupil.name}, {compared.lesson.held_on}: batch {compared.first.number} against {compared.last.number}")
    for batch in (compared.first, compared.last):
        if batch.cue or batch.feel:
            say(f"  batch {batch.number}: {batch.cue}" + (f"; felt: {batch.feel}" if batch.feel else ""))
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in ("measure", "n", "first", "last", "change", "95 % interval", "verdict"):
        table.add_column(heading)
    hand = compared.pupil.handedness
    for c in compared.comparisons:
        star = "* " if c.in_aim else "  "
        if not c.n_first or not c.n_last:
            table.add_row(Text(star + c.label), f"{c.n_first}/{c.n_last}", "", "", "", "", Text(c.why))
            continue
        interval = say_interval(c.name, c.low, c.high) if c.low == c.low else ""
        verdict = c.verdict.value if c.in_aim else ""
        table.add_row(
            Text(star + c.label),
            f"{c.n_first}/{c.n_last}",
            Text(say_value(c.name, c.mean_first, hand)),
            Text(say_value(c.name, c.mean_last, hand)),
            Text(say_change(c.name, c.mean_first, c.mean_last, hand)),
            Text(interval),
            Text(verdict),
        )
    screen.print(table)
    say("* the aim of the lesson")
    for c in compared.comparisons:
        if c.in_aim and c.why:
            say(f"  {c.label}: {c.why}" + (f" ({c.note})" if c.note else ""))
