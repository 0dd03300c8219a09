"""What the options of ``add`` say of a pressure mat, and such a mat added to a lesson that is there."""

import argparse
from pathlib import Path

from review.cli.screen import progress_bar, say
from review.jobs.pressure.adding import add_pressure, plan_mat
from review.jobs.pressure.mats import MatPlan
from review.lesson.words import count


def add_mat_options(parser: argparse.ArgumentParser) -> None:
    """Add the options that say how the mat lies."""
    parser.add_argument(
        "--pressure-steps",
        type=Path,
        metavar="TABLE",
        help="three steps on the mat (stand still, weight on the lead foot, weight on the toes): tell how it lies",
    )
    parser.add_argument(
        "--stance", type=float, metavar="CM", help="the feet's distance on the mat, from ankle to ankle"
    )
    parser.add_argument(
        "--flare",
        type=float,
        nargs=2,
        metavar=("LEAD", "TRAIL"),
        help="degrees by which lead and trail foot are turned out",
    )
    parser.add_argument(
        "--edge",
        type=float,
        metavar="DEG",
        help="instead of the steps, by a stick along the mat's edge: the target line's direction in the mat's axes",
    )
    parser.add_argument("--mirrored", action="store_true", help="with --edge: the toes lie on the mat's other side")


def read_mat_options(options: argparse.Namespace) -> MatPlan | None:
    """What they say, None where none is given; BadInputError as ``plan_mat``."""
    flares = options.flare or (None, None)
    return plan_mat(options.pressure_steps, options.stance, flares, options.edge, options.mirrored)


def add_later_pressure(options: argparse.Namespace, lesson_id: str, plan: MatPlan | None) -> None:
    """Add the trace, the mat or both to a lesson, and say what came of it."""
    with progress_bar("Adding the pressure") as report:
        added = add_pressure(options.library, lesson_id, options.pressure, plan, options.pressure_mapping, report)
    mat = None if added.mat is None else added.mat.placement
    if mat is not None and mat.has_angle:
        stance = "" if mat.stance_cm is None else f"; stance {mat.stance_cm:.1f} cm"
        about = " (approximate)" if mat.is_approximate else ""
        say(f"Mat turned by {mat.angle_deg:.1f}°{', mirrored' if mat.is_mirrored else ''}{stance}{about}.")
    if options.pressure is not None:
        say(f"Pressure put to {added.n_new_traces} of {count(added.n_swings, 'swing')}.")
    if added.read.swings:
        say(f"Numbers read for {count(len(added.read.swings), 'swing')}.")
    elif added.n_new_traces:
        say("For its numbers measure the lesson (lesson-review measure --lesson last).")
    for note in added.notes:
        say(f"Note: {note}")
