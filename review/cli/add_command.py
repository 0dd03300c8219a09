"""``add``: clips, shot table and pressure trace into a lesson."""

import argparse
from dataclasses import replace
from datetime import date
from pathlib import Path

from review.cli.add_options import find_day, parse_batch, parse_date, parse_time_of_day, split_by_camera
from review.cli.added_screen import show_added
from review.cli.compare.options import parse_repeatability
from review.cli.later_table import add_later
from review.cli.mat_options import add_mat_options, read_mat_options
from review.cli.screen import add_consent_options, add_library_option, note_little_room, progress_bar, say
from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import (
    LessonPlan,
    PupilPlan,
    find_clips,
    parse_aim,
    parse_purposes,
    read_lesson_file,
)
from review.jobs.pairing.speed import check_time_scale
from review.jobs.pupils import find_one_pupil, record_consent, record_guardian, withdraw_consent
from review.lesson import Consent, Handedness
from review.library import Library


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "add",
        help="add clips, the shot table and the pressure trace of a lesson",
        description="Add clips, the device's shot table and a pressure trace to a pupil's lesson. Clips are copied, "
        "the originals stay untouched. Give a lesson file (TOML) or clips with --pupil. Files for a day that the "
        "library knows already join that lesson.",
    )
    parser.add_argument(
        "files", nargs="*", type=Path, metavar="FILE", help="a lesson file, or clips, or a folder of clips"
    )
    parser.add_argument("--pupil", metavar="NAME")
    parser.add_argument("--handed", choices=[h.value for h in Handedness])
    parser.add_argument("--stature", type=float, metavar="METRES")
    parser.add_argument(
        "--date", type=parse_date, metavar="YYYY-MM-DD", help="day of the lesson (default: from the clips)"
    )
    parser.add_argument("--shots", type=Path, metavar="TABLE", help="the device's table (CSV, TSV, XLSX, ODS, JSON)")
    parser.add_argument("--mapping", type=Path, metavar="NAME|FILE", help="your column mapping for that table")
    parser.add_argument("--pressure", type=Path, metavar="TABLE", help="the mat's trace (time, x, y, force)")
    parser.add_argument(
        "--pressure-mapping", type=Path, metavar="NAME|FILE", help="your column mapping for the mat's table"
    )
    add_mat_options(parser)
    parser.add_argument(
        "--repeatability",
        action="append",
        default=[],
        metavar="MEASURE=SD",
        help="how far one reading of the device errs, such as club_path_deg=0.5; kept with the lesson, needed to judge",
    )
    parser.add_argument(
        "--setup",
        action="append",
        default=[],
        metavar="CAMERA=FILE",
        help="camera set-up, by the camera's name or view (face-on=FILE); kept with the lesson",
    )
    parser.add_argument(
        "--player",
        action="append",
        default=[],
        metavar="CAMERA=FILE",
        help="the pupil's player set-up before that camera (see check-accuracy); kept with the lesson",
    )
    parser.add_argument(
        "--time-scale",
        type=float,
        metavar="X",
        help="true time = time in the file x X, for all these clips (240 frames a second played at 30: 0.125); else "
        "found when measuring",
    )
    parser.add_argument(
        "--batch",
        action="append",
        default=[],
        metavar="HH:MM[:SS][=CUE]",
        help="a batch begins, by the device's clock; repeat for each",
    )
    parser.add_argument(
        "--from",
        dest="begins",
        type=parse_time_of_day,
        metavar="HH:MM[:SS]",
        help="of a long recording take only swings after this, by the camera's clock",
    )
    parser.add_argument(
        "--to", dest="ends", type=parse_time_of_day, metavar="HH:MM[:SS]", help="and only those before this"
    )
    parser.add_argument(
        "--keep-recording",
        action=argparse.BooleanOptionalAction,
        help="a long recording shows this pupil alone: keep it whole (else only its swings are kept)",
    )
    parser.add_argument("--club", default="", help="club of these batches")
    parser.add_argument("--target", default="", help="what they aimed at; another target is warned of in compare")
    parser.add_argument("--ball", default="", help="ball of these batches")
    parser.add_argument("--aim", action="append", default=[], metavar="MEASURE[ at KEY FRAME]", help="what it is about")
    add_consent_options(parser)
    parser.add_argument(
        "--withdraw-consent", action="store_true", help="alone with --pupil: from today on nothing more"
    )
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Add and say what became of it."""
    if not options.files and (options.shots or options.pressure or read_mat_options(options)):
        return add_later(options)
    if not options.files:
        return _record_consent(options)
    plan = _plan(options)
    with Library.open(options.library) as library, progress_bar("Adding") as report:
        added = add_lesson(library, plan, report)
    show_added(added)
    note_little_room(options.library)
    return 1 if added.matched.questions or added.questions or added.is_consent_missing else 0


def _record_consent(options: argparse.Namespace) -> int:
    """Note a consent for a pupil who is in the library already, or that it is withdrawn."""
    if options.withdraw_consent and options.pupil and not options.consent_by:
        with Library.open(options.library, create=False) as library:
            pupil = withdraw_consent(library, find_one_pupil(library, options.pupil).id)
            handed_out = library.handouts(pupil.id)
        say(f"{pupil.name}: consent is withdrawn from today on. To remove what there is: lesson-review forget.")
        for handout in handed_out:
            say(f"Cannot be called back: {handout}")
        return 0
    if options.minor and not options.guardian:
        raise BadInputError("A pupil under age needs --guardian NAME.")
    consent = consent_of(options, options.date or date.today())
    if consent is None and options.pupil and options.guardian:
        hand = Handedness(options.handed) if options.handed else None
        with Library.open(options.library, create=hand is not None) as library:
            pupil = record_guardian(library, options.pupil, options.guardian, hand)
        say(f"{pupil.name} is under age; guardian {pupil.guardian}, who gives consent and gets the take-home.")
        return 0
    if consent is None or not options.pupil:
        raise BadInputError(
            "Give a lesson file or clips; or --pupil NAME with --shots TABLE, --pressure TABLE or --pressure-steps "
            "TABLE, or --pupil NAME with --consent-by and --consent-for, or --minor and --guardian, alone."
        )
    with Library.open(options.library, create=False) as library:
        pupil = record_consent(library, options.pupil, consent, options.guardian, options.minor)
    say(
        f"{pupil.name}: consent to {', '.join(sorted(p.value for p in consent.purposes))} "
        f"by {consent.given_by} is noted."
    )
    return 0


def _plan(options: argparse.Namespace) -> LessonPlan:
    first: Path = options.files[0]
    time_scale = None if options.time_scale is None else check_time_scale(options.time_scale, "--time-scale")
    stated = dict(map(parse_repeatability, options.repeatability))
    if first.suffix.lower() == ".toml":
        if len(options.files) > 1:
            raise BadInputError("Give one lesson file, or clips; not both.")
        if read_mat_options(options) is not None:
            raise BadInputError("A lesson file says how the mat lies itself: write it into its part [pressure_mat].")
        plan = read_lesson_file(first)
        return replace(
            plan,
            camera_setups=(*plan.camera_setups, *split_by_camera("--setup", options.setup)),
            player_setups=(*plan.player_setups, *split_by_camera("--player", options.player)),
            repeatability=tuple({**dict(plan.repeatability), **stated}.items()),
            time_scale=time_scale,
            begins=options.begins or plan.begins,
            ends=options.ends or plan.ends,
            keep_recordings=plan.keep_recordings if options.keep_recording is None else options.keep_recording,
        )
    if not options.pupil or not options.handed:
        raise BadInputError("Clips need --pupil NAME and --handed right|left (or give a lesson file).")
    clips: list[Path] = []
    for path in options.files:
        clips += find_clips(path) if path.is_dir() else [path]
    if options.minor and not options.guardian:
        raise BadInputError("A pupil under age needs --guardian NAME.")
    held_on = options.date or find_day(clips)
    return LessonPlan(
        pupil=PupilPlan(
            name=options.pupil,
            handedness=Handedness(options.handed),
            stature_m=options.stature,
            consent=consent_of(options, held_on),
            is_minor=options.minor,
            guardian=options.guardian,
        ),
        held_on=held_on,
        clips=tuple(clips),
        shots=options.shots,
        mapping=options.mapping,
        pressure=options.pressure,
        pressure_mapping=options.pressure_mapping,
        camera_setups=split_by_camera("--setup", options.setup),
        player_setups=split_by_camera("--player", options.player),
        time_scale=time_scale,
        batches=tuple(parse_batch(i, text) for i, text in enumerate(options.batch, start=1)),
        club=options.club,
        target=options.target,
        ball=options.ball,
        aim_measures=tuple(parse_aim(text) for text in options.aim),
        repeatability=tuple(stated.items()),
        begins=options.begins,
        ends=options.ends,
        keep_recordings=options.keep_recording,
        mat=read_mat_options(options),
    )


def consent_of(options: argparse.Namespace, on: date) -> Consent | None:
    """Read ``--consent-by`` and ``--consent-for``; None when neither is given.

    Raises
    ------
    BadInputError
        When one is given without the other, or covers something unknown.
    """
    if not options.consent_by and not options.consent_for:
        return None
    if not options.consent_by or not options.consent_for:
        raise BadInputError("A consent needs both --consent-by NAME and --consent-for LIST.")
    until = getattr(options, "consent_until", None)
    if until is not None and until < on:
        raise BadInputError(f"The consent ends on {until}, before it is given ({on}); correct --consent-until.")
    return Consent(options.consent_by, on, parse_purposes([w.strip() for w in options.consent_for.split(",")]), until)
