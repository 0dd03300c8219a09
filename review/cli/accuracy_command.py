"""``check-accuracy``: how exact this camera is on this person."""

import argparse
from pathlib import Path
from typing import Any

from review.body import Hold, HoldReading
from review.body.player_setup import LEAST_HOLDS
from review.body.response import LINES, Line
from review.cli.screen import check_can_be_written, progress_bar, say, write_json
from review.jobs.measuring.accuracy import AccuracyCheck, LineCheck, check_accuracy
from review.jobs.measuring.accuracy_words import say_error, say_verdict
from review.jobs.measuring.player_files import read_holds_file, write_player_setup
from review.lesson import Handedness, View
from review.lesson.words import say_value
from review.pose import Effort

_NAMES: dict[Line, tuple[str, str]] = {"hip": ("Hips", "hip_turn_deg"), "shoulder": ("Shoulders", "shoulder_turn_deg")}
_SAVE_HELP = f"keep the readings as a player set-up; it needs the address and at least {LEAST_HOLDS} more holds"
_EPILOG = """
How it is filmed: the camera stands where it stands in the lesson and is not touched. Marks on the floor point every 15
degrees from the target line. A stick through the belt loops shows where the hips point; for the shoulders the coach
lays one across them. The pupil takes the club and holds positions of the swing for 2 seconds each, hips (or shoulders)
set to a mark: first the address, square; then half way back, the top, on the way down, impact, after impact. Eight
holds take about a minute. Only positions of the swing tell, club in hand: in another posture the detector errs
otherwise.

HOLDS.toml:

    [[hold]]
    from_s = 3.0
    to_s = 5.0
    hip_turn_deg = 0            # + open to the target, - turned away; the first is the address

    [[hold]]
    from_s = 8.0
    to_s = 10.0
    hip_turn_deg = -30
    shoulder_turn_deg = -60     # either may be missing

With --save the readings are kept as the player set-up of this pupil, camera and way of measuring (make one with --quick
and one without, if both are used). Holds that contradict each other are told and change nothing.

Take care: clear space around the club, stand comfortably, no force at the end of a turn, stop on pain. The clip stays
on this computer.
"""


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "check-accuracy",
        help="say how exact this camera is on this person, from held positions on floor marks",
        description="Compare turns from address as marked on the floor with turns as read from the picture, on a clip "
        "in which the pupil holds positions of the swing; and keep the readings as a player set-up (--save).",
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("clip", type=Path, metavar="CLIP", help="the clip with the held positions")
    parser.add_argument("--holds", type=Path, required=True, metavar="FILE", help="times and marks of the holds (TOML)")
    parser.add_argument("--handed", choices=[h.value for h in Handedness], required=True, help="how the player swings")
    parser.add_argument("--view", choices=[v.value for v in View], help="where the camera stands; else found")
    parser.add_argument("--quick", action="store_true", help="check the quick way of measuring (default: thorough)")
    parser.add_argument("--save", type=Path, metavar="FILE", help=_SAVE_HELP)
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the numbers ('-' = print them)")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Check, report, keep; exit code 1 when marks and readings contradict each other, or nothing could be kept."""
    effort = Effort.QUICK if options.quick else Effort.THOROUGH
    handedness = Handedness(options.handed)
    for path in (options.save, options.json):
        check_can_be_written(path)
    holds = read_holds_file(options.holds)
    view = None if options.view is None else View(options.view)
    with progress_bar(f"Reading the holds ({effort.value})") as report:
        check = check_accuracy(options.clip, holds, handedness, view, effort, report)
    usable = check.is_usable
    if options.save is not None and usable:
        write_player_setup(check.setup, options.save)
    if options.json is not None:
        write_json(make_accuracy_report(check), options.json)
    if options.json is None or str(options.json) != "-":
        _show(check, effort, options.save, usable)
    return 1 if check.is_contradicted or (options.save is not None and not usable) else 0


def make_accuracy_report(check: AccuracyCheck) -> dict[str, Any]:
    """Return the check as JSON-ready data (schema 1)."""
    return {
        "schema": 1,
        "file": check.clip.name,
        "view": check.setup.view.value,
        "view_found": check.view_found,
        "model": check.setup.model,
        "lines": {
            line: {
                "holds": [_hold_report(hold, reading) for hold, reading in checked.readings],
                "median_error_deg": checked.median_deg,
                "worst_error_deg": checked.worst_deg,
                "inside_interval": checked.n_inside,
                "median_error_with_other_holds_deg": checked.corrected_median_deg,
                "why_no_correction": checked.fit.why_unused,
            }
            for line, checked in check.lines.items()
            if checked.errors_deg
        },
    }


def _hold_report(hold: Hold, reading: HoldReading) -> dict[str, Any]:
    return {
        "from_s": hold.from_s,
        "to_s": hold.to_s,
        "marked_from_address_deg": reading.marked_deg,
        "read_from_address_deg": reading.read_deg,
        "low_deg": reading.low_deg,
        "high_deg": reading.high_deg,
        "problem": reading.problem,
    }


def _show(check: AccuracyCheck, effort: Effort, save: Path | None, usable: bool) -> None:
    how = "found" if check.view_found else "as given"
    say(f"{check.clip.name}: {check.setup.view.value} ({how}), {effort.value} run; turns from address")
    for line in LINES:
        if check.lines[line].readings:
            _show_line(line, check.lines[line], check.setup.handedness)
    say()
    say("A hold is not a swing: at full speed blur adds to this. The tool itself was checked on rendered people only.")
    if save is not None and usable:
        say(f"Kept in {save}. Use it with: lesson-review measure CLIP --player {save}")
    elif save is not None:
        say("Nothing was kept: no line can be corrected from these holds.")


def _show_line(line: Line, checked: LineCheck, handedness: Handedness) -> None:
    name, measure = _NAMES[line]
    say()
    say(name)
    for hold, reading in checked.readings:
        at = f"  {hold.from_s:5.1f} s  marked {say_value(measure, reading.marked_deg, handedness):<17}"
        if reading.problem:
            say(f"{at} not used: {reading.problem}")
            continue
        read = say_value(measure, reading.read_deg, handedness)
        inside = "inside" if reading.is_inside else "OUTSIDE"
        say(f"{at} read {read:<17} {say_error(reading.error_deg):<21} {inside} the 90 % interval")
    if not checked.errors_deg:
        return
    n = len(checked.errors_deg)
    inside = f"{checked.n_inside} of {n} marks inside"
    say(f"  Error: median {checked.median_deg:.0f}°, worst {checked.worst_deg:.0f}°; {inside}")
    say(f"  {say_verdict(checked)}")
    if checked.fit.why_unused:
        say(f"  Player set-up: not used for this line, {checked.fit.why_unused}.")
    else:
        say(f"  Player set-up: each hold read with the help of the others: median {checked.corrected_median_deg:.0f}°.")
