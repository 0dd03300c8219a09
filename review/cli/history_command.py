"""``history``: a pupil over the years, one measure through all lessons."""

import argparse
from pathlib import Path

from review.charts import write_drawing
from review.cli.screen import add_library_option, check_can_be_written, open_library, say, write_json
from review.cli.wrapping import fill
from review.errors import BadInputError
from review.jobs.history import read_history
from review.jobs.history.numbers import list_numbers
from review.jobs.history.pictures import draw_history
from review.jobs.history.reading import PupilYears
from review.jobs.history.words import HistorySaid, say_history
from review.jobs.lesson_file import parse_aim
from review.jobs.pupils import find_one_pupil
from review.lesson import AimMeasure, Pupil, label
from review.library import Library


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "history",
        help="a pupil over the years: what moved, which cue moved it, what held, whether it came back",
        description="One measure through all lessons of a pupil: what each lesson began and ended with, what was said "
        "in between, what of a change was left at the next visit, and which cue moved it most surely.",
    )
    parser.add_argument("pupil", help="the pupil's name, or a part that only this pupil has")
    parser.add_argument("--measure", metavar="MEASURE", help="such as 'club path' or 'hip turn at impact'")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the numbers ('-' = print them)")
    parser.add_argument("--picture", type=Path, metavar="FILE", help="draw it, as .svg or .png")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, say, write."""
    for to in (options.json, options.picture):
        check_can_be_written(to)
    with open_library(options.library) as library:
        pupil = find_one_pupil(library, options.pupil)
        measure = _read_measure(library, pupil, options.measure) if options.measure else None
        history = read_history(library, pupil.id, measure)
    if options.json is not None:
        write_json(list_numbers(history), options.json)
    if options.picture is not None:
        write_drawing(draw_history(history), options.picture)
    if str(options.json) == "-":
        return 0
    _show(say_history(history))
    others = [label(*key) for key in history.choices if key != history.key]
    if others and measure is None:
        say(fill(f"\nOther measures (--measure): {', '.join(others)}"))
    for to in (options.json, options.picture):
        if to is not None:
            say(f"Written: {to}")
    return 0


def _read_measure(library: Library, pupil: Pupil, text: str) -> AimMeasure:
    try:
        return parse_aim(text)
    except BadInputError as error:
        there = ", ".join(label(*key) for key in PupilYears(library, pupil.id).choices) or "none"
        raise BadInputError(
            f"--measure names {text!r}, which is no measure of {pupil.name}. There is: {there}."
        ) from error


def _show(said: HistorySaid) -> None:
    say(said.title)
    for line in said.summary:
        say(fill(line))
    if said.cues:
        say("\nWhat moved it, the surest first:")
        for line in said.cues:
            say(fill(f"  {line}", "    "))
    for visit in said.visits:
        say("\n" + fill(f"{visit.day}  {visit.aim}".rstrip(), "  "))
        for line in visit.lines:
            say(fill(f"  {line}", "    "))
    if said.notes:
        say()
    for line in said.notes:
        say(fill(f"Note: {line}"))
