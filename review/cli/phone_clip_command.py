"""``phone-clip``: a clip from the pupil's phone, beside the last closed batch."""

import argparse
from dataclasses import asdict
from pathlib import Path

from review.charts import write_drawing
from review.cli.screen import add_library_option, check_can_be_written, open_library, progress_bar, say, write_json
from review.cli.wrapping import fill
from review.compare.one_swing import Beside
from review.jobs.history.phone_clip import PhoneClip, measure_phone_clip
from review.jobs.history.phone_pair import check_pair_allowed, write_phone_pair
from review.jobs.history.phone_words import say_phone_clip
from review.jobs.history.pictures import draw_beside
from review.jobs.pairing.speed import check_time_scale
from review.jobs.pupils import find_one_pupil
from review.lesson import View
from review.pose import Effort


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "phone-clip",
        help="between lessons: a clip from the pupil's phone beside the last closed batch",
        description="Measure one swing that the pupil filmed and say of each number of the body whether it could be "
        "one more swing of the last closed batch, and what cannot be told from it. Nothing of the clip is kept.",
    )
    parser.add_argument("pupil", help="the pupil's name, or a part that only this pupil has")
    parser.add_argument("clip", type=Path, metavar="FILE", help="the clip of one swing")
    parser.add_argument("--view", choices=[v.value for v in View], help="where the phone stood; else found")
    parser.add_argument("--time-scale", type=float, metavar="X", help="true time = time in the file x X; else found")
    parser.add_argument("--quick", action="store_true", help="in a few seconds, less exact (default: thorough)")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the numbers ('-' = print them)")
    parser.add_argument("--picture", type=Path, metavar="FILE", help="draw what differs most, as .svg or .png")
    parser.add_argument(
        "--clip",
        dest="pair",
        type=Path,
        metavar="OUT.mp4",
        help="write it beside a typical swing of the batch, met at impact, as a video",
    )
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Measure, put beside, say."""
    for to in (options.json, options.picture, options.pair):
        check_can_be_written(to)
    if options.time_scale is not None:
        check_time_scale(options.time_scale, "--time-scale")
    effort = Effort.QUICK if options.quick else Effort.THOROUGH
    with open_library(options.library) as library, progress_bar(f"Measuring ({effort.value})") as report:
        pupil = find_one_pupil(library, options.pupil)
        if options.pair is not None:
            check_pair_allowed(pupil, options.clip, options.pair)
        measured = measure_phone_clip(
            library,
            pupil,
            options.clip,
            view=View(options.view) if options.view else None,
            time_scale=options.time_scale,
            effort=effort,
            progress=report,
        )
    if options.json is not None:
        write_json(_as_numbers(measured), options.json)
    if options.picture is not None:
        write_drawing(draw_beside(measured), options.picture)
    is_said = options.json is None or str(options.json) != "-"
    if is_said:
        _show(measured)
    if options.pair is not None:
        with open_library(options.library) as library, progress_bar("Writing the clip") as report:
            swing = write_phone_pair(library, measured, options.pair, report)
        if is_said:
            say(f"Beside swing {swing.order}: {options.pair}")
    return 0


def _show(measured: PhoneClip) -> None:
    said = say_phone_clip(measured)
    say(said.title)
    for line in said.alike:
        say(fill(f"  {line}", "    "))
    say("\nWhat cannot be told from this clip:")
    for line in said.untold:
        say(fill(f"  {line}", "    "))
    for note in said.notes:
        say(fill(f"Note: {note}"))


def _as_numbers(measured: PhoneClip) -> dict[str, object]:
    return {
        "pupil": measured.pupil.name,
        "lesson": measured.lesson.id,
        "held_on": measured.lesson.held_on.isoformat(),
        "batch": measured.batch.number,
        "view": measured.view.value,
        "measures": [_one(one) for one in measured.beside],
        "missing": [{"name": key[0], "key_frame": key[1], "why": why} for key, why in measured.missing],
        "not_from_a_camera": list(measured.device),
        "notes": list(measured.notes),
    }


def _one(one: Beside) -> dict[str, object]:
    return {**asdict(one), "key": list(one.key), "could_be": one.could_be}
