"""``compare``: first batch against last, any two batches of a pupil, or rows of a bare table."""

import argparse
from collections.abc import Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from review.cli.compare.background import show_background
from review.cli.compare.courses import show_courses
from review.cli.compare.csv_file import write_comparison_csv
from review.cli.compare.options import parse_batch, parse_repeatability, parse_window
from review.cli.compare.screen import Side, show_comparisons, show_pressure
from review.cli.screen import add_lesson_argument, add_library_option, open_library, say, write_json
from review.compare.samples import counted, list_left_out
from review.errors import BadInputError
from review.jobs.comparing import LessonComparison, TableComparison, compare_lesson, compare_table
from review.jobs.comparing.pictures import draw_comparison
from review.jobs.comparing.pressure import picture_ways, tell_pressure
from review.jobs.lesson_file import parse_aim
from review.jobs.tables.kept_mappings import find_mapping
from review.lesson import Handedness, Swing
from review.lesson.words import count
from review.library import Library

_AIM_OF_A_LESSON = "add the lesson's clips again with --aim 'club path' (nothing is added twice)"


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "compare",
        help="put the first batch of a lesson against the last",
        description="Say of every measure what it was in the first batch and in the last, how far it moved with a "
        "95 % interval, and whether that can be told from chance. Also two batches of two lessons, or, with --table, "
        "rows of a device's table without any library.",
    )
    add_lesson_argument(parser)
    parser.add_argument("--first", metavar="N", help="number of the first batch, or LESSON:N; with --table rows: 1-6")
    parser.add_argument("--last", metavar="N", help="number of the last batch, or LESSON:N; with --table rows: 11-16")
    parser.add_argument("--table", type=Path, metavar="FILE", help="compare rows of this table; no library is needed")
    parser.add_argument("--mapping", type=Path, metavar="NAME|FILE", help="your column mapping for that table")
    parser.add_argument("--handed", choices=[h.value for h in Handedness], default="right", help="with --table")
    parser.add_argument("--aim", action="append", default=[], metavar="MEASURE", help="what to judge, with --table")
    parser.add_argument(
        "--repeatability",
        action="append",
        default=[],
        metavar="MEASURE=SD",
        help="how far one reading errs (one standard deviation, in the measure's unit), as the device states it or "
        "you tested it; without it nothing is judged",
    )
    parser.add_argument(
        "--window",
        action="append",
        default=[],
        metavar="MEASURE=LOW..HIGH",
        help="count the shots inside, such as club_path_deg=0..4 (+ right of target); one end may be left out",
    )
    parser.add_argument("--despite", action="store_true", help="judge although club, target or ball differ")
    parser.add_argument(
        "--all", action="store_true", help="show scatter and remarks of every measure, not only the aim"
    )
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the numbers ('-' = print them)")
    parser.add_argument("--csv", type=Path, metavar="FILE", help="write the numbers for a spreadsheet")
    parser.add_argument("--pictures", type=Path, metavar="DIR", help="draw the aim, flight, strike and pressure")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Compare, show, write."""
    for to in (options.json, options.csv):
        if to is not None and options.table is not None and to.absolute() == options.table.absolute():
            raise BadInputError(f"{to} is the table itself; write the numbers to another file.")
    if options.table is not None:
        compared: TableComparison | LessonComparison = _compare_table(options)
    else:
        compared = _compare_lessons(options)
    about, _, _, notes = _describe(compared)
    if options.json is not None:
        write_json(
            {
                **about,
                "notes": notes,
                "measures": [asdict(c) for c in compared.comparisons],
                **asdict(compared.background),
            },
            options.json,
        )
    if options.csv is not None:
        write_comparison_csv(compared.comparisons, options.csv)
    pictures = () if options.pictures is None else _draw(options, compared)
    if options.json is None or str(options.json) != "-":
        show_comparison(compared, show_all=options.all)
        if pictures:
            say(f"Pictures: {count(len(pictures), 'file')} in {options.pictures}")
        for to in (options.json, options.csv):
            if to is not None:
                say(f"Written: {to}")
    questions = compared.questions if isinstance(compared, TableComparison) else ()
    if questions and str(options.json) != "-":
        for question in questions:
            say(f"Question: {question}")
    return 1 if questions else 0


def _draw(options: argparse.Namespace, compared: TableComparison | LessonComparison) -> tuple[Path, ...]:
    ways = None
    if isinstance(compared, LessonComparison):
        with open_library(options.library) as library:
            ways = picture_ways(library, compared)
    return draw_comparison(compared.pictured, options.pictures, ways=ways)


def show_comparison(compared: TableComparison | LessonComparison, show_all: bool = False) -> None:
    """Print the two batches side by side, the aim first."""
    _, sides, handedness, notes = _describe(compared)
    if isinstance(compared, TableComparison):
        show_comparisons(compared.comparisons, sides, handedness, show_all)
    else:
        for doubt in compared.pressure_doubts:
            say(f"{doubt} Until then no pressure toward the target is judged.")
        show_comparisons(compared.comparisons, sides, handedness, show_all, _AIM_OF_A_LESSON)
        show_pressure(tell_pressure(compared))
        show_courses(compared.courses, [batch.number for batch, _ in compared.pictured.batches], handedness)
    show_background(compared.background, handedness)
    for note in notes:
        say(f"Note: {note}")


def _compare_table(options: argparse.Namespace) -> TableComparison:
    if not options.first or not options.last:
        raise BadInputError("--table needs --first ROWS and --last ROWS, such as --first 1-6 --last 11-16.")
    found = find_mapping(options.library, options.table, options.mapping)
    compared = compare_table(
        options.table,
        options.first,
        options.last,
        mapping=found.mapping,
        handedness=Handedness(options.handed),
        aim=tuple(parse_aim(text) for text in options.aim),
        repeatability=dict(map(parse_repeatability, options.repeatability)),
        windows=dict(map(parse_window, options.window)),
        accept_different=options.despite,
    )
    return replace(compared, notes=(*found.notes, *compared.notes))


def _compare_lessons(options: argparse.Namespace) -> LessonComparison:
    if options.aim:
        raise BadInputError("--aim is for --table; a lesson's own aim is given when it is added.")
    with open_library(options.library) as library:
        first_lesson, first = _batch_of(library, options, options.first)
        last_lesson, last = _batch_of(library, options, options.last)
        return compare_lesson(
            library,
            library.find_lesson(first_lesson),
            first,
            last,
            last_lesson=library.find_lesson(last_lesson),
            repeatability=dict(map(parse_repeatability, options.repeatability)),
            windows=dict(map(parse_window, options.window)),
            accept_different=options.despite,
        )


def _batch_of(library: Library, options: argparse.Namespace, text: str | None) -> tuple[str, int | None]:
    if text is None:
        return options.lesson, None
    lesson, number = parse_batch(text)
    return lesson or options.lesson, number


def _describe(
    compared: TableComparison | LessonComparison,
) -> tuple[dict[str, Any], tuple[Side, Side], Handedness, tuple[str, ...]]:
    """What is compared: for a machine, for the screen, in whose words, and what must be known."""
    if isinstance(compared, TableComparison):
        rows = (compared.first_rows, compared.last_rows)
        about: dict[str, Any] = {
            "table": compared.path.name,
            "first_rows": rows[0],
            "last_rows": rows[1],
            "questions": compared.questions,
        }
        sides = [
            Side(
                f"rows {_span(numbers)} of {compared.path.name}{_say_shots(swings)}",
                count(len(numbers), "shot"),
                len(numbers),
            )
            for numbers, swings in zip(rows, (compared.first_swings, compared.last_swings), strict=True)
        ]
        return about, (sides[0], sides[1]), compared.handedness, compared.notes
    about = {
        "pupil": compared.pupil.name,
        "lesson": compared.lesson.held_on.isoformat(),
        "last_lesson": compared.last_lesson.held_on.isoformat(),
        "first_batch": compared.first.number,
        "last_batch": compared.last.number,
        "pressure_doubts": compared.pressure_doubts,
        "pressure": dict(zip(("first", "last"), tell_pressure(compared), strict=True)),
        "left_out": {
            name: [{"swings": orders, "why": why} for why, orders in list_left_out(swings).items()]
            for name, swings in (("first", compared.first_swings), ("last", compared.last_swings))
        },
    }
    sides = [
        Side(
            f"{compared.pupil.name}, {lesson.held_on}, batch {batch.number}",
            count(len(swings), "swing") + _say_left_out(swings),
            len(counted(swings)),
            batch.cue,
            batch.feel,
        )
        for lesson, batch, swings in (
            (compared.lesson, compared.first, compared.first_swings),
            (compared.last_lesson, compared.last, compared.last_swings),
        )
    ]
    return about, (sides[0], sides[1]), compared.pupil.handedness, ()


def _say_left_out(swings: Sequence[Swing]) -> str:
    """How many do not count, and why."""
    found = list_left_out(swings)
    reasons = ", ".join(f"{why} (swing {', '.join(map(str, orders))})" for why, orders in found.items())
    return f"; {sum(map(len, found.values()))} left out: {reasons}" if found else ""


def _say_shots(swings: Sequence[Swing]) -> str:
    """Times and clubs of the rows, so that a slip in their numbers shows."""
    shots = [swing.shot for swing in swings if swing.shot is not None]
    times = sorted(shot.struck_at for shot in shots if shot.struck_at is not None)
    clubs = list(dict.fromkeys(shot.club for shot in shots if shot.club))
    said = [f"{times[0]:%H:%M} to {times[-1]:%H:%M}"] if times else []
    return "".join(f", {text}" for text in (*said, *clubs[:3])) + (" ..." if len(clubs) > 3 else "")


def _span(rows: tuple[int, ...]) -> str:
    is_run = rows == tuple(range(rows[0], rows[0] + len(rows)))
    return f"{rows[0]}-{rows[-1]}" if is_run and len(rows) > 1 else ", ".join(map(str, rows))
