"""``takehome``: what the pupil gets."""

import argparse
from pathlib import Path

from review.cli.screen import add_lesson_argument, add_library_option, choose_lesson, open_library, progress_bar, say
from review.errors import BadInputError
from review.jobs.handing_out import HandOutWish, hand_out
from review.lesson import KeyFrameName
from review.takehome import FREEZE_AT, MOST_BYTES, ClipChoice, ClipOptions, Form

MOST_MB = MOST_BYTES / 1e6


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "takehome",
        help="write the clips, the page and the sheet that the pupil takes home",
        description="Write a folder with clips side by side (first batch and last, locked at impact), one page that "
        "opens on a phone, a one-page sheet and the numbers as a table. Needs the pupil's consent to share.",
    )
    add_lesson_argument(parser)
    parser.add_argument("--to", type=Path, required=True, metavar="DIR", help="the folder to write")
    parser.add_argument(
        "--swings",
        action="append",
        default=[],
        metavar="FIRST,LAST",
        help="which swings side by side, by number (default: the most typical of each batch); repeat for more",
    )
    parser.add_argument(
        "--cover-faces", action="store_true", help="replace the face in all clips and pictures (a minor's always is)"
    )
    parser.add_argument(
        "--only-player",
        action="store_true",
        help="leave away what lies around the player, and who stands there (with a minor always so)",
    )
    parser.add_argument(
        "--for",
        dest="for_whom",
        default="",
        metavar="NAME",
        help="who receives it, for the record (default: the pupil; of a minor the guardian)",
    )
    parser.add_argument(
        "--form", choices=("portrait", "landscape", "both"), default="portrait", help="clips upright, wide or both"
    )
    parser.add_argument(
        "--freeze",
        default=",".join(FREEZE_AT),
        metavar="KEY_FRAMES",
        help="where clips stand still, with an arrow to what the aim is about (default: top,impact; none: nowhere)",
    )
    parser.add_argument("--only-together", action="store_true", help="no clips of one swing by itself")
    parser.add_argument(
        "--sound", action="store_true", help="with the clip's own sound at real speed (who stands by is heard too)"
    )
    parser.add_argument(
        "--most-mb", type=float, default=MOST_MB, metavar="N", help=f"largest size of a clip (default: {MOST_MB:g})"
    )
    parser.add_argument("--zip", action="store_true", help="the same as one zip beside the folder, too")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write and say where it lies."""
    chosen = [_couple(text) for text in options.swings]
    with open_library(options.library) as library:
        lesson = choose_lesson(library, options.lesson)
        before = library.handouts(lesson.pupil_id)
        with progress_bar("Writing the take-home") as report:
            done = hand_out(
                library,
                lesson,
                options.to,
                chosen,
                report,
                HandOutWish(
                    options.cover_faces, options.only_player, options.for_whom, _choose_clips(options), options.zip
                ),
            )
    if before:
        more = f" ({len(before) - 1} more before it)" if len(before) > 1 else ""
        say(f"Handed over before: {before[-1]}{more}")
    for note in done.notes:
        say(f"Note: {note}")
    say(f"The take-home for {done.for_whom} lies in {done.page.parent.resolve()}; open {done.page.name} in a browser.")
    return 0


def _choose_clips(options: argparse.Namespace) -> ClipChoice:
    if not 0.1 <= options.most_mb <= 10_000:
        raise BadInputError(f"--most-mb expects a size from 0.1 to 10000 megabytes, got {options.most_mb:g}.")
    names = [name.strip().lower() for name in options.freeze.split(",") if name.strip()]
    names = [] if names == ["none"] else names
    known = [name.value for name in KeyFrameName]
    for name in names:
        if name not in known:
            raise BadInputError(f"--freeze expects key frames ({', '.join(known)}) or none, got {name!r}.")
    forms = tuple(Form) if options.form == "both" else (Form(options.form),)
    most_bytes = round(options.most_mb * 1e6)
    clip = ClipOptions(freeze_at=tuple(names), with_sound=options.sound, most_bytes=most_bytes)
    return ClipChoice(clip, forms, not options.only_together)


def _couple(text: str) -> tuple[int, int]:
    first, comma, last = text.partition(",")
    if not comma or not first.strip().isdigit() or not last.strip().isdigit():
        raise BadInputError(f"--swings expects two swing numbers such as 2,15, got {text!r}.")
    return int(first), int(last)
