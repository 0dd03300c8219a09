"""``pressure``: where the pressure goes under the feet, swing by swing and batch by batch."""

import argparse
import sys
import textwrap
from pathlib import Path

from review.cli.pressure_numbers import show_foot, show_moves, show_places, show_shares
from review.cli.screen import (
    add_lesson_argument,
    add_library_option,
    check_can_be_written,
    choose_lesson,
    open_library,
    say,
    write_json,
)
from review.errors import BadInputError
from review.jobs.pressure.live_mat import LiveMat, find_live_mat
from review.jobs.pressure.live_trace import follow_table
from review.jobs.pressure.measuring import NO_TRACE, LessonPressure, SwingPressure, keep_pressure
from review.jobs.pressure.report import (
    average_feet,
    draw_pressure,
    group_by_batch,
    make_pressure_report,
    tell_batch,
    tell_mat,
)
from review.jobs.pressure.trail_foot import say_foot
from review.lesson import Handedness, Lesson, Measure
from review.lesson.words import count
from review.library import Library


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "pressure",
        help="where the pressure goes under the feet",
        description="Say where the pressure lies between the feet at the key frames of every swing, how it moves "
        "on the way down, and what it does before impact. The lesson is measured first ('measure --lesson').",
    )
    add_lesson_argument(parser)
    parser.add_argument("--json", type=Path, metavar="FILE", help="write every number ('-' = print them)")
    parser.add_argument("--pictures", type=Path, metavar="DIR", help="draw first and last batch over the feet")
    parser.add_argument(
        "--live",
        metavar="TABLE",
        help="show where the pressure is now, large, from a table that is being written ('-' = standard input): the "
        "pupil stands on the mat without a club",
    )
    parser.add_argument("--mapping", type=Path, metavar="NAME|FILE", help="your column mapping for the table of --live")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, keep and print; exit code 1 where no trace could be read."""
    if options.live is not None:
        return _go_live(options)
    if options.mapping is not None:
        raise BadInputError(
            "--mapping is for the table of --live; that of a lesson is read as 'add --pressure-mapping' said."
        )
    check_can_be_written(options.json)
    is_for_machine = str(options.json) == "-"
    with open_library(options.library) as library:
        lesson = choose_lesson(library, options.lesson, is_for_machine)
        pupil = library.pupil(lesson.pupil_id)
        read = keep_pressure(library, lesson)
        body = library.measures(lesson.id)
    if options.json is not None:
        write_json(make_pressure_report(lesson, read, body), options.json)
    if not is_for_machine:
        _show(lesson, read, body, pupil.handedness)
    if options.pictures is not None and read.swings:
        drawn = draw_pressure(lesson, pupil, read, body, options.pictures)
        if not is_for_machine:
            say(f"Drawn: {drawn}")
    return 0 if read.swings else 1


def _go_live(options: argparse.Namespace) -> int:
    """Show the pressure live, in the frame of the lesson's mat where there is one; live needs no lesson."""
    from review.app.ground.start import run_ground  # Qt takes a second to load

    mat, is_named = LiveMat(), options.lesson != "last"
    if is_named or Library.is_there(options.library):
        with open_library(options.library) as library:
            lesson = choose_lesson(library, options.lesson) if is_named or library.lessons() else None
        if lesson is not None:
            mat = find_live_mat(options.library, lesson.id)
    if mat.note:
        say(mat.note)
    table = sys.stdin.fileno() if options.live == "-" else Path(options.live)
    return run_ground(follow_table(options.library, table, mat.placement, mat.cell_cm, options.mapping), mat)


def _show(lesson: Lesson, read: LessonPressure, body: dict[str, tuple[Measure, ...]], handedness: Handedness) -> None:
    if read.doubt:
        for line in textwrap.wrap(f"{read.doubt} Until then nothing is told toward the target.", 78):
            say(line)
    _say_mat(read)
    if set_right := tell_mat(read):
        say(set_right)
    grouped: list[tuple[str, list[SwingPressure], list[str]]] = [
        (f"Batch {batch.number}", swings, _say_batch(swings, body, handedness))
        for batch, swings in group_by_batch(lesson, read)
    ]
    counted = {one.swing.id for _, swings, _ in grouped for one in swings}
    if others := [one for one in read.swings if one.swing.id not in counted]:
        grouped.append(("In no batch, or left out", others, []))
    if grouped:
        show_places(grouped)
        show_moves(grouped)
        show_shares(grouped)
        show_foot(grouped, body)
        say()
    by_reason: dict[str, list[str]] = {}
    for order, why in read.problems.items():
        by_reason.setdefault(why, []).append(str(order))
    if not read.swings and list(by_reason) == [NO_TRACE]:
        say("No swing has a pressure trace. Name the mat's table in the lesson file and add the")
        say("lesson again: 'add' says why one fits no swing. A file without a clock needs")
        say("first_sample_at in [pressure_mat].")
        return
    for why, orders in by_reason.items():
        for line in textwrap.wrap(f"Swing{'s'[: len(orders) > 1]} {', '.join(orders)}: {why}.", 78):
            say(line)
    if not read.swings:
        say("No pressure trace could be laid over a swing. Add the mat's table and measure the lesson.")


def _say_batch(swings: list[SwingPressure], body: dict[str, tuple[Measure, ...]], handedness: Handedness) -> list[str]:
    """What the pressure does, and what the trail foot does in the mean."""
    said = [tell_batch(swings) or "what it does before impact is not known"]
    if foot := say_foot(average_feet(swings, body), handedness):
        said.append(f"Trail foot in the pictures, means: {foot}.")
    return said


def _say_mat(read: LessonPressure) -> None:
    if read.mat is None or not read.mat.placement.has_angle:
        say("How the mat lies is not known: only lengths are told, nothing is toward the target. Let the player do the")
        say("three steps (stand still, weight on the lead foot, on the toes) and name their table in the lesson file.")
        return
    mat = read.mat.placement
    stance = "stance not known" if mat.stance_cm is None else f"stance {mat.stance_cm:.1f} cm"
    mirrored = ", mirrored" if mat.is_mirrored else ""
    about = " (approximate)" if mat.is_approximate else ""
    say(f"Mat turned by {mat.angle_deg:.1f}°{mirrored}; {stance}{about}. {count(len(read.swings), 'trace')} read.")
