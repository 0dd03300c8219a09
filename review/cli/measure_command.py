"""``measure``: one clip, or the two views of one swing."""

import argparse
from pathlib import Path

from review.cli.measure_screen import show_swing
from review.cli.screen import (
    add_library_option,
    check_can_be_written,
    choose_lesson,
    open_library,
    progress_bar,
    say,
    write_json,
)
from review.errors import BadInputError
from review.jobs.measuring.one_swing import ClipToMeasure, measure_files
from review.jobs.measuring.player_files import read_player_setup
from review.jobs.measuring.report import make_measure_report
from review.jobs.measuring.setup_files import read_camera_setup
from review.jobs.measuring.whole_lesson import measure_lesson
from review.jobs.pairing.speed import check_time_scale
from review.lesson import Handedness, View
from review.lesson.words import count
from review.pose import Effort


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "measure",
        help="measure the body in one clip, or in the two views of one swing",
        description="Measure hip turn, shoulder turn, trail-heel lift and hip shift in one clip, or in a face-on and "
        "a down-the-line clip of the same swing, which are then put together; or in all swings of a lesson (--lesson).",
    )
    parser.add_argument("clips", nargs="*", type=Path, metavar="CLIP", help="one clip, or both views of one swing")
    parser.add_argument("--handed", choices=[h.value for h in Handedness], help="how the player swings")
    parser.add_argument(
        "--lesson",
        metavar="LESSON",
        help="instead of clips: every swing of that lesson in the library ('last', its day, the pupil's name)",
    )
    parser.add_argument("--stature", type=_stature, metavar="METRES", help="the player's standing height")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write every frame's numbers ('-' = print them)")
    parser.add_argument("--view", choices=[v.value for v in View], help="where the (first) camera stands; else found")
    parser.add_argument(
        "--setup", type=Path, nargs="+", action="extend", metavar="FILE", help="camera set-up, one for each clip"
    )
    parser.add_argument(
        "--player", type=Path, nargs="+", action="extend", metavar="FILE", help="player set-up (see check-accuracy)"
    )
    parser.add_argument("--quick", action="store_true", help="in a few seconds, less exact (default: thorough)")
    parser.add_argument(
        "--sound-distance", type=float, default=0.0, metavar="METRES", help="from the ball to the microphone"
    )
    parser.add_argument(
        "--time-scale",
        type=float,
        metavar="X",
        help="true time = time in the file x X (240 frames a second played at 30: 0.125); else found",
    )
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Measure and report; exit code 1 when a set-up that was given could not be used."""
    effort = Effort.QUICK if options.quick else Effort.THOROUGH
    if options.lesson is not None:
        return _measure_lesson(options, effort)
    if not options.clips:
        raise BadInputError("Give one clip or the two views of one swing, or --lesson LESSON.")
    if options.handed is None:
        raise BadInputError("Add --handed right or --handed left: the side the player swings from.")
    if len(options.clips) > 2:
        raise BadInputError(f"Expected one clip or the two views of one swing, got {len(options.clips)} clips.")
    if options.time_scale is not None:
        check_time_scale(options.time_scale, "--time-scale")
    if not 0 <= options.sound_distance <= 50:
        raise BadInputError(f"--sound-distance is in metres, 0 to 50, got {options.sound_distance}.")
    setups = options.setup or []
    if len(setups) > len(options.clips):
        raise BadInputError(
            f"Found {len(setups)} set-up files for {_count_clips(options.clips)}; "
            "give one --setup file for each clip, in the order of the clips."
        )
    check_can_be_written(options.json)
    cameras = [read_camera_setup(path) for path in setups]
    players = tuple(read_player_setup(path) for path in options.player or [])
    views = _views(options.view, len(options.clips))
    clips = [
        ClipToMeasure(path, view, cameras[i] if i < len(cameras) else None, options.time_scale, players=players)
        for i, (path, view) in enumerate(zip(options.clips, views, strict=True))
    ]
    handedness = Handedness(options.handed)
    with progress_bar(f"Measuring ({effort.value})") as report:
        swing = measure_files(clips, handedness, options.stature, effort, options.sound_distance, report)
    if options.json is not None:
        write_json(make_measure_report(swing), options.json)
    if options.json is None or str(options.json) != "-":
        show_swing(swing, handedness, effort, [path.name for path in setups])
    is_player_unused = bool(players) and not any(clip.player.used for clip in swing.clips)
    return 1 if swing.has_refused_setup or is_player_unused else 0


def _measure_lesson(options: argparse.Namespace, effort: Effort) -> int:
    if options.clips:
        raise BadInputError("Give clips or --lesson, not both.")
    with open_library(options.library) as library:
        lesson = choose_lesson(library, options.lesson)
        with progress_bar(f"Measuring ({effort.value})") as report:
            measured = measure_lesson(library, lesson, effort, report)
    say(f"Measured {count(measured.n_measured, 'swing')} ({count(measured.n_new, 'clip')} anew).")
    for order, problem in measured.problems.items():
        say(f"Swing {order} was not measured: {problem}")
    for note in measured.notes:
        say(f"Note: {note}")
    return 1 if measured.problems or measured.has_refused_setup else 0


def _count_clips(clips: list[Path]) -> str:
    return "1 clip" if len(clips) == 1 else f"{len(clips)} clips"


def _views(given: str | None, n_clips: int) -> list[View | None]:
    if given is None:
        return [None] * n_clips
    first = View(given)
    other = View.DOWN_THE_LINE if first is View.FACE_ON else View.FACE_ON
    views: list[View | None] = [first, other]
    return views[:n_clips]


def _stature(text: str) -> float:
    try:
        metres = float(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"expected metres such as 1.75, got {text!r}") from error
    if not 0.8 <= metres <= 2.5:
        raise argparse.ArgumentTypeError(f"expected metres between 0.8 and 2.5, got {text}")
    return metres
