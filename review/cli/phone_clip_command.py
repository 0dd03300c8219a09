"""``phone-clip``: a clip from the pupil's phone, beside the last closed batch."""

import argparse
from dataclasses import asdict
from pathlib import Path

from review.charts import write_drawing
from review.cli.screen import add_library_option, check_can_be_written, open_library, progress_bar, say, write_json
from review.cli.wrapping import fill
from review.compare.one_swing import Beside
from review.jobs.history.phone_clip import PhoneClip, measure_phone_clip
from review.jobs.history.pictures import draw_beside
from review.jobs.pairing.speed import check_time_scale
from review.jobs.pupils import find_one_pupil
from review.lesson import View, label
from review.lesson.words import say_change, say_measure, say_value
from review.lettering import capitalise
from review.pose import Effort

_MOST_NAMED = 6


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
    parser.add_argument("--picture", type=Path, metavar="FILE", help="draw the first measure, as .svg or .png")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Measure, put beside, say."""
    for to in (options.json, options.picture):
        check_can_be_written(to)
    if options.time_scale is not None:
        check_time_scale(options.time_scale, "--time-scale")
    effort = Effort.QUICK if options.quick else Effort.THOROUGH
    with open_library(options.library) as library, progress_bar(f"Measuring ({effort.value})") as report:
        measured = measure_phone_clip(
            library,
            find_one_pupil(library, options.pupil),
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
    if options.json is None or str(options.json) != "-":
        _show(measured)
    return 0


def _show(measured: PhoneClip) -> None:
    hand, day = measured.pupil.handedness, measured.lesson.held_on
    say(f"{measured.pupil.name}: the clip, {measured.view}, beside batch {measured.batch.number} of {day}")
    for one in measured.beside:
        name, key_frame = one.key
        clip = say_measure(one.measure, hand)
        low, mean, high = (say_value(name, value, hand) for value in (one.low, one.mean, one.high))
        could = "could be one" if one.could_be else f"is none: {say_change(name, one.mean, one.measure.value, hand)}"
        batch = f"The batch {mean}, one more swing of it {low} to {high}; this {could}"
        say(fill(f"  {capitalise(label(name, key_frame))}: {clip}. {batch}.", "    "))
    say("\nWhat cannot be told from this clip:")
    for line in _list_untold(measured):
        say(fill(f"  {line}", "    "))
    for note in measured.notes:
        say(fill(f"Note: {note}"))


def _list_untold(measured: PhoneClip) -> list[str]:
    lines = []
    if measured.device:
        named = ", ".join(measured.device[:_MOST_NAMED]) + (" and more" if len(measured.device) > _MOST_NAMED else "")
        lines.append(f"What no camera gives: {named}.")
    lines += [f"{capitalise(label(*key))}: {why}." for key, why in measured.missing]
    lines.append(
        "Small differences: the phone was not set up as the lesson's camera, and the errors of both set-ups are kept "
        "in; turns count from this clip's own address, not against the target line."
    )
    lines.append("Whether it is usual: it is one swing, and one that the pupil chose.")
    return lines


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
